"""The workbook of a review: all questions with their answers, and a sheet for each report.

Tables are real numbers; where rows may be added up, the sum is a formula. Pictures are charts of
the spreadsheet program itself, over the cells of the table.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import datetime, time
from typing import TYPE_CHECKING

from estimator.papers import words
from estimator.papers.review_cells import narrowed, period, rests_on
from estimator.papers.workbook.pen import A4, LINE_PT, Inks, lines_of
from estimator.papers.workbook.review_sheet import ReportSheet
from estimator.review.report import Report, Review

if TYPE_CHECKING:
    from xlsxwriter.workbook import Workbook
    from xlsxwriter.worksheet import Worksheet

ANSWERS = "Answers"
NAME_LONGEST = 31  # letters of a sheet's name
_WIDTHS = (40, 86, 12, 24)


def review_workbook(review: Review) -> bytes:
    """Return a review as the bytes of an .xlsx file; the same review gives the same bytes.

    Raises:
        TypeError: for a cell that is not of its column's kind.
    """
    import xlsxwriter

    held = io.BytesIO()
    book = xlsxwriter.Workbook(held, {"in_memory": True})
    book.set_properties({
        "title": review.title, "comments": words.OFFICE_ONLY,
        "created": datetime.combine(review.period[1], time())})
    inks: dict[str, Inks] = {}
    first = book.add_worksheet(ANSWERS)
    names = sheet_names(review.reports)
    for report, name in zip(review.reports, names, strict=True):
        ink = inks.setdefault(report.currency, Inks(book, report.currency))
        ReportSheet(book, ink, name, review, report).write()
    _answers(book, first, inks, review, names)
    book.close()
    return held.getvalue()


def sheet_names(reports: Sequence[Report]) -> list[str]:
    """Return a name for each report's sheet: its own, cut to what a workbook takes, each once."""
    taken = {ANSWERS.casefold()}
    names = []
    for report in reports:
        plain = "".join("-" if sign in "[]:*?/\\'" or not sign.isprintable() else sign
                        for sign in report.name).strip() or "report"
        name, number = plain[:NAME_LONGEST], 1
        while name.casefold() in taken:
            number += 1
            name = f"{plain[:NAME_LONGEST - len(str(number)) - 1]} {number}"
        taken.add(name.casefold())
        names.append(name)
    return names


def _answers(
    book: Workbook, sheet: Worksheet, inks: dict[str, Inks], review: Review, names: Sequence[str]
) -> None:
    ink = next(iter(inks.values())) if inks else Inks(book, "GBP")
    headings = ("Question", "Answer", "Rests on", "Sheet")
    for at, width in enumerate(_WIDTHS):
        sheet.set_column(at, at, width, ink.of("text"))
    set_up(sheet, ANSWERS, review)
    for at in range(len(_WIDTHS)):
        sheet.write_blank(0, at, None, ink.of("office"))
    sheet.write_string(0, 0, words.OFFICE_ONLY, ink.of("office"))
    sheet.write_string(1, 0, review.title, ink.of("title"))
    sheet.write_string(2, 0, about(review), ink.of("plain text"))
    for at, heading in enumerate(headings):
        sheet.write_string(4, at, heading, ink.of("header"))
    sheet.repeat_rows(4)
    sheet.freeze_panes(5, 0)
    row = 5
    for report, name in zip(review.reports, names, strict=True):
        answer = " ".join(report.answer)
        sheet.write_string(row, 0, report.question, ink.of("wrap"))
        sheet.write_string(row, 1, answer, ink.of("wrap"))
        sheet.write_string(row, 2, rests_on(report), ink.of("text"))
        sheet.write_url(row, 3, f"internal:'{name}'!A1", ink.of("link"), name)
        lines = max(lines_of(report.question, _WIDTHS[0]), lines_of(answer, _WIDTHS[1]))
        sheet.set_row(row, LINE_PT * lines + 3)
        row += 1
    sheet.print_area(0, 0, row - 1, len(_WIDTHS) - 1)
    sheet.activate()


def set_up(sheet: Worksheet, name: str, review: Review) -> None:
    """Set a sheet up for A4 on its side, marked for the office on every page."""
    sheet.set_paper(A4)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
    sheet.set_margins(left=0.5, right=0.5, top=0.7, bottom=0.7)
    # A blank after the size of the letters, or a text that begins with a digit would be part of it.
    sheet.set_header(f"&L&8 {words.OFFICE_ONLY}&R&8 {_in_margin(name)}")
    sheet.set_footer(f"&L&8 {_in_margin(period(review))}&R&8 page &P of &N")


def _in_margin(text: str) -> str:
    """Return a text for a header or footer, where an ampersand is an order."""
    return text.replace("&", "&&")


def about(review: Review) -> str:
    """Return what the review covers: period, filters, and what it is compared with."""
    other = review.compared
    return ". ".join(part for part in (
        period(review), f"Only {narrowed(review)}" if review.filters else "",
        f"Compared with {other.title}, {period(other)}" if other else "") if part)
