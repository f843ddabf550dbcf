"""Points and lines over an axis of days, numbers or names."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from estimator.papers.pictures.scale import Scale, fitted_ticks, ticks, widest_tick
from estimator.papers.pictures.svg import (
    DARK,
    LINE,
    QUIET,
    RULE,
    WIDE,
    Sheet,
    broken,
    text_wide,
)
from estimator.papers.review_spans import Span

HIGH = 260.0
EDGE = 10.0  # between the axis and the first point
LABEL_GAP = 12.0
NAME_LINES = 3


@dataclass(frozen=True)
class Series:
    """A series: its name, and the value at each place; None where it has no figure."""

    name: str
    values: tuple[Fraction | None, ...]
    intervals: tuple[Span | None, ...] = ()


@dataclass(frozen=True)
class Across:
    """The axis from left to right.

    Attributes:
        places: of the values, in order: numbers, days as ordinals, or 0, 1, 2 ... of names.
        labels: one for each place; none for an axis of numbers, which has ticks instead.
        heading: what it is.
        shown: writes out a tick of an axis of numbers.
    """

    places: tuple[Fraction, ...]
    labels: tuple[str, ...]
    heading: str
    shown: Callable[[Fraction], str]


def graph_drawing(
    sheet: Sheet, across: Across, series: Sequence[Series], shown: Callable[[Fraction], str], *,
    joined: bool, also: Sequence[Span | None] = (),
) -> None:
    """Draw series onto a sheet, from its present height down.

    Args:
        sheet: what to draw on.
        across: the axis from left to right.
        series: at least one.
        shown: writes out a value of the axis that goes up.
        joined: the points of a series are joined by a line.
        also: spans that the axis must hold too.
    """
    found = ticks(*_ends(series, also), 6)
    left = max(text_wide(shown(each)) for each in found) + 10
    top, foot = sheet.down + 8, sheet.down + 8 + HIGH
    up = Scale(found[0], found[-1], foot, top)
    for each in found:
        sheet.line(left, up.at(each), WIDE - EDGE, up.at(each), RULE)
        sheet.text(left - 8, up.at(each) + 4.5, shown(each), "end")
    if found[0] <= 0 <= found[-1]:
        sheet.line(left, up.at(Fraction(0)), WIDE - EDGE, up.at(Fraction(0)), DARK, 1.2)
    scale = _across(sheet, across, left, foot)
    for at, drawn in enumerate(series):
        _series(sheet, at, drawn, [scale.at(place) for place in across.places], up, joined)


def _ends(series: Sequence[Series], also: Sequence[Span | None]) -> Span:
    every = [value for each in series for value in each.values if value is not None]
    every += [end for each in series for span in (*each.intervals, *also) if span for end in span]
    return (min(every), max(every)) if every else (Fraction(0), Fraction(1))


def _across(sheet: Sheet, across: Across, left: float, foot: float) -> Scale:
    """Draw the axis at the foot; leave the sheet below its heading."""
    right = WIDE - EDGE
    sheet.line(left, foot, right, foot, DARK)
    low, high = min(across.places, default=Fraction(0)), max(across.places, default=Fraction(1))
    if across.labels:
        beside = _beside(across, right - left)
        if low == high:
            low, high = low - 1, high + 1
        scale = Scale(low, high, left + beside, right - beside)
        lines = _labels(sheet, across, scale, foot)
    else:
        needed = widest_tick(low, high, lambda each: text_wide(across.shown(each))) + LABEL_GAP
        found = fitted_ticks(low, high, right - left - needed, needed)
        scale = Scale(found[0], found[-1], left + needed / 2, right - needed / 2)
        for each in found:
            sheet.line(scale.at(each), foot, scale.at(each), foot + 4, DARK)
            sheet.text(scale.at(each), foot + 4 + LINE, across.shown(each), "middle")
        lines = 1
    below = foot + 4 + lines * LINE + 18
    sheet.text((left + right) / 2, below, broken(across.heading, right - left, 1)[0], "middle",
               fill=QUIET)
    sheet.down = below + 6
    return scale


def _in_lines(labels: Sequence[str], apart: float) -> bool:
    """Return whether every label has room when it is broken between its words."""
    words = [word for label in labels for word in label.split()]
    return max(map(text_wide, words), default=0.0) + LABEL_GAP <= apart


def _beside(across: Across, wide: float) -> float:
    """Return how far the first and last place stand from the ends, so that labels fit in."""
    apart = wide / len(across.labels)
    longest = max(map(text_wide, across.labels))
    return max(EDGE, min(longest, apart if _in_lines(across.labels, apart) else wide / 2) / 2)


def _labels(sheet: Sheet, across: Across, scale: Scale, foot: float) -> int:
    """Write the labels, in lines or as many as have room, the first one always; return the lines.

    A label that would meet the one before is left out.
    """
    at = [scale.at(place) for place in across.places]
    apart = min((b - a for a, b in pairwise(at)), default=WIDE / 2)
    in_lines = _in_lines(across.labels, apart)
    end, most = -WIDE, 1
    for x, label in zip(at, across.labels, strict=True):
        room = apart - LABEL_GAP if in_lines else 2 * min(x, WIDE - x)
        lines = broken(label, room, NAME_LINES if in_lines else 1)
        half = max(map(text_wide, lines)) / 2
        sheet.line(x, foot, x, foot + 4, DARK)
        if x - half < end + LABEL_GAP / 2:
            continue
        for number, line in enumerate(lines):
            sheet.text(x, foot + 4 + LINE * (number + 1), line, "middle")
        end, most = x + half, max(most, len(lines))
    return most


def _series(
    sheet: Sheet, at: int, series: Series, across: Sequence[float], up: Scale, joined: bool
) -> None:
    look = sheet.look(at)
    stretch: list[tuple[float, float]] = []
    for x, value in zip(across, series.values, strict=True):
        if value is not None:
            stretch.append((x, up.at(value)))
            continue
        if joined:
            sheet.path(stretch, look)
        stretch = []
    if joined:
        sheet.path(stretch, look)
    for x, span in zip(across, series.intervals, strict=False):
        if span is not None:
            low, high = up.at(span[0]), up.at(span[1])
            sheet.line(x, low, x, high, DARK, 1.4)
            sheet.line(x - 5, low, x + 5, low, DARK, 1.4)
            sheet.line(x - 5, high, x + 5, high, DARK, 1.4)
    for x, value in zip(across, series.values, strict=True):
        if value is not None:
            sheet.mark(x, up.at(value), look)
