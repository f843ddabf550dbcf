"""Where everything on a roof plane lies, for drawing and setting out.

The panels lie where the layout says. Two things nobody has measured are drawn by a convention, and
the paper says so: rails run at a quarter of a panel from its edges (the panel maker's clamp zone
decides), and the rafters lie evenly about the middle of each rail (they are found on the roof).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from estimator.design.rails import LINES_PER_SEGMENT, RailRule, fixings_at
from estimator.design.roof import Box, Layout, Metres

CLAMP_SHARE = Fraction(1, 4)  # of a panel's height; common practice, no source


@dataclass(frozen=True, slots=True)
class PanelAt:
    """One panel: its rectangle, the string it is in and its place along it.

    `string` counts over the whole job from 1; 0 = not known.
    """

    box: Box
    string: int = 0
    place: int = 0


@dataclass(frozen=True, slots=True)
class LineAt:
    """One line of rail from its left end, and the distances of its fixings from that end."""

    x_m: Metres
    y_m: Metres
    length_m: Metres
    fixings_m: tuple[Metres, ...]


def panel_order(layout: Layout) -> tuple[Box, ...]:
    """Return the panels row by row from the eaves, every second row backwards.

    So each panel lies beside the next one of its string. The way they are wired is the fitter's.
    """
    rows: dict[Metres, list[Box]] = {}
    for box in layout.boxes():
        rows.setdefault(box.y_m, []).append(box)
    return tuple(
        box for at, y in enumerate(sorted(rows))
        for box in sorted(rows[y], key=lambda each: each.x_m, reverse=bool(at % 2)))


def in_strings(
    panels: Mapping[int, int], groups: Iterable[Mapping[int, Sequence[int]]]
) -> dict[int, list[tuple[int, int]]]:
    """Return string and place of every panel, plane by plane; (0, 0) where it is not known.

    Args:
        panels: number of the plane -> how many it has.
        groups: for planes that face alike, plane -> panels of each string that begins on it. What
            a plane cannot hold of its last string runs on to the next plane of the group that has
            room.
    """
    told: dict[int, list[tuple[int, int]]] = {plane: [] for plane in panels}
    number = 0
    for group in groups:
        rests = []
        for plane, lengths in group.items():
            for length in lengths:
                number += 1
                here = min(length, panels[plane] - len(told[plane]))
                told[plane] += [(number, place) for place in range(1, here + 1)]
                rests += [(number, place) for place in range(here + 1, length + 1)]
        for plane in group:
            room = panels[plane] - len(told[plane])
            told[plane] += rests[:room]
            rests = rests[room:]
    for plane, count in panels.items():
        told[plane] += [(0, 0)] * (count - len(told[plane]))
    return told


def lines_at(layout: Layout, rule: RailRule, fixings: int, step_m: Metres) -> tuple[LineAt, ...]:
    """Return every line of rail with its fixings, in the order of the cut list.

    Args:
        layout: the panels.
        rule: rafters, most overhang and rail end; the rafter spacing is above zero.
        fixings: of the whole plane, as counted and priced.
        step_m: most distance between two of them; 0 = every rafter.
    """
    spans = [
        (segment.x_m - rule.rail_end_m, segment.y_m + share * layout.panel_height_m,
         layout.length_m(segment.panels) + 2 * rule.rail_end_m)
        for segment in layout.segments
        for share in (CLAMP_SHARE, 1 - CLAMP_SHARE)[:LINES_PER_SEGMENT]
    ]
    step = step_m or rule.rafter_spacing_m
    counts = _shared(fixings, [fixings_at(length, step, rule.max_overhang_m, rule)
                               for _, _, length in spans])
    return tuple(
        LineAt(x, y, length, places(length, count, rule))
        for (x, y, length), count in zip(spans, counts, strict=True))


def _shared(fixings: int, by_span: Sequence[int]) -> list[int]:
    """Return how many of all fixings each line gets: those its length asks for, the rest in turn.

    Wind can ask for more than the lines do; then the lines take one more each, from the first on.
    """
    counts, rest = list(by_span), fixings - sum(by_span)
    for at in range(len(counts)):
        counts[at] += rest // len(counts) + (at < rest % len(counts))
    return counts


def places(line_m: Metres, count: int, rule: RailRule) -> tuple[Metres, ...]:
    """Return where the fixings of a line are, each on a rafter, as even as the rafters allow.

    The outer ones lie no farther from the ends than the rail may hang over. Of more fixings than
    the line crosses rafters, only one for each rafter is returned.
    """
    spacing = rule.rafter_spacing_m
    crossed = max(1, int(line_m // spacing) + 1)
    first = (line_m - (crossed - 1) * spacing) / 2
    rafters = [first + i * spacing for i in range(crossed)]
    low = max((i for i, x in enumerate(rafters) if x <= rule.max_overhang_m), default=0)
    high = min((i for i, x in enumerate(rafters) if line_m - x <= rule.max_overhang_m),
               default=crossed - 1)
    low, high = min(low, high), max(low, high)
    while high - low + 1 < min(count, crossed):  # one more rafter on the side that has more left
        low, high = (low, high + 1) if crossed - 1 - high >= low else (low - 1, high)
    count = min(count, crossed)
    if count == 1:
        return (rafters[low],)
    return tuple(rafters[low + i * (high - low) // (count - 1)] for i in range(count))
