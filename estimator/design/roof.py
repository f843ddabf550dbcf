"""Roof arithmetic: how many panels fit a plane, and what holds them.

Lengths are exact (`Fraction` of a metre). A plane is the rectangle of eaves by slope; x runs along
the eaves from the left, y up the slope from the eaves.

The fit is exact within one class of layouts: all panels of a plane lie the same way round, in
rows parallel to the eaves, as the shared rails ask. Each row may start where it likes and may
be parted by obstructions. Layouts that mix ways round, or that step panels out of a row, are not
searched; they might hold more.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

Metres = Fraction


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on the plane by its lower left corner and size."""

    x_m: Metres
    y_m: Metres
    width_m: Metres
    height_m: Metres


@dataclass(frozen=True, slots=True)
class Field:
    """What a plane offers and asks: its size, clear edge, gaps and obstructions."""

    eaves_m: Metres
    slope_m: Metres
    edge_m: Metres
    gap_m: Metres
    obstructions: tuple[Box, ...] = ()


@dataclass(frozen=True, slots=True)
class Segment:
    """Panels side by side in one row without a break; it has its own rails."""

    x_m: Metres
    y_m: Metres
    panels: int


@dataclass(frozen=True, slots=True)
class Layout:
    """Panels of one size in row segments, all the same way round.

    Attributes:
        portrait: whether the long side runs up the slope.
        panel_width_m, panel_height_m: of a panel as it lies, along the eaves and up the slope.
    """

    portrait: bool
    panel_width_m: Metres
    panel_height_m: Metres
    gap_m: Metres
    segments: tuple[Segment, ...]

    @property
    def panels(self) -> int:
        """Return the number of panels."""
        return sum(segment.panels for segment in self.segments)

    def length_m(self, panels: int) -> Metres:
        """Return the length of so many panels side by side: n w + (n - 1) g."""
        return panels * self.panel_width_m + max(0, panels - 1) * self.gap_m

    def boxes(self) -> tuple[Box, ...]:
        """Return the rectangle of every panel."""
        pitch = self.panel_width_m + self.gap_m
        return tuple(
            Box(s.x_m + i * pitch, s.y_m, self.panel_width_m, self.panel_height_m)
            for s in self.segments
            for i in range(s.panels)
        )


@dataclass(frozen=True, slots=True)
class _Row:
    y_m: Metres
    spans: tuple[tuple[Metres, int], ...]

    @property
    def panels(self) -> int:
        return sum(count for _, count in self.spans)


def fill(field: Field, width_m: Metres, height_m: Metres, portrait: bool) -> Layout:
    """Return a layout with the most panels of this way round that the plane holds.

    Rows can be pushed down until each meets the edge, the row below or the top of an obstruction,
    without losing a panel; so only those heights are tried (exact, see the module's note).
    """
    step = height_m + field.gap_m
    starts = _heights(field, step)
    rows = {y: _row(field, y, width_m, height_m) for y in starts}
    top = field.slope_m - field.edge_m
    best: dict[Metres, tuple[int, tuple[_Row, ...]]] = {}
    for y in sorted(starts, reverse=True):
        if y + height_m > top:
            continue
        above = _best_from(best, y + step)
        skip = _best_from(best, y, strictly=True)
        take = (rows[y].panels + above[0], (rows[y], *above[1]))
        best[y] = take if take[0] >= skip[0] and take[0] else skip
    chosen = _best_from(best, field.edge_m)[1]
    segments = tuple(Segment(x, row.y_m, n) for row in chosen for x, n in row.spans)
    return Layout(portrait, width_m, height_m, field.gap_m, segments)


def _best_from(
    best: dict[Metres, tuple[int, tuple[_Row, ...]]], y: Metres, strictly: bool = False
) -> tuple[int, tuple[_Row, ...]]:
    above = [at for at in best if (at > y if strictly else at >= y)]
    return best[min(above)] if above else (0, ())


def _heights(field: Field, step: Metres) -> list[Metres]:
    anchors = {field.edge_m, *(o.y_m + o.height_m for o in field.obstructions)}
    top = field.slope_m - field.edge_m
    heights: set[Metres] = set()
    for anchor in anchors:
        y = max(anchor, field.edge_m)
        while y < top:
            heights.add(y)
            y += step
    return sorted(heights)


def _row(field: Field, y: Metres, width_m: Metres, height_m: Metres) -> _Row:
    """Return the panels of a row at a height, left to right between what stands in the way."""
    blocked = sorted(
        (o.x_m, o.x_m + o.width_m)
        for o in field.obstructions
        if o.y_m < y + height_m and y < o.y_m + o.height_m
    )
    spans: list[tuple[Metres, int]] = []
    left = field.edge_m
    right = field.eaves_m - field.edge_m
    for start, end in [*blocked, (right, right)]:
        room = min(start, right) - left
        count = int((room + field.gap_m) // (width_m + field.gap_m)) if room > 0 else 0
        if count > 0:
            spans.append((left, count))
        left = max(left, end)
    return _Row(y, tuple(spans))


def thin(layout: Layout, wanted: int) -> Layout:
    """Return the layout with no more than the panels wanted, in as few rails as can be.

    The segments that hold most are kept; the panels are spread evenly over them (12 on rows that
    hold 7 each become 6 and 6, not 7 and 5).
    """
    if wanted >= layout.panels:
        return layout
    ranked = sorted(layout.segments, key=lambda s: (-s.panels, s.y_m, s.x_m))
    kept: list[Segment] = []
    while sum(s.panels for s in kept) < wanted:
        kept.append(ranked[len(kept)])
    left = wanted
    even: list[Segment] = []
    for i, segment in enumerate(reversed(kept)):
        share = min(segment.panels, left // (len(kept) - i))
        even.append(Segment(segment.x_m, segment.y_m, share))
        left -= share
    ordered = tuple(sorted((s for s in even if s.panels), key=lambda s: (s.y_m, s.x_m)))
    return Layout(
        layout.portrait, layout.panel_width_m, layout.panel_height_m, layout.gap_m, ordered
    )


def block(
    rows: int, columns: int, size_m: tuple[Metres, Metres], portrait: bool, field: Field
) -> Layout:
    """Return rows by columns of panels (width, height as they lie), from the clear corner up."""
    width_m, height_m = size_m
    step = height_m + field.gap_m
    segments = tuple(
        Segment(field.edge_m, field.edge_m + r * step, columns) for r in range(rows) if columns
    )
    return Layout(portrait, width_m, height_m, field.gap_m, segments)


def fits(layout: Layout, field: Field) -> bool:
    """Return whether every panel lies inside the clear edge and off every obstruction."""
    right, top = field.eaves_m - field.edge_m, field.slope_m - field.edge_m
    return all(
        box.x_m >= field.edge_m and box.y_m >= field.edge_m
        and box.x_m + box.width_m <= right and box.y_m + box.height_m <= top
        and not any(overlap(box, o) for o in field.obstructions)
        for box in layout.boxes()
    )


def overlap(a: Box, b: Box) -> bool:
    """Return whether two rectangles share more than an edge."""
    return (
        a.x_m < b.x_m + b.width_m and b.x_m < a.x_m + a.width_m
        and a.y_m < b.y_m + b.height_m and b.y_m < a.y_m + a.height_m
    )


def best_layout(layouts: Sequence[Layout]) -> Layout:
    """Return the layout with most panels; on a tie the fewest rails, then upright panels."""
    return min(layouts, key=lambda a: (-a.panels, len(a.segments), not a.portrait))
