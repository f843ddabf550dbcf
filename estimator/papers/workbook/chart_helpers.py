"""Columns beyond what is printed that a chart needs beside its table: ends of intervals, steps.

They are formulas over the table, each with its figure, so that a figure changed by hand moves the
picture too.
"""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from estimator.papers.review_spans import bars_from_zero, intervals, steps
from estimator.papers.workbook.pen import MINOR_PER_MAJOR, Inks
from estimator.papers.workbook.review_sheet import Table

if TYPE_CHECKING:
    from xlsxwriter.worksheet import Worksheet

_NOTE = "for the picture"
WATERFALL = ("base", "base below", "sum", "sum below", "up", "up below", "down", "down below")


def interval_columns(
    sheet: Worksheet, inks: Inks, table: Table, column: int
) -> tuple[list[float], list[float]]:
    """Write by how much each value lies above its low and below its high; return both."""
    from xlsxwriter.utility import xl_rowcol_to_cell as cell

    chart = table.report.chart
    assert chart is not None
    assert chart.low is not None
    assert chart.high is not None
    at, low, high = (table.column(key) for key in (chart.values[0], chart.low, chart.high))
    _headings(sheet, inks, table, column, ("below", "above"))
    below: list[float] = []
    above: list[float] = []
    scale = _scale(table)
    found = zip(bars_from_zero(table.report, chart.values[0]), intervals(table.report),
                strict=True)
    for number, (bar, between) in enumerate(found):
        row = table.head + 1 + number
        if bar is None or between is None:
            below.append(0.0)
            above.append(0.0)
            continue
        below.append(float((bar[1] - between[0]) / scale))
        above.append(float((between[1] - bar[1]) / scale))
        faint = inks.of("decimal", "faint")
        sheet.write_formula(row, column, f"={cell(row, at)}-{cell(row, low)}", faint, below[-1])
        sheet.write_formula(row, column + 1, f"={cell(row, high)}-{cell(row, at)}", faint,
                            above[-1])
    return below, above


def waterfall_columns(
    sheet: Worksheet, inks: Inks, table: Table, column: int
) -> tuple[str, ...]:
    """Write the stacks of a waterfall: what is not seen, sums, ups and downs; return their names.

    Each has a column above zero and one below, since a spreadsheet stacks both apart; a step that
    crosses zero is in both. The last columns hold where a step starts and ends.
    """
    from xlsxwriter.utility import xl_rowcol_to_cell as cell

    chart = table.report.chart
    assert chart is not None
    value = table.column(chart.values[0])
    start, end = column + len(WATERFALL) + 1, column + len(WATERFALL) + 2
    _headings(sheet, inks, table, column, WATERFALL)
    _headings(sheet, inks, table, start, ("from", "to"))
    spans, last, scale = steps(table.report, chart.values[0]), len(table.report.rows) - 1, _scale(
        table)
    faint = inks.of("decimal", "faint")
    for number, span in enumerate(spans):
        row = table.head + 1 + number
        if span is None:
            continue
        free = number in (0, last)
        sheet.write_formula(row, start, "=0" if free else f"={cell(row - 1, end)}", faint,
                            float(span[0] / scale))
        sheet.write_formula(row, end, f"={cell(row, start)}+{cell(row, value)}", faint,
                            float(span[1] / scale))
        kind = "sum" if free else "up" if span[1] >= span[0] else "down"
        for at, (name, figure) in enumerate(zip(WATERFALL, _stack(span, kind), strict=True)):
            text = _formula(name, kind, cell(row, start), cell(row, end))
            sheet.write_formula(row, column + at, text, faint, float(figure / scale))
    return WATERFALL


def _stack(span: tuple[Fraction, Fraction], kind: str) -> list[Fraction]:
    low, high, zero = min(span), max(span), Fraction(0)
    base, below = max(zero, low), min(zero, high)
    seen, seen_below = max(zero, high) - base, min(zero, low) - below
    return [
        base if name == "base" else below if name == "base below"
        else zero if name.split(maxsplit=1)[0] != kind else seen_below if "below" in name else seen
        for name in WATERFALL]


def _formula(name: str, kind: str, start: str, end: str) -> str:
    base, below = f"MAX(0,MIN({start},{end}))", f"MIN(0,MAX({start},{end}))"
    if name == "base":
        return f"={base}"
    if name == "base below":
        return f"={below}"
    if name.split(maxsplit=1)[0] != kind:
        return "=0"
    if "below" in name:
        return f"=MIN(0,MIN({start},{end}))-{below}"
    return f"=MAX(0,MAX({start},{end}))-{base}"


def _headings(
    sheet: Worksheet, inks: Inks, table: Table, column: int, names: tuple[str, ...]
) -> None:
    sheet.write_string(table.head - 1, column, _NOTE, inks.of("plain text", "faint"))
    for at, name in enumerate(names):
        sheet.write_string(table.head, column + at, name, inks.of("plain text", "faint"))


def _scale(table: Table) -> int:
    chart = table.report.chart
    assert chart is not None
    kind = table.report.columns[table.column(chart.values[0])].kind
    return MINOR_PER_MAJOR if kind == "money" else 1
