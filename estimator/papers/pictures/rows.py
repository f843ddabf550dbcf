"""Pictures with one row under the other: name on the left, drawn in the middle, value on the right.

So names may be long, no label meets another, and every value is read as a figure too.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from estimator.papers.pictures.scale import Scale, fitted_ticks, widest_tick
from estimator.papers.pictures.svg import (
    DARK,
    LINE,
    RULE,
    WIDE,
    Sheet,
    broken,
    text_wide,
)
from estimator.papers.review_spans import Span

NAMES_MOST = 250.0  # pixels for the names
GAP = 12.0
BAR = 14.0
LABEL_GAP = 14.0  # between two labels of the axis


@dataclass(frozen=True)
class Mark:
    """What stands in a row.

    Attributes:
        span: from where to where, in the values of the axis; None draws nothing.
        series: whose look it has.
        value: as a figure on the right; "" for none.
        line: which line of the row it stands on; marks of a stack share one.
        interval: low and high of it.
        point: drawn as a point at the end of its span instead of a bar.
    """

    span: Span | None
    series: int = 0
    value: str = ""
    line: int = 0
    interval: Span | None = None
    point: bool = False


@dataclass(frozen=True)
class Row:
    """A row: its name and what stands in it."""

    name: str
    marks: tuple[Mark, ...]


Shown = Callable[[Fraction], str]


def rows_drawing(
    sheet: Sheet, rows: Sequence[Row], shown: Shown, *, zero: bool = True, joined: bool = False,
    also: Iterable[Span | None] = (),
) -> None:
    """Draw rows onto a sheet, from its present height down.

    Args:
        sheet: what to draw on.
        rows: at least one.
        shown: writes out a value of the axis.
        zero: the axis holds zero.
        joined: the end of each row is joined to the next, as in a waterfall.
        also: spans that the axis must hold too, so that two pictures can be held side by side.
    """
    low, high = _ends(rows, zero, also)
    names = min(NAMES_MOST, max(text_wide(row.name) for row in rows)) if rows else 0.0
    values = max((text_wide(mark.value) for row in rows for mark in row.marks), default=0.0)
    needed = widest_tick(low, high, lambda each: text_wide(shown(each))) + LABEL_GAP
    start, end = max(names + GAP, needed / 2), WIDE - max(values + GAP, needed / 2)
    found = fitted_ticks(low, high, end - start, needed)
    scale = Scale(found[0], found[-1], start, end)
    top = sheet.down
    laid = [(row, broken(row.name, names)) for row in rows]
    heights = [_high(row, len(name)) for row, name in laid]
    foot = top + sum(heights)
    for each in found:
        sheet.line(scale.at(each), top, scale.at(each), foot, RULE)
    at = top
    previous: tuple[float, float] | None = None
    for (row, name), high_px in zip(laid, heights, strict=True):
        _name(sheet, name, start - GAP, at + high_px / 2)
        previous = _marks(sheet, row, scale, at, high_px, previous if joined else None)
        at += high_px
    if found[0] <= 0 <= found[-1]:
        sheet.line(scale.at(Fraction(0)), top, scale.at(Fraction(0)), foot, DARK, 1.2)
    sheet.line(start, foot, end, foot, DARK)
    for each in found:
        sheet.line(scale.at(each), foot, scale.at(each), foot + 4, DARK)
        sheet.text(scale.at(each), foot + 4 + LINE, shown(each), "middle")
    sheet.down = foot + 4 + LINE + 6


def _ends(rows: Sequence[Row], zero: bool, also: Iterable[Span | None]) -> Span:
    spans = [mark.span if not mark.point else mark.span[1:] for row in rows for mark in row.marks
             if mark.span is not None]
    within = [mark.interval for row in rows for mark in row.marks if mark.interval is not None]
    every = [each for span in (*spans, *within, *(each for each in also if each is not None))
             for each in span]
    if zero or not every:
        every.append(Fraction(0))
    return min(every), max(every)


def _high(row: Row, lines_of_name: int) -> float:
    lines = 1 + max((mark.line for mark in row.marks), default=0)
    return max(lines * (BAR + 3) + 9, lines_of_name * LINE + 8)


def _name(sheet: Sheet, lines: Sequence[str], x: float, middle: float) -> None:
    first = middle - (len(lines) - 1) * LINE / 2 + 4.5
    for at, line in enumerate(lines):
        sheet.text(x, first + at * LINE, line, "end")


def _marks(
    sheet: Sheet, row: Row, scale: Scale, top: float, high: float,
    previous: tuple[float, float] | None,
) -> tuple[float, float] | None:
    """Draw a row; return where its last mark ends, and at which height."""
    lines = 1 + max((mark.line for mark in row.marks), default=0)
    first = top + (high - lines * (BAR + 3)) / 2 + 1.5
    last = None
    for mark in row.marks:
        y = first + mark.line * (BAR + 3)
        if mark.value:
            sheet.text(WIDE, y + BAR - 2.5, mark.value, "end")
        if mark.span is None:
            continue
        ends = scale.at(mark.span[0]), scale.at(mark.span[1])
        if previous is not None:
            sheet.line(previous[0], previous[1], previous[0], y, DARK, 0.8, "2 2")
        if not mark.point:
            sheet.box(min(ends), y, abs(ends[1] - ends[0]), BAR, sheet.look(mark.series).fill)
        if mark.interval is not None:
            _whisker(sheet, scale, mark.interval, y + BAR / 2)
        if mark.point:
            sheet.mark(ends[1], y + BAR / 2, sheet.look(mark.series))
        last = ends[1], y + BAR
    return last


def _whisker(sheet: Sheet, scale: Scale, interval: Span, y: float) -> None:
    low, high = scale.at(interval[0]), scale.at(interval[1])
    sheet.line(low, y, high, y, DARK, 1.8)
    for x in (low, high):
        sheet.line(x, y - 5, x, y + 5, DARK, 1.8)
