"""A purchase order as workbook and page: what it says, what it never says, and that it opens."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from datetime import date
from decimal import Decimal as D
from pathlib import Path

import openpyxl
import pytest

from estimator.buying.ordering import DeliverTo
from estimator.papers.order_page import order_page
from estimator.papers.workbook.order_sheet import order_workbook
from estimator.settings import Firm
from tests.approved import check_approved
from tests.factories import OrderLineFactory, PurchaseOrderFactory
from tests.papers.reading import formulas, values

FIRM = Firm(name="Sample Roof and Store", address="1 Sample Lane\nSampleton",
            phone="01632 960001", email="orders@sample.example")
# By hand: 12 x 58.40 = 700.80; 18.5 m at 79.00 for 100 m = 14.615, with 2.50 for cutting 17.12;
# goods 717.92, with 7.50 carriage 725.42.
ORDER = PurchaseOrderFactory(
    to=DeliverTo("site D-101", "D-101", "27 Mill Bank\nOverwater", "R. Site, 07700 900123"),
    note="=ring first", least_minor=90_000, advised_minor=18_208,
    lines=(
        OrderLineFactory(
            line=1, item="00440-BK", name="Panel 440 W, all black", quantity=D(12),
            price_minor=5_840, family="panel", serials=True, needed_on=date(2026, 11, 10)),
        OrderLineFactory(
            line=2, item="03025-TE", name="+Cable 2.5 mm²", unit="m", quantity=D("18.5"),
            pack=D("0.5"), per=D(100), price_minor=7_900, cut_charge_minor=250,
            price_until=date(2026, 12, 31), supplier_code="-77"),
    ))
SHEET = "Order 12"


def test_the_page_is_as_approved() -> None:
    check_approved("papers/order.html", order_page(ORDER, FIRM))


def test_what_a_person_typed_is_escaped_on_the_page() -> None:
    hostile = PurchaseOrderFactory(
        supplier="<script>alert(1)</script>", note='"><img src=x>',
        lines=(OrderLineFactory(name="<b>bold</b>"),))
    page = order_page(hostile, FIRM)
    assert "<script" not in page
    assert "<img" not in page
    assert "<b>" not in page


def test_a_supplier_never_reads_for_which_jobs_or_how_far_from_the_least_order() -> None:
    page = order_page(ORDER, FIRM)
    book = order_workbook(ORDER, FIRM)
    for text in (page, " ".join(str(each) for each in values(book).values())):
        assert "182.08" not in text
        assert "900.00" not in text


def test_the_workbook_says_all_that_the_supplier_must_know() -> None:
    held = values(order_workbook(ORDER, FIRM))
    said = [str(value) for value in held.values()]
    for words in (
        "Purchase order 12 to Counter North", "Date: 2 November 2026; wanted on 10 November 2026",
        "Deliver to: site of job D-101, 27 Mill Bank, Overwater; received by R. Site, 07700 900123",
        "Panel 440 W, all black", "CN-1", "00440-BK", "please", "31 December 2026",
        "further notice", "All amounts are without VAT.",
    ):
        assert words in said, words
    assert any(each.startswith("Goods on pallets go to a site") for each in said)


def test_what_begins_like_a_formula_is_text() -> None:
    book = order_workbook(ORDER, FIRM)
    typed = {"=ring first", "+Cable 2.5 mm²", "-77"}
    opened = openpyxl.load_workbook(io.BytesIO(book))[SHEET]
    kinds = {cell.value: cell.data_type for row in opened.iter_rows() for cell in row
             if cell.value in typed}
    assert kinds == dict.fromkeys(typed, "s")


def test_the_same_order_gives_the_same_bytes() -> None:
    assert order_workbook(ORDER, FIRM) == order_workbook(ORDER, FIRM)


def test_it_prints_across_a4_with_the_headings_on_every_page() -> None:
    sheet = openpyxl.load_workbook(io.BytesIO(order_workbook(ORDER, FIRM)))[SHEET]
    assert (sheet.page_setup.orientation, int(sheet.page_setup.paperSize)) == ("landscape", 9)
    heading = next(row[0].row for row in sheet.iter_rows() if row[0].value == "Line")
    assert sheet.print_title_rows == f"${heading}:${heading}"


@pytest.mark.office
def test_a_spreadsheet_program_opens_it_and_calculates_the_same_amounts(
    recalculated: Callable[[bytes], bytes],
) -> None:
    book = order_workbook(ORDER, FIRM)
    again = recalculated(book)
    cells = [at for at, text in formulas(book).items() if str(text).startswith("=")
             and text != "=ring first"]
    assert [values(again)[at] for at in cells] == pytest.approx([700.80, 17.12, 717.92, 725.42])
    assert values(again) == values(book)


def test_every_colour_of_the_page_is_one_of_the_quote_s() -> None:
    folder = Path(__file__).parents[2] / "estimator" / "papers" / "templates"
    quote, order = ((folder / name).read_text(encoding="utf-8")
                    for name in ("quote.css", "order.css"))
    assert set(re.findall(r"#[0-9a-f]{3,6}", order)) <= set(re.findall(r"#[0-9a-f]{3,6}", quote))
