"""Which picture shows a report."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from fractions import Fraction

from estimator.papers import words
from estimator.papers.exact_json import rounded
from estimator.papers.pictures.graph import Across, Series, graph_drawing
from estimator.papers.pictures.rows import Mark, Row, rows_drawing
from estimator.papers.pictures.svg import Sheet, plain_text
from estimator.papers.review_cells import PLACES, exact_of, shown
from estimator.papers.review_spans import (
    Span,
    bars_from_zero,
    figure,
    intervals,
    stacks,
    steps,
)
from estimator.review.report import Chart, Kind, Report, ReportColumn

MOST_ROWS = 30
ENDS, UP, DOWN = 0, 2, 1  # looks of the steps of a waterfall
PALE = 2  # look of a bar on which its interval is drawn


def picture(report: Report, prefix: str, beside: Report | None = None) -> str:
    """Return a report's picture as SVG; "" where it has none or nothing to draw.

    Args:
        report: what to draw.
        prefix: leads the names inside the picture, which must be unique on a page.
        beside: the same report of another period: its values have room on the axis too.
    """
    chart = report.chart
    if chart is None or not report.rows:
        return ""
    sheet = Sheet(prefix)
    also = spans_of(beside) if beside else []
    if chart.picture == "line" or (chart.picture == "points" and not _by_name(report, chart)):
        _graph(sheet, report, chart, also)
    else:
        _rows(sheet, report, chart, also)
    return sheet.drawing(report.question, " ".join(report.answer))


def left_out(report: Report) -> int:
    """Return how many rows of the table the picture leaves out."""
    chart = report.chart
    if chart is None or chart.picture in ("line", "waterfall") or not _by_name(report, chart):
        return 0
    return max(0, len(report.rows) - MOST_ROWS)


def _by_name(report: Report, chart: Chart) -> bool:
    return chart.picture != "points" or _column(report, chart.by).kind in ("text", "count")


def _column(report: Report, key: str) -> ReportColumn:
    return next(column for column in report.columns if column.key == key)


def spans_of(report: Report) -> list[Span | None]:
    """Return everything that the axis of values must hold."""
    chart = report.chart
    if chart is None:
        return []
    if chart.picture == "waterfall":
        return steps(report, chart.values[0])
    if chart.picture == "stacked bars":
        return [span for key in chart.values for span in stacks(report, chart.values)[key]]
    if chart.picture in ("line", "points"):
        points = [span and (span[1], span[1]) for key in chart.values
                  for span in bars_from_zero(report, key)]
        return [*points, *intervals(report)]
    return [*(span for key in chart.values for span in bars_from_zero(report, key)),
            *intervals(report)]


def _rows(sheet: Sheet, report: Report, chart: Chart, also: Sequence[Span | None]) -> None:
    names = [shown(cell, _column(report, chart.by), report.currency)
             for cell in report.column(chart.by)]
    if chart.picture == "waterfall":
        marks = _waterfall(report, chart.values[0])
    elif chart.picture == "stacked bars":
        marks = _stacked(report, chart)
    else:
        marks = _beside_each_other(report, chart, points=chart.picture == "points")
    if len(chart.values) > 1:
        sheet.legend([_column(report, key).heading for key in chart.values])
    rows = [Row(plain_text(name), told) for name, told in zip(names, marks, strict=True)]
    kept = rows if chart.picture == "waterfall" else rows[:MOST_ROWS]
    rows_drawing(sheet, kept, _axis(_column(report, chart.values[0]).kind, report.currency),
                 zero=chart.picture != "points", joined=chart.picture == "waterfall", also=also)


def _waterfall(report: Report, key: str) -> list[tuple[Mark, ...]]:
    spans, last, column = steps(report, key), len(report.rows) - 1, _column(report, key)
    marks: list[tuple[Mark, ...]] = []
    for at, (span, cell) in enumerate(zip(spans, report.column(key), strict=True)):
        step = figure(cell) or Fraction(0)
        look = ENDS if at in (0, last) else UP if step >= 0 else DOWN
        sign = "+" if look == UP and step > 0 else ""
        marks.append((Mark(span, look, sign + shown(cell, column, report.currency)),))
    return marks


def _stacked(report: Report, chart: Chart) -> list[tuple[Mark, ...]]:
    spans = stacks(report, chart.values)
    return [tuple(Mark(spans[key][row], at) for at, key in enumerate(chart.values))
            for row in range(len(report.rows))]


def _beside_each_other(report: Report, chart: Chart, *, points: bool) -> list[tuple[Mark, ...]]:
    bars = [bars_from_zero(report, key) for key in chart.values]
    between = intervals(report)
    values = [
        [shown(cell, _column(report, key), report.currency) for cell in report.column(key)]
        for key in chart.values]
    return [
        tuple(Mark(bars[at][row], at if points or chart.low is None else PALE, values[at][row], at,
                   between[row], points) for at in range(len(bars)))
        for row in range(len(report.rows))]


def _graph(sheet: Sheet, report: Report, chart: Chart, also: Sequence[Span | None]) -> None:
    if len(chart.values) > 1:
        sheet.legend([_column(report, key).heading for key in chart.values], lines=True)
    else:
        sheet.text(0, sheet.down + 12, _column(report, chart.values[0]).heading, bold=True)
        sheet.down += 18
    between = tuple(intervals(report))
    series = [Series(_column(report, key).heading, tuple(map(figure, report.column(key))), between)
              for key in chart.values]
    graph_drawing(
        sheet, _across(report, chart), series,
        _axis(_column(report, chart.values[0]).kind, report.currency),
        joined=chart.picture == "line", also=also)


def _across(report: Report, chart: Chart) -> Across:
    column, cells = _column(report, chart.by), report.column(chart.by)
    labels = tuple(plain_text(shown(cell, column, report.currency)) for cell in cells)
    if cells and all(isinstance(cell, date) for cell in cells):
        places = tuple(Fraction(cell.toordinal()) for cell in cells if isinstance(cell, date))
        return Across(places, labels, column.heading, str)
    numbers = column.kind not in ("text", "date") and None not in cells
    if numbers:
        return Across(tuple(map(exact_of, cells)), (), column.heading,
                      _axis(column.kind, report.currency))
    return Across(tuple(map(Fraction, range(len(cells)))), labels, column.heading, str)


def _axis(kind: Kind, currency: str) -> Callable[[Fraction], str]:
    """Return what writes out the ticks of an axis: no idle pence, no idle places."""
    def told(value: Fraction) -> str:
        if kind == "money":
            said = words.money(round(value), currency)
            return said.removesuffix(".00") if value % 100 == 0 else said
        if kind == "share":
            return words.rate(rounded(value, PLACES))
        unit = " h" if kind == "hours" else ""
        return f"{words.measure(rounded(value, PLACES))}{unit}"

    return told
