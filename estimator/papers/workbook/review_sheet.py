"""The sheet of one report: question, answer, table, the table of the other period, charts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import TYPE_CHECKING

from estimator.papers import words
from estimator.papers.review_cells import (
    compared_report,
    exact_of,
    is_number,
    minor_of,
    period,
    rests_on,
    shown,
    sums,
)
from estimator.papers.review_widths import column_widths
from estimator.papers.workbook.pen import LINE_PT, MINOR_PER_MAJOR, Inks, lines_of
from estimator.review.report import Cell, Report, ReportColumn, Review

if TYPE_CHECKING:
    from xlsxwriter.format import Format
    from xlsxwriter.workbook import Workbook
    from xlsxwriter.worksheet import Worksheet

_INK = {"text": "wrap", "money": "money", "share": "share", "hours": "hours", "number": "decimal",
        "count": "count", "date": "date"}
_WIDEST_TEXT, _USUAL, ROUND_LETTERS = 40, 13, 2.5
LEAST_WIDE = 120  # letters over which answers run
ROW_PX = 20
PX_PER_PT, PX_PER_DIGIT = 4 / 3, 7.5
PAGE_WIDE_PX, PAGE_HIGH_PX = 1020, 640  # between the margins of A4 on its side, unscaled


@dataclass(frozen=True)
class Table:
    """Where a report's table stands; rows and columns count from 0.

    Attributes:
        sheet: name of the sheet.
        head: row of the headings.
        report: what it holds.
        title: the cell that says which period it is, as a formula names it.
    """

    sheet: str
    head: int
    report: Report
    title: str

    def column(self, key: str) -> int:
        """Return the column of a key."""
        return [column.key for column in self.report.columns].index(key)


class ReportSheet:
    """One sheet, written from the top down."""

    def __init__(
        self, book: Workbook, inks: Inks, name: str, review: Review, report: Report
    ) -> None:
        self.book, self.inks, self.name = book, inks, name
        self.review, self.report = review, report
        self.sheet: Worksheet = book.add_worksheet(name)
        self.at = 0
        self._px = 0.0  # how far down the rows reach
        widths = _widths(report)
        while sum(widths) < LEAST_WIDE:
            widths.append(_USUAL)
        self.widths = widths

    def write(self) -> None:
        """Write the sheet."""
        from estimator.papers.workbook.review_book import set_up
        from estimator.papers.workbook.review_charts import add_chart

        for at, width in enumerate(self.widths):
            self.sheet.set_column(at, at, width, self.inks.of("text"))
        set_up(self.sheet, self.name, self.review)
        self._head()
        tables = [self._table(self.report, self.review, first=True)]
        other = compared_report(self.review, self.report.name)
        if other is not None and self.review.compared is not None:
            self.at += 1
            tables.append(self._table(other, self.review.compared, first=False))
        helpers = len(self.widths) + 1  # beyond what is printed
        # The sheet is made as narrow as a page, and holds the more of its rows then.
        page = PAGE_HIGH_PX * max(1.0, sum(self.widths) * PX_PER_DIGIT / PAGE_WIDE_PX)
        breaks = []
        for table in tables:
            high, helpers = add_chart(self.book, self.sheet, self.inks, table, self.at + 1,
                                      helpers, self._beside(table, tables))
            if not high:
                continue
            # How high a row is differs from program to program, so only what fits well stays.
            if self._px + high + 2 * ROW_PX > page:
                breaks.append(self.at)
                self._px = 0.0
            self._px += high + 2 * ROW_PX
            self.at += 2 + -(-high // ROW_PX)
        self.sheet.set_h_pagebreaks(breaks)
        self.sheet.print_area(0, 0, max(self.at, 1), len(self.widths) - 1)

    def _beside(self, table: Table, tables: Sequence[Table]) -> Report | None:
        return next((each.report for each in tables if each is not table), None)

    def _head(self) -> None:
        for at in range(len(self.widths)):
            self.sheet.write_blank(0, at, None, self.inks.of("office"))
        self.sheet.write_string(0, 0, words.OFFICE_ONLY, self.inks.of("office"))
        self.sheet.write_string(1, 0, self.report.question, self.inks.of("title"))
        self.sheet.write_url(1, len(self.widths) - 1, "internal:'Answers'!A1",
                             self.inks.of("link"), "all answers")
        self.at = 1
        self._next(22)
        self._answer(self.report)
        self.at += 1

    def _next(self, high_pt: float) -> None:
        """Go to the next row; the one that was written is so high."""
        self.sheet.set_row(self.at, high_pt)
        self._px += high_pt * PX_PER_PT
        self.at += 1

    def _answer(self, report: Report) -> None:
        for sentence in report.answer:
            self._across(sentence, "wrap")

    def _across(self, text: str, kind: str) -> None:
        """Write a text that runs over all columns."""
        self.sheet.merge_range(self.at, 0, self.at, len(self.widths) - 1, "", self.inks.of(kind))
        self.sheet.write_string(self.at, 0, text, self.inks.of(kind))
        self._next(LINE_PT * lines_of(text, sum(self.widths)) + 2)

    def _table(self, report: Report, of: Review, *, first: bool) -> Table:
        title = self.at
        self._across(f"{of.title}, {period(of)}: {rests_on(report)}", "band")
        if not first:
            self._answer(report)
        head = self.at
        self._headings(report)
        if first:
            self.sheet.repeat_rows(head)
            self.sheet.freeze_panes(head + 1, 0)
        for row in report.rows:
            self._row(report, row)
        total = sums(report)
        if total is not None:
            self._sums(report, total, head)
        if not report.rows:
            self._across("Nothing to show.", "wrap")
        for caution in report.cautions:
            self._across(f"Look at: {caution}", "wrap")
        return Table(self.name, head, report, f"='{self.name}'!$A${title + 1}")

    def _headings(self, report: Report) -> None:
        for at, column in enumerate(report.columns):
            ink = self.inks.of("header right" if is_number(column) else "header")
            self.sheet.write_string(self.at, at, column.heading, ink)
        lines = max(lines_of(column.heading, width)
                    for column, width in zip(report.columns, self.widths, strict=False))
        self._next(LINE_PT * lines + 3)

    def _row(self, report: Report, row: Sequence[Cell]) -> None:
        lines = 1
        for at, (cell, column) in enumerate(zip(row, report.columns, strict=True)):
            self._cell(at, cell, column, self.inks.of(_INK[column.kind]))
            if isinstance(cell, str):
                lines = max(lines, lines_of(cell, self.widths[at]))
        self._next(LINE_PT * lines + 1)

    def _cell(self, at: int, cell: Cell, column: ReportColumn, ink: Format) -> None:
        """Write a cell as what it is; a text stays a text, whatever it starts with."""
        if cell is None or cell == "":
            self.sheet.write_blank(self.at, at, None, ink)
        elif isinstance(cell, bool):
            self.sheet.write_string(self.at, at, "yes" if cell else "no", ink)
        elif isinstance(cell, str):
            self.sheet.write_string(self.at, at, cell, ink)
        elif isinstance(cell, date):
            self.sheet.write_datetime(self.at, at, datetime.combine(cell, time()), ink)
        else:
            self.sheet.write_number(self.at, at, in_cell(cell, column), ink)

    def _sums(self, report: Report, total: Sequence[Cell], head: int) -> None:
        from xlsxwriter.utility import xl_range

        for at, (cell, column) in enumerate(zip(total, report.columns, strict=True)):
            ink = self.inks.of(_INK[column.kind], "sum")
            if column.total:
                rows = xl_range(head + 1, at, head + len(report.rows), at)
                self.sheet.write_formula(self.at, at, f"=SUM({rows})", ink, in_cell(cell, column))
            elif at == 0:
                self.sheet.write_string(self.at, at, "in all", ink)
            else:
                self.sheet.write_blank(self.at, at, None, ink)
        self._next(LINE_PT + 2)


def _widths(report: Report) -> list[float]:
    """Return a width for each column, by what stands in it."""
    total = sums(report)
    rows = [[" ".join(shown(cell, column, report.currency).split())
             for cell, column in zip(row, report.columns, strict=True)]
            for row in (*report.rows, *([] if total is None else [total]))]
    return [width + ROUND_LETTERS for width in column_widths(report.columns, rows, _WIDEST_TEXT)]


def in_cell(cell: Cell, column: ReportColumn) -> float:
    """Return a figure as a cell holds it: money in major units, any other number as it is."""
    if column.kind == "money":
        return minor_of(cell) / MINOR_PER_MAJOR
    exact = exact_of(cell)
    return exact.numerator if exact.denominator == 1 else float(exact)
