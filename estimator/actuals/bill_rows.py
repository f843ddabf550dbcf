"""Rows of a table of bills: one row a line, read cell by cell and gathered into bills.

Codes of the problems, beside those of `catalogue.price_lists.faults`: Z231 no supplier, Z232 no
number, Z233 rows of one bill that say different things, Z235 a kind of line or bill that there is
not, Z236 an order's number, Z240 a quantity, Z241 totals that do not add up, Z242 a currency,
Z243 days.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from typing import Any

from catalogue.price_lists import texts
from catalogue.price_lists.column_map import ColumnMap
from catalogue.price_lists.faults import Fault, told
from catalogue.price_lists.field_rows import FieldRow
from catalogue.price_lists.numbers import scaled
from catalogue.price_lists.prices import Prices
from catalogue.problems import suggestion
from estimator.actuals.bill_fields import MEANINGS
from estimator.actuals.bills import KINDS, NOTHING, Bill, BillLine, Document, as_credit, bill_key
from estimator.actuals.row_reader import FLAWED, RowReader

DOCUMENTS: Mapping[str, Document] = {
    "invoice": "invoice", "bill": "invoice", "credit note": "credit note",
    "credit": "credit note", "credit memo": "credit note",
}
_ORDER = re.compile(r"(?:purchase |our )?(?:order|p\.?o\.?)?\s*(?:no\.?|number)?\s*[#:-]?\s*0*"
                    r"([1-9][0-9]{0,8})")
_SIDE_BY_SIDE = ("on", "due", "currency", "document")  # of which each bill has one
_TOTALS = ("net_total", "tax_total", "total")


@dataclass(frozen=True, slots=True)
class Usual:
    """What holds for lines that do not say it themselves."""

    kind: str = ""
    job: str = ""
    order: int | None = None


@dataclass(frozen=True, slots=True)
class _Row:
    """A row as read: its line, and what it says of the whole bill."""

    line: BillLine
    tax_minor: int
    about: dict[str, Any]
    totals: dict[str, int]


@dataclass
class Gathered:
    """The bills of a table, and what is wrong with rows of them.

    Attributes:
        bills: all of them; of those that are wrong what could be read.
        wrong: keys of bills of which a row is refused.
        refused: row, field and what is wrong.
    """

    bills: list[Bill] = field(default_factory=list)
    wrong: set[tuple[str, str]] = field(default_factory=set)
    refused: list[tuple[int, str, Fault]] = field(default_factory=list)


class BillReader(RowReader):
    """Reads rows; `gathered` makes bills of them."""

    def __init__(self, columns: ColumnMap, usual: Usual) -> None:
        super().__init__(columns)
        self.usual = usual
        self.money = Prices(columns.currency, columns.decimal_mark, free_items=True)
        self.done = Gathered()
        self.by_bill: dict[tuple[str, str], list[_Row]] = {}
        self.names: dict[tuple[str, str], tuple[str, str]] = {}

    def read(self, row: FieldRow) -> None:
        """Read a row and put it to those of its bill."""
        self.begin(row)
        supplier = self.cell("supplier", texts.name, Fault(
            "Z231", "the supplier is missing", "write who charges this"))
        number = self.cell("number", lambda cell: texts.code(
            cell, self.map.codes == "numbers", "number of the bill"), Fault(
                "Z232", "the number of the bill is missing", "write it; without one nobody can see "
                "whether it was charged twice"))
        key = bill_key(supplier or "", number or "")
        read = self._row(row.number)
        self.names.setdefault(key, (supplier or "", number or ""))
        self.by_bill.setdefault(key, []).append(read)
        if self.faults or row.flawed:
            self.done.wrong.add(key)
        self.done.refused += [(row.number, *each) for each in self.faults]

    def _row(self, number: int) -> _Row:
        kind = self._kind()
        line = BillLine(
            number, kind, self.words("name"), self._quantity(),
            self._amount("net", Fault("A112", "the net amount is missing", "write it")),
            self.code("job", "job", "its id is as in: estimator jobs list") or self.usual.job,
            self._order(), self._order_line(),
            self.code("item", "item's code", "find it: estimator catalogue find WORDS"),
            self.code("supplier_code", "part number", "it stands on the bill"),
            self.words("head").casefold())
        return _Row(line, self._amount("tax"), {
            "on": self.day("day", Fault("A118", "the day is missing", "write it")),
            "due": self.day("due"), "currency": self._currency(), "document": self._document(),
        }, {each: self._amount(each) for each in _TOTALS if self.given(each) not in ("", FLAWED)})

    def _kind(self) -> str:
        goods = any(self.given(each) != "" for each in ("item", "supplier_code", "order_line"))
        usual = self.usual.kind or ("goods" if goods else "")

        def known(cell: Any) -> str | Fault:
            word = texts.clean(str(cell)).casefold()
            return word if word in KINDS else Fault(
                "Z235", f"{told(cell)} is no kind of line", suggestion(word, KINDS))

        return self.cell("kind", known, None if usual else Fault(
            "Z235", "the kind of line is missing", suggestion("", KINDS)
            + ", or say one for all: --kind")) or usual

    def _document(self) -> Document | None:
        def known(cell: Any) -> Document | Fault:
            word = texts.clean(str(cell)).casefold()
            return DOCUMENTS[word] if word in DOCUMENTS else Fault(
                "Z235", f"{told(cell)} is neither invoice nor credit note", "write one of both")

        found: Document | None = self.cell("document", known)
        return found

    def _currency(self) -> str | None:
        def known(cell: Any) -> str | Fault:
            word = texts.clean(str(cell)).upper()
            return word if word == self.map.currency else Fault(
                "Z242", f"the bill is in {told(cell)}, and the firm reckons in "
                f"{self.map.currency}", "book it by hand at what the bank charged: estimator "
                "actuals bill")

        found: str | None = self.cell("currency", known)
        return found

    def _order(self) -> int | None:
        def number(cell: Any) -> int | Fault:
            text = str(int(cell)) if isinstance(cell, float) and cell.is_integer() else str(cell)
            match = _ORDER.fullmatch(texts.clean(text).casefold())
            return int(match[1]) if match else Fault(
                "Z236", f"{told(cell)} is no number of an order of ours",
                "see them: estimator orders list")

        found = self.cell("order", number)
        return self.usual.order if found is None else int(found)

    def _order_line(self) -> int | None:
        def number(cell: Any) -> int | Fault:
            found = scaled(cell, 0, self.map.decimal_mark)
            return found if isinstance(found, int) and found > 0 else Fault(
                "Z237", f"{told(cell)} is no line of an order", "lines count from 1")

        found = self.cell("order_line", number)
        return None if found is None else int(found)

    def _quantity(self) -> Decimal:
        milli = self.cell("quantity", lambda cell: scaled(cell, 3, self.map.decimal_mark))
        return NOTHING if milli is None else Decimal(milli) / 1000

    def _amount(self, field_: str, missing: Fault | None = None) -> int:
        """Return an amount in minor units; below zero is given back."""
        def read(cell: Any) -> int | Fault:
            bare = self.money.without_sign(cell) if isinstance(cell, str) else cell
            return bare if isinstance(bare, Fault) else scaled(bare, 2, self.map.decimal_mark)

        return self.cell(field_, read, missing) or 0

    def gathered(self, today: date) -> Gathered:
        """Return the bills of all rows that were read."""
        for key, rows in self.by_bill.items():
            faults = list(_faults_of(rows, today))
            if not faults and key not in self.done.wrong:
                faults = list(_twice(rows))
            self.done.refused += faults
            if faults:
                self.done.wrong.add(key)
            self.done.bills.append(self._bill(self.names[key], rows, today))
        self.done.refused.sort(key=lambda each: each[0])
        return self.done

    def _bill(self, name: tuple[str, str], rows: list[_Row], today: date) -> Bill:
        about: dict[str, Any] = {
            each: next((row.about[each] for row in rows if row.about[each] is not None), None)
            for each in _SIDE_BY_SIDE}
        lines = tuple(row.line for row in rows)
        net = sum(line.net_minor for line in lines)
        tax = sum(row.tax_minor for row in rows) or next(
            (row.totals["tax_total"] for row in rows if "tax_total" in row.totals), 0)
        document: Document = about["document"] or ("credit note" if net < 0 else "invoice")
        if document == "credit note":
            lines, tax = as_credit(lines), -abs(tax)
        return Bill(document, *name, about["on"] or today, about["due"], self.map.currency, lines,
                    tax)


def _faults_of(rows: list[_Row], today: date) -> Iterator[tuple[int, str, Fault]]:
    """Yield what is wrong with the rows of one bill together."""
    first = rows[0]
    for row in rows[1:]:
        for field_, name in (("on", "day"), ("due", "due"), ("document", "document")):
            if None not in (row.about[field_], first.about[field_]) and (
                    row.about[field_] != first.about[field_]):
                yield row.line.row, name, Fault(
                    "Z233", f"row {first.line.row} of the same bill says {first.about[field_]}, "
                    f"and this row {row.about[field_]}", "look at the bill; a bill has one of it")
    day, due = first.about["on"], first.about["due"]
    if day is not None and day > today:
        yield first.line.row, "day", Fault(
            "Z243", f"{day} is still to come, and today is {today}", "look the day over")
    if None not in (day, due) and due < day:
        yield first.line.row, "due", Fault(
            "Z243", f"it is due on {due}, before its own day {day}", "look both days over")
    yield from _wrong_quantities(rows)
    yield from _wrong_totals(rows)


def _wrong_quantities(rows: list[_Row]) -> Iterator[tuple[int, str, Fault]]:
    credit = any(row.about["document"] == "credit note" for row in rows) or (
        sum(row.line.net_minor for row in rows) < 0)
    for row in rows:
        line = row.line
        if not credit and line.quantity * line.net_minor < 0:
            yield line.row, "quantity", Fault(
                "Z240", "quantity and amount do not go the same way", "goods that go back have "
                "both below nought; a discount has no quantity")


def _twice(rows: list[_Row]) -> Iterator[tuple[int, str, Fault]]:
    """Yield the first row of the second copy, if a bill whose total nobody says stands twice."""
    alike = [(replace(row.line, row=0), row.tax_minor) for row in rows]
    half, odd = divmod(len(rows), 2)
    said = any(row.totals for row in rows)
    if not odd and not said and sorted(map(repr, alike[:half])) == sorted(map(repr, alike[half:])):
        yield rows[half].line.row, "number", Fault(
            "Z233", f"the bill stands twice: from row {rows[0].line.row} and from here",
            "delete one; if it is charged so, say its total in a column")


def _wrong_totals(rows: list[_Row]) -> Iterator[tuple[int, str, Fault]]:
    """Yield totals that differ among rows or from the sums of the lines, to the penny."""
    net, tax = sum(row.line.net_minor for row in rows), sum(row.tax_minor for row in rows)
    said: dict[str, int] = {}
    for row in rows:
        for field_, minor in row.totals.items():
            if said.setdefault(field_, minor) != minor:
                yield row.line.row, field_, Fault(
                    "Z241", f"the rows of this bill say {amount(said[field_])} and "
                    f"{amount(minor)}", "look at the bill; it has one total")
    tax = tax or said.get("tax_total", 0)
    for field_, of_lines in (("net_total", net), ("tax_total", tax), ("total", net + tax)):
        if field_ in said and abs(said[field_]) != abs(of_lines):
            yield rows[0].line.row, field_, adds_up_not(
                f"the {MEANINGS[field_]}", said[field_], "the lines", of_lines)


def adds_up_not(what: str, said: int, whose: str, reached: int) -> Fault:
    """Return the fault of a total that its parts do not add up to."""
    more = "more" if reached > said else "less"
    return Fault(
        "Z241", f"{what} is {amount(said)}, and {whose} come to {amount(reached)}: "
        f"{amount(abs(reached - said))} {more}",
        "look for a line that is missing, double or misread; carriage is a line of its own")


def amount(minor: int) -> str:
    """Return minor units in major ones ("-12.50")."""
    sign, (whole, part) = "-" if minor < 0 else "", divmod(abs(minor), 100)
    return f"{sign}{whole}.{part:02}"
