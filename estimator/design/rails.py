"""Rails, roof fixings and the outline of a roof layout; `rail_cut` cuts the rails from sticks.

Symbols follow common practice: p rafter spacing, S most span between fixings, C most overhang
past the last fixing, e rail end beyond the last panel; all in metres, exact.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from estimator.design.roof import Layout, Metres, Segment

LINES_PER_SEGMENT = 2


@dataclass(frozen=True, slots=True)
class RailRule:
    """What the rail maker and the roof allow."""

    rafter_spacing_m: Metres
    max_span_m: Metres
    max_overhang_m: Metres
    rail_end_m: Metres


@dataclass(frozen=True, slots=True)
class Rails:
    """What a layout needs to be held: counts of the whole plane.

    Attributes:
        lengths_m: of every line, the two under a row one after the other.
        apart_m: most distance between two fixings of a line.
        overhang_m: most rail past the last fixing.
    """

    lines: int
    longest_line_m: Metres
    step_m: Metres
    fixings: int
    lengths_m: tuple[Metres, ...]
    apart_m: Metres
    overhang_m: Metres


def fixing_step_m(rafter_spacing_m: Metres, max_span_m: Metres) -> Metres:
    """Return the distance between fixings: the most whole rafter spacings within the span.

    Zero if even one rafter spacing is more than the span: then there is no lawful step, and a
    cross rail or an engineer is needed.
    """
    return rafter_spacing_m * (max_span_m // rafter_spacing_m)


def fixings_per_line(line_m: Metres, rule: RailRule) -> int:
    """Return the fixings on one rail line, as far apart as span and overhang allow.

    Where no lawful step exists, every rafter is counted, so that a budget is not too low.
    """
    step = fixing_step_m(rule.rafter_spacing_m, rule.max_span_m) or rule.rafter_spacing_m
    return fixings_at(line_m, step, rule.max_overhang_m, rule)


def fixings_at(line_m: Metres, step_m: Metres, overhang_m: Metres, rule: RailRule) -> int:
    """Return the fixings on one rail line: ceil((L - 2 C + p) / s) + 1, at least two.

    The + p covers the place of the first rafter under the rail, which nobody can choose.

    Args:
        line_m: L, length of the line.
        step_m: s, distance between fixings, in whole rafter spacings.
        overhang_m: C, most rail past the last fixing.
        rule: gives p, the rafter spacing.
    """
    reach = line_m - 2 * overhang_m + rule.rafter_spacing_m
    return max(2, -int(-reach // step_m) + 1)


def rails_of(layout: Layout, rule: RailRule) -> Rails:
    """Return the rails of a layout: two lines under every row segment."""
    lines = lines_m(layout, rule)
    step = fixing_step_m(rule.rafter_spacing_m, rule.max_span_m)
    return Rails(
        lines=len(lines), longest_line_m=max(lines, default=Fraction(0)), step_m=step,
        lengths_m=tuple(lines), apart_m=step or rule.rafter_spacing_m,
        overhang_m=rule.max_overhang_m,
        fixings=sum(fixings_per_line(line, rule) for line in lines),
    )


def lines_m(layout: Layout, rule: RailRule) -> list[Metres]:
    """Return the length of every rail line, two under each row segment."""
    return [layout.length_m(segment.panels) + 2 * rule.rail_end_m
            for segment in layout.segments for _ in range(LINES_PER_SEGMENT)]


def area_m2(layout: Layout) -> Metres:
    """Return the area of the panels alone."""
    return layout.panels * layout.panel_width_m * layout.panel_height_m


def outline_m(layout: Layout) -> tuple[Metres, Metres, Metres]:
    """Return width, height and perimeter of the array.

    Width and height are those of the box round all panels. The perimeter is that of the box round
    each group of touching rows, added up: exact for blocks without steps.
    """
    boxes = layout.boxes()
    if not boxes:
        return Fraction(0), Fraction(0), Fraction(0)
    left, right = min(b.x_m for b in boxes), max(b.x_m + b.width_m for b in boxes)
    low, high = min(b.y_m for b in boxes), max(b.y_m + b.height_m for b in boxes)
    perimeter = sum((2 * (w + h) for w, h in _groups(layout)), Fraction(0))
    return right - left, high - low, perimeter


def _groups(layout: Layout) -> list[tuple[Metres, Metres]]:
    """Return width and height of each group of row segments that touch one another."""
    step = layout.panel_height_m + layout.gap_m
    groups: list[list[Segment]] = []
    for segment in sorted(layout.segments, key=lambda s: (s.y_m, s.x_m)):
        touching = [g for g in groups if any(_touch(layout, s, segment, step) for s in g)]
        for group in touching:
            groups.remove(group)
        groups.append([*(s for group in touching for s in group), segment])
    return [_size(layout, group) for group in groups]


def _touch(layout: Layout, a: Segment, b: Segment, step: Metres) -> bool:
    side_by_side = (
        a.x_m < b.x_m + layout.length_m(b.panels) and b.x_m < a.x_m + layout.length_m(a.panels)
    )
    return abs(a.y_m - b.y_m) <= step and side_by_side


def _size(layout: Layout, group: list[Segment]) -> tuple[Metres, Metres]:
    left = min(s.x_m for s in group)
    right = max(s.x_m + layout.length_m(s.panels) for s in group)
    low = min(s.y_m for s in group)
    high = max(s.y_m for s in group) + layout.panel_height_m
    return right - left, high - low
