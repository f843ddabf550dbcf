"""The workbook of what has become of the open quotes: one sheet, for the office."""

from __future__ import annotations

import io
from datetime import date, datetime, time
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from catalogue.money import Money
from estimator.drift import Drift
from estimator.papers import words
from estimator.papers.drift import COLUMNS, table_rows, total_rows
from estimator.papers.workbook.pen import MINOR_PER_MAJOR, Inks

if TYPE_CHECKING:
    from xlsxwriter.worksheet import Worksheet

NAME = "Drift"
_WIDTHS = {"title": 28, "moved most": 60, "verdict": 15, "standing": 12, "job": 14, "revision": 9,
           "ring": 6}
_USUAL = 12


def drift_workbook(found: Drift) -> bytes:
    """Return the table as the bytes of an .xlsx file; nothing is computed again."""
    import xlsxwriter

    held = io.BytesIO()
    book = xlsxwriter.Workbook(held, {"in_memory": True})
    book.set_properties({
        "title": f"Open quotes at the prices of {found.on}", "comments": words.DEFERRAL,
        "created": datetime.combine(found.on, time())})
    inks, sheet = Inks(book, found.currency), book.add_worksheet(NAME)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
    sheet.set_header(f"&L&8{words.OFFICE_ONLY}&R&8{NAME}")
    sheet.write_string(0, 0, words.OFFICE_ONLY, inks.of("office"))
    imagined = f", if {' and '.join(found.what_if)}" if found.what_if else ""
    sheet.write_string(
        1, 0, f"Open quotes at the prices of {words.day(found.on)}{imagined}", inks.of("title"))
    for at, title in enumerate(COLUMNS):
        sheet.set_column(at, at, _WIDTHS.get(title, _USUAL), inks.of("text"))
        sheet.write_string(2, at, title, inks.of("header"))
    sheet.freeze_panes(3, 1)
    sheet.repeat_rows(2)
    at = 3
    for row in table_rows(found):
        _write(sheet, inks, at, row)
        at += 1
    sheet.autofilter(2, 0, max(at - 1, 2), len(COLUMNS) - 1)
    for row in total_rows(found):
        at += 1
        _write(sheet, inks, at, row)
    book.close()
    return held.getvalue()


def _write(sheet: Worksheet, inks: Inks, at: int, row: list[Any]) -> None:
    """Write a row; a text stays a text, whatever it starts with."""
    for column, value in enumerate(row):
        match value:
            case Money():
                sheet.write_number(at, column, value.minor / MINOR_PER_MAJOR, inks.of("money"))
            case Fraction():
                sheet.write_number(at, column, float(value), inks.of("share"))
            case int():
                sheet.write_number(at, column, value, inks.of("number"))
            case date():
                sheet.write_string(at, column, value.isoformat(), inks.of("text"))
            case str() if value:
                sheet.write_string(at, column, value, inks.of("text"))
