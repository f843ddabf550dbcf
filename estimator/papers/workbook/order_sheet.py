"""A purchase order as a workbook: one sheet to send, to print, and to tick when the goods come."""

from __future__ import annotations

import io
from datetime import datetime, time
from decimal import Decimal
from typing import TYPE_CHECKING

from estimator.buying.ordering import OrderLine, PurchaseOrder, cautions_of
from estimator.papers import words
from estimator.papers.workbook.pen import (
    A4,
    LEFT_KINDS,
    LINE_PT,
    MINOR_PER_MAJOR,
    SITE_ROW_PT,
    Cell,
    Column,
    Formula,
    Inks,
    Pence,
    lines_of,
)
from estimator.settings import Firm

if TYPE_CHECKING:
    from xlsxwriter.worksheet import Worksheet

COLUMNS = (
    Column("Line", 6, "number"), Column("Your code", 14), Column("Our code", 12),
    Column("What", 34, "wrap"), Column("Units", 9, "number"), Column("Unit", 7),
    Column("Packs", 8, "number"), Column("Units in a pack", 9, "number"),
    Column("Price", 11, "money"), Column("for units", 8, "number"),
    Column("Cutting", 10, "money"), Column("Amount", 12, "money"),
    Column("Price until", 17, "wrap"),
    Column("Wanted on", 17, "wrap"), Column("Serial list", 8), Column("Came good", 8, "tick"),
    Column("Damaged", 9, "tick"),
)
_UNITS, _PRICE, _PER, _CUT, _AMOUNT = "E", "I", "J", "K", "L"
_AT_AMOUNT = 11


def order_workbook(order: PurchaseOrder, firm: Firm) -> bytes:
    """Return the order as the bytes of an .xlsx file; the same order gives the same bytes."""
    import xlsxwriter

    held = io.BytesIO()
    book = xlsxwriter.Workbook(held, {"in_memory": True})
    book.set_properties({
        "title": f"Purchase order {order.number}", "author": firm.name,
        "created": datetime.combine(order.on, time())})
    inks, sheet = Inks(book, order.currency), book.add_worksheet(f"Order {order.number}")
    _set_up(sheet, inks, order)
    at = _head(sheet, inks, order, firm)
    at = _lines(sheet, inks, order, at)
    sheet.write_string(at + 1, 0, "All amounts are without VAT.", inks.of("plain text"))
    for number, says in enumerate(cautions_of(order), at + 2):
        sheet.merge_range(number, 0, number, len(COLUMNS) - 1, "", inks.of("wrap"))
        sheet.write_string(number, 0, says, inks.of("wrap"))
        width = sum(column.width for column in COLUMNS)
        sheet.set_row(number, LINE_PT * lines_of(says, width) + 3)
    book.close()
    return held.getvalue()


def _set_up(sheet: Worksheet, inks: Inks, order: PurchaseOrder) -> None:
    for at, column in enumerate(COLUMNS):
        sheet.set_column(at, at, column.width, inks.of("text"))
    sheet.set_paper(A4)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
    sheet.set_margins(left=0.5, right=0.5, top=0.7, bottom=0.7)
    sheet.set_footer(f"&L&8Purchase order {order.number}&R&8page &P of &N")


def _head(sheet: Worksheet, inks: Inks, order: PurchaseOrder, firm: Firm) -> int:
    """Write who orders what from whom; return the next row."""
    to = order.to
    place = f"site of job {to.job}" if to.job else to.place
    sheet.write_string(
        0, 0, f"Purchase order {order.number} to {order.supplier}", inks.of("title"))
    sheet.set_row(0, 2 * LINE_PT)
    says = (
        ", ".join(part for part in (
            firm.name, _flat(firm.address), firm.phone, firm.email) if part),
        f"Date: {words.day(order.on)}"
        + (f"; wanted on {words.day(order.wanted_on)}" if order.wanted_on else ""),
        "Deliver to: " + ", ".join(part for part in (place, _flat(to.address)) if part)
        + (f"; received by {to.receiver}" if to.receiver else ""),
        order.note,
    )
    at = 1
    for text in says:
        if text:
            sheet.write_string(at, 0, text, inks.of("plain text"))
            at += 1
    return at + 1


def _flat(text: str) -> str:
    return ", ".join(line.strip() for line in text.splitlines() if line.strip())


def _lines(sheet: Worksheet, inks: Inks, order: PurchaseOrder, at: int) -> int:
    """Write the goods with their sums; return the next row."""
    for column, about in enumerate(COLUMNS):
        left = about.kind in LEFT_KINDS
        sheet.write_string(at, column, about.title, inks.of("header" if left else "header right"))
    sheet.set_row(at, 2 * LINE_PT + 3)
    sheet.repeat_rows(at)
    sheet.freeze_panes(at + 1, 0)
    first = at + 2
    for line in order.lines:
        at += 1
        for column, cell in enumerate(_cells(line, at + 1)):
            _write(sheet, inks, (at, column), cell)
        sheet.set_row(at, max(SITE_ROW_PT, LINE_PT * lines_of(line.name, COLUMNS[3].width)))
    last = at + 1
    sums = (
        ("Goods", f"=SUM({_AMOUNT}{first}:{_AMOUNT}{last})", order.goods_minor),
        ("Carriage", None, order.carriage_minor),
        ("In all, without VAT", f"={_AMOUNT}{last + 1}+{_AMOUNT}{last + 2}", order.total_minor),
    )
    for title, formula, minor in sums:
        at += 1
        sheet.write_string(at, 3, title, inks.of("wrap", "sum"))
        amount: Cell = Formula(formula, Pence(minor)) if formula else Pence(minor)
        _write(sheet, inks, (at, _AT_AMOUNT), amount, "sum")
    return at + 1


def _cells(line: OrderLine, row: int) -> tuple[Cell, ...]:
    amount = f"=ROUND({_UNITS}{row}*{_PRICE}{row}/{_PER}{row}+{_CUT}{row},2)"
    return (
        line.line, line.supplier_code, line.item, line.name, line.quantity, line.unit,
        line.packs, line.pack, Pence(line.price_minor), line.per, Pence(line.cut_charge_minor),
        Formula(amount, Pence(line.cost_minor)),
        words.day(line.price_until) if line.price_until else "further notice",
        words.day(line.needed_on) if line.needed_on else "",
        "please" if line.serials else "", None, None)


def _write(
    sheet: Worksheet, inks: Inks, at: tuple[int, int], cell: Cell, style: str = "plain"
) -> None:
    """Write a cell; a text stays a text, whatever it starts with."""
    ink = inks.of(COLUMNS[at[1]].kind, style)
    match cell:
        case Formula():
            sheet.write_formula(*at, cell.text, ink, _number(cell.value))
        case Pence() | int() | Decimal():
            sheet.write_number(*at, _number(cell), ink)
        case str() if cell:
            sheet.write_string(*at, cell, ink)
        case _:
            sheet.write_blank(*at, None, ink)


def _number(value: int | Decimal | Pence) -> float:
    return value.minor / MINOR_PER_MAJOR if isinstance(value, Pence) else float(value)
