"""A file of bills with every kind of dirt: what is sound comes in, the rest is named by its cell.

Each row is a bill of its own, so that no row hangs on another. As a workbook and as a text file.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook

from estimator.workflow.bills import BillsImport, BillsWanted, import_bills
from tests.actuals.firm import DEPOT, TODAY, line, make_firm, order

HEADER = ("Supplier", "Invoice no", "Document", "Date", "Due date", "Order", "Order line", "Item",
          "Part no", "Job", "Kind", "Cost head", "Description", "Qty", "Net", "VAT", "Currency",
          "Net total", "Invoice total")
PLAIN: dict[str, Any] = {
    "Supplier": "Sample Hire", "Date": date(2026, 11, 10), "Job": "D-101", "Kind": "plant",
    "Description": "Lift", "Net": 90.0, "VAT": 18.0}
OF_ORDER: dict[str, Any] = {
    "Supplier": DEPOT, "Job": None, "Kind": None, "Order": "1", "Order line": 1, "Qty": 10,
    "Net": 1.0, "VAT": 0.2, "Description": None}


@dataclass(frozen=True)
class Dirt:
    """One row: its cells, and the net amount of a bill that comes in, or how it is refused."""

    kind: str
    cells: dict[str, Any] = field(default_factory=dict)
    net: int | None = None
    refused: tuple[str, str, str] | None = None
    in_text: bool = True


def _in(odd: str, comes_to: int, in_text: bool = True, **cells: Any) -> Dirt:
    return Dirt(odd, _titles(cells), comes_to, in_text=in_text)


def _out(odd: str, at: str, code: str, says: str, in_text: bool = True, **cells: Any) -> Dirt:
    return Dirt(odd, _titles(cells), refused=(at, code, says), in_text=in_text)


def _titles(cells: dict[str, Any]) -> dict[str, Any]:
    titled = {name.replace("_", " ").capitalize(): value for name, value in cells.items()}
    plain = OF_ORDER if "Of order" in titled else {}
    titled.pop("Of order", None)
    vat = {"VAT": titled.pop("Vat")} if "Vat" in titled else {}
    return {**plain, **titled, **vat}


DIRT = (
    _in("a plain row", 9_000),
    _in("a sign of the currency and groups of thousands", 123_456, net="£1,234.56"),
    _in("an amount below nought in brackets", -9_000, net="(90.00)", vat=-18),
    _in("a minus behind", -9_000, net="90.00-", vat=-18),
    _out("no supplier", "Supplier", "Z231", "the supplier is missing", supplier=None),
    _out("no number", "Invoice no", "Z232", "the number of the bill is missing", invoice_no=None),
    _out("a number that lost its zeros", "Invoice no", "A110", "the number of the bill 420 is a "
         "number here, so leading zeros may be lost", in_text=False, invoice_no=420),
    _in("a number with zeros in front", 9_000, invoice_no="00420"),
    _out("no day", "Date", "A118", "the day is missing", date=None),
    _out("a day to come", "Date", "Z243", "2026-11-21 is still to come, and today is 2026-11-20",
         date="2026-11-21"),
    _out("due before its day", "Due date", "Z243", "it is due on 2026-11-09, before its own day "
         "2026-11-10", due_date="2026-11-09"),
    _out("no net amount", "Net", "A112", "the net amount is missing", net=None),
    _out("words for an amount", "Net", "A112", "there is no price but 'tba'", net="tba"),
    _out("part of a penny", "Net", "A113", "'90.005' has more than 2 decimal places", net="90.005"),
    _out("another currency's sign", "Net", "A115", "the price '€90' is not in GBP", net="€90"),
    _out("another currency", "Currency", "Z242", "the bill is in 'EUR', and the firm reckons in "
         "GBP", currency="EUR"),
    _in("the firm's currency", 9_000, currency="gbp"),
    _out("a kind that there is not", "Kind", "Z235", "'hire' is no kind of line", kind="hire"),
    _out("no kind", "Kind", "Z235", "the kind of line is missing", kind=None),
    _out("a document that there is not", "Document", "Z235",
         "'reminder' is neither invoice nor credit note", document="reminder"),
    _in("a credit note", -9_000, document="Credit note"),
    _in("a head of its own", 9_000, cost_head="Scaffold"),
    _out("a head that there is not", "Cost head", "Z235", "'scafold' is no cost head",
         cost_head="scafold"),
    _out("a job that there is not", "Job", "Z239", "there is no job 'D-1O1'", job="D-1O1"),
    _out("an item that there is not", "Item", "Z238", "there is no item '08410-XX'", kind="goods",
         item="08410-XX"),
    _out("a total that is not that of the lines", "Invoice total", "Z241", "the total to be paid "
         "is 109.00, and the lines come to 108.00: 1.00 less", invoice_total=109),
    _in("totals that add up", 9_000, invoice_total=108, net_total="90.00"),
    _out("a net total that is not that of the lines", "Net total", "Z241", "the net amount of the "
         "whole bill is 89.99, and the lines come to 90.00: 0.01 more", net_total=89.99),
    _in("goods of an order by its line", 100, of_order=True),
    _in("an order in words", 100, of_order=True, order="Order no. 001"),
    _in("goods of an order by our code", 100, of_order=True, order_line=None, item="08410-CC"),
    _in("goods of an order by their code", 100, of_order=True, order_line=None, part_no="sd-1"),
    _out("no number of an order", "Order", "Z236", "'see mail' is no number of an order of ours",
         of_order=True, order="see mail"),
    _out("an order that there is not", "Order", "Z236", "there is no order 99", of_order=True,
         order=99),
    _out("an order that went to somebody else", "Order", "Z236", "order 1 went to Storage Depot, "
         "and Counter North charges it", of_order=True, supplier="Counter North"),
    _out("a line that the order has not", "Order line", "Z237", "order 1 has nothing like line 7",
         of_order=True, order_line=7),
    _out("no line of an order", "Order line", "Z237", "'first' is no line of an order",
         of_order=True, order_line="first", qty=None),
    _out("goods of an order with two lines of them", "Order line", "Z237", "order 1 has 2 lines of "
         "15010", of_order=True, order_line=None, item="15010"),
    _out("goods that the order is not for this job", "Job", "Z239", "order 1, line 1, is for "
         "D-101, not D-104", of_order=True, job="D-104"),
    _out("goods that come and money that goes", "Qty", "Z240", "quantity and amount do not go the "
         "same way", of_order=True, qty=-10),
    _out("a name that turns the direction of reading", "Description", "A111",
         "'Lift \u00b7' has a hidden character in it", description="Lift \u202e"),
    _in("a name that would run as a formula", 9_000, description="=cmd|' /C calc'!A0"),
)
NUMBERED = list(enumerate(DIRT, 2))


def cells_of(number: int, dirt: Dirt) -> list[Any]:
    told = {**PLAIN, "Invoice no": f"N-{number}", **dirt.cells}
    return [told.get(title) for title in HEADER]


@pytest.fixture(scope="module")
def read(
    starter_template: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[dict[str, BillsImport]]:
    folder = tmp_path_factory.mktemp("bills")
    database = make_firm(starter_template, folder)
    assert order(database, line(1, "08410-CC", 1_000, 10, ("D-101", 1_000)),
                 line(2, "15010", 5, 900), line(3, "15010", 5, 950)) == 1
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Bills"
    sheet.append(HEADER)
    for number, dirt in NUMBERED:
        for column, value in enumerate(cells_of(number, dirt), 1):
            cell: Any = sheet.cell(number, column)
            cell.value = value
            if isinstance(value, str):
                cell.data_type = "s"  # also where it begins like a formula
    book.save(folder / "bills.xlsx")
    with (folder / "bills.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(HEADER)
        for number, dirt in NUMBERED:
            writer.writerow(["" if cell is None else cell for cell in cells_of(number, dirt)]
                            if dirt.in_text else [])
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        yield {ending: import_bills(database, BillsWanted(Path(f"bills.{ending}"), TODAY))
               for ending in ("xlsx", "csv")}


def test_there_are_many_kinds_each_once() -> None:
    kinds = [dirt.kind for dirt in DIRT]
    assert len(set(kinds)) == len(kinds) >= 40


@pytest.mark.parametrize(("number", "dirt"), NUMBERED, ids=[dirt.kind for dirt in DIRT])
@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_a_bill_comes_in_or_is_named(
    read: dict[str, BillsImport], ending: str, number: int, dirt: Dirt
) -> None:
    if ending == "csv" and not dirt.in_text:
        return
    done = read[ending]
    found = {line.row: each.bill for each in done.bills for line in each.lines}
    told = [each for each in done.refused
            if number in (each.where.line, int(re.sub("[^0-9]", "", f"0{each.where.cell}")))]
    if dirt.net is not None:
        assert told == []
        assert found[number].net_minor == dirt.net
        return
    assert number not in found
    assert dirt.refused is not None
    title, code, says = dirt.refused
    (first,) = told
    letter = chr(ord("A") + HEADER.index(title))
    start = (f"bills.csv:{number}: error {code}: {title.lower()}: {says}" if ending == "csv" else
             f"bills.xlsx:Bills!{letter}{number}: error {code}: {says}")
    assert str(first).startswith(start)
    assert first.mend
