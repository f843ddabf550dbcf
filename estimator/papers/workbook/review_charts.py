"""Native charts over the table of a report, told apart by pattern, dash and mark as by shade."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from estimator.papers.pictures.of_report import MOST_ROWS, spans_of
from estimator.papers.pictures.scale import ticks
from estimator.papers.workbook.chart_helpers import interval_columns, waterfall_columns
from estimator.papers.workbook.pen import MINOR_PER_MAJOR, Inks
from estimator.papers.workbook.review_sheet import Table
from estimator.review.report import Cell, Kind, Report

if TYPE_CHECKING:
    from xlsxwriter.chart import Chart as NativeChart
    from xlsxwriter.workbook import Workbook
    from xlsxwriter.worksheet import Worksheet

WIDE_PX, EDGE_PX, HIGH_PX, ROW_PX = 900, 110, 340, 18
HIGHEST_PX = 560  # has room on a page
MOST_COLUMNS = 9  # of a waterfall that stands; one with more lies, so that names have room
TICKS = 6
DAYS_LABELLED = 8  # along an axis of days
INK, DARK, PALE, RULE = "#1F4E5F", "#1A1A1A", "#D9D9D9", "#D0D0D0"
_FONT = {"name": "Arial", "size": 9, "color": DARK}
# The first row stands at the top, and the axis of values at the foot.
_NAMES_DOWN = {"reverse": True, "crossing": "max", "label_position": "low", "num_font": _FONT,
               "interval_unit": 1, "line": {"color": DARK}}
_STEPS = "dark: sums; pale: steps up; hatched: steps down"
_FILLS: tuple[dict[str, Any], ...] = (
    {"fill": {"color": INK}},
    {"pattern": {"pattern": "wide_upward_diagonal", "fg_color": DARK, "bg_color": "#FFFFFF"}},
    {"fill": {"color": PALE}},
    {"pattern": {"pattern": "small_grid", "fg_color": DARK, "bg_color": "#FFFFFF"}},
    {"fill": {"color": "#8C8C8C"}},
    {"pattern": {"pattern": "dark_horizontal", "fg_color": DARK, "bg_color": "#FFFFFF"}},
)
_LINES: tuple[tuple[str, str, str], ...] = (
    (INK, "solid", "circle"), (DARK, "dash", "square"), ("#4D4D4D", "round_dot", "triangle"),
    (DARK, "long_dash_dot", "diamond"), ("#4D4D4D", "square_dot", "x"),
    (INK, "dash_dot", "star"),
)


def add_chart(
    book: Workbook, sheet: Worksheet, inks: Inks, table: Table, at: int, helpers: int,
    beside: Report | None,
) -> tuple[int, int]:
    """Put the chart of a table onto its sheet.

    Args:
        book, sheet, inks: of the table.
        table: what to draw.
        at: the row at which the chart begins.
        helpers: the first column that is free beyond what is printed.
        beside: the report of the other period: both are drawn to one scale, and say which is which.

    Returns:
        How high the chart is in pixels, 0 for none; and the first column that is free now.
    """
    chart = table.report.chart
    if chart is None or not table.report.rows:
        return 0, helpers
    if chart.picture == "waterfall":
        lying = len(table.report.rows) > MOST_COLUMNS
        native, helpers = _waterfall(book, sheet, inks, table, helpers, beside, lying=lying)
        high = min(HIGHEST_PX, EDGE_PX + _drawn(table) * ROW_PX) if lying else HIGH_PX
    elif chart.picture in ("line", "points"):
        native, helpers = _lines(book, sheet, inks, table, helpers, beside)
        high = HIGH_PX
    else:
        native, helpers = _bars(book, sheet, inks, table, helpers, beside)
        lines = 1 if chart.picture == "stacked bars" else len(chart.values)
        high = min(HIGHEST_PX, EDGE_PX + _drawn(table) * (ROW_PX - 8 + 14 * lines))
    if beside is not None:
        native.set_title({"name": table.title, "name_font": {**_FONT, "size": 10, "bold": True},
                          "overlay": False})
    else:
        native.set_title({"none": True})
    native.set_size({"width": WIDE_PX, "height": high})
    native.set_chartarea({"border": {"color": "#8C8C8C"}})
    sheet.insert_chart(at, 0, native, {
        "x_offset": 6, "y_offset": 6, "object_position": 2,
        "description": f"{table.report.question} {' '.join(table.report.answer)}"[:1000]})
    return high, helpers


def _drawn(table: Table) -> int:
    chart = table.report.chart
    whole = chart is not None and chart.picture in ("line", "waterfall")
    return len(table.report.rows) if whole else min(MOST_ROWS, len(table.report.rows))


def _cells(table: Table, column: int) -> list[Any]:
    """Return the cells of a column, without its heading, as a chart names them."""
    return [table.sheet, table.head + 1, column, table.head + _drawn(table), column]


def _heading(table: Table, column: int) -> list[Any]:
    return [table.sheet, table.head, column]


def _bars(
    book: Workbook, sheet: Worksheet, inks: Inks, table: Table, helpers: int,
    beside: Report | None,
) -> tuple[NativeChart, int]:
    chart = table.report.chart
    assert chart is not None
    stacked = chart.picture == "stacked bars"
    native = book.add_chart({"type": "bar", **({"subtype": "stacked"} if stacked else {})})
    errors, helpers = _errors(sheet, inks, table, helpers)
    for at, key in enumerate(chart.values):
        fill = _FILLS[2] if errors else _FILLS[at % len(_FILLS)]
        native.add_series({
            "name": _heading(table, table.column(key)),
            "categories": _cells(table, table.column(chart.by)),
            "values": _cells(table, table.column(key)), **fill, "border": {"color": DARK},
            "gap": 60, **({"y_error_bars": errors} if errors else {}),
            **({} if stacked or errors else {"data_labels": {"value": True, "font": _FONT}}),
        })
    native.set_y_axis(_NAMES_DOWN)
    native.set_x_axis(_value_axis(inks, table, beside, zero=True))
    _legend(native, len(chart.values) > 1)
    return native, helpers


def _lines(
    book: Workbook, sheet: Worksheet, inks: Inks, table: Table, helpers: int,
    beside: Report | None,
) -> tuple[NativeChart, int]:
    chart = table.report.chart
    assert chart is not None
    by = table.report.columns[table.column(chart.by)]
    numbers = by.kind not in ("text", "date") and None not in table.report.column(chart.by)
    joined = chart.picture == "line"
    if numbers:
        native = book.add_chart({"type": "scatter",
                                 **({"subtype": "straight_with_markers"} if joined else {})})
    else:
        native = book.add_chart({"type": "line"})
    errors, helpers = _errors(sheet, inks, table, helpers)
    for at, key in enumerate(chart.values):
        ink, dash, mark = _LINES[at % len(_LINES)]
        native.add_series({
            "name": _heading(table, table.column(key)),
            "categories": _cells(table, table.column(chart.by)),
            "values": _cells(table, table.column(key)),
            "line": {"color": ink, "width": 2, "dash_type": dash} if joined else {"none": True},
            "marker": {"type": mark, "size": 7, "fill": {"color": ink}, "border": {"color": ink}},
            **({"y_error_bars": errors} if errors else {}),
        })
    across: dict[str, Any] = {
        "name": _heading(table, table.column(chart.by)), "name_font": _FONT, "num_font": _FONT,
        "line": {"color": DARK}, "label_position": "low"}
    if by.kind == "date":
        across |= {"date_axis": True, "num_format": "yyyy-mm-dd", "major_unit_type": "days",
                   "major_unit": _days_apart(table.report.column(chart.by))}
    if numbers:
        across |= {"num_format": _axis_format(by.kind, inks)}
    native.set_x_axis(across)
    native.set_y_axis({**_value_axis(inks, table, beside, zero=False),
                       "name": _heading(table, table.column(chart.values[0]))
                       if len(chart.values) == 1 else "", "name_font": _FONT})
    native.show_blanks_as("gap")
    _legend(native, len(chart.values) > 1)
    return native, helpers


def _days_apart(cells: Sequence[Cell]) -> int:
    """Return after how many days the next label of an axis of days has room."""
    days = [cell.toordinal() for cell in cells if isinstance(cell, date)]
    return max(1, (max(days) - min(days)) // DAYS_LABELLED) if days else 1


def _errors(
    sheet: Worksheet, inks: Inks, table: Table, helpers: int
) -> tuple[dict[str, Any] | None, int]:
    """Return the bars of the interval over two helping columns, if the report has one."""
    chart = table.report.chart
    if chart is None or chart.low is None or chart.high is None:
        return None, helpers
    data = interval_columns(sheet, inks, table, helpers)
    rows = _drawn(table)
    return {
        "type": "custom", "line": {"color": DARK, "width": 1.5}, "end_style": 1,
        "plus_values": _range(table, helpers + 1, rows), "plus_data": data[1][:rows],
        "minus_values": _range(table, helpers, rows), "minus_data": data[0][:rows],
    }, helpers + 3


def _range(table: Table, column: int, rows: int) -> str:
    from xlsxwriter.utility import xl_range_abs

    cells = xl_range_abs(table.head + 1, column, table.head + rows, column)
    return f"='{table.sheet}'!{cells}"


def _waterfall(
    book: Workbook, sheet: Worksheet, inks: Inks, table: Table, helpers: int,
    beside: Report | None, *, lying: bool,
) -> tuple[NativeChart, int]:
    """Return stacked columns, or bars, on bases that are not seen, above zero and below."""
    chart = table.report.chart
    assert chart is not None
    native = book.add_chart({"type": "bar" if lying else "column", "subtype": "stacked"})
    names = waterfall_columns(sheet, inks, table, helpers)
    looks: dict[str, dict[str, Any]] = {
        "base": {"fill": {"none": True}, "border": {"none": True}},
        "sum": {**_FILLS[0], "border": {"color": DARK}},
        "down": {**_FILLS[1], "border": {"color": DARK}},
        "up": {**_FILLS[2], "border": {"color": DARK}},
    }
    for at, name in enumerate(names):
        native.add_series({
            "name": _heading(table, helpers + at),
            "categories": _cells(table, table.column(chart.by)),
            "values": _cells(table, helpers + at), **looks[name.split()[0]], "gap": 40,
        })
    if lying:  # a legend would count its entries from the other end in some programs
        native.set_y_axis(_NAMES_DOWN)
        native.set_x_axis({**_value_axis(inks, table, beside, zero=True), "name": _STEPS,
                           "name_font": _FONT})
        native.set_legend({"none": True})
        return native, helpers + len(names) + 4
    native.set_x_axis({"label_position": "low", "num_font": _FONT, "line": {"color": DARK}})
    native.set_y_axis(_value_axis(inks, table, beside, zero=True))
    unseen = [at for at, name in enumerate(names) if name.startswith("base") or "below" in name]
    native.set_legend({"position": "bottom", "font": _FONT, "delete_series": unseen})
    return native, helpers + len(names) + 4


def _kind(table: Table) -> Kind:
    chart = table.report.chart
    assert chart is not None
    return table.report.columns[table.column(chart.values[0])].kind


def _value_axis(
    inks: Inks, table: Table, beside: Report | None, *, zero: bool
) -> dict[str, Any]:
    """Return the axis of values: round ticks round everything drawn, intervals too.

    The programs leave intervals out when they choose an axis, and may begin bars beside zero.
    """
    kind = _kind(table)
    reports = [table.report] if beside is None else [table.report, beside]
    ends = [end for report in reports for span in spans_of(report) if span for end in span]
    found = ticks(min([*ends, Fraction(0)] if zero or not ends else ends),
                  max([*ends, Fraction(0)] if zero or not ends else ends), TICKS)
    scale = MINOR_PER_MAJOR if kind == "money" else 1
    return {
        "num_format": _axis_format(kind, inks), "num_font": _FONT,
        "min": float(found[0] / scale), "max": float(found[-1] / scale),
        "major_unit": float((found[1] - found[0]) / scale),
        "major_gridlines": {"visible": True, "line": {"color": RULE, "width": 0.75}},
        "line": {"color": DARK}}


def _axis_format(kind: Kind, inks: Inks) -> str:
    return {"money": f"{inks.money_sign}#,##0", "share": "0%", "count": "#,##0",
            "hours": '0" h"'}.get(kind, "General")


def _legend(native: NativeChart, shown: bool) -> None:
    native.set_legend({"position": "bottom", "font": _FONT} if shown else {"none": True})
