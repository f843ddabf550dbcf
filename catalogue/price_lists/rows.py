"""Reads the rows of a table below its header: the sound ones, the skipped ones, the refused ones.

A hundred thousand rows are usual, so common rows are read many at once (`common_rows`); whatever is
not common (a heading, a fault, a price finer than a minor unit) goes cell by cell.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from itertools import islice
from typing import Any

from catalogue.price_lists import texts
from catalogue.price_lists.column_map import ColumnMap
from catalogue.price_lists.common_rows import CommonRows, is_blank
from catalogue.price_lists.doubles import without_doubles
from catalogue.price_lists.faults import Fault
from catalogue.price_lists.header import Header, Row, find_header
from catalogue.price_lists.listed import ListedPrice, ReadPriceList
from catalogue.price_lists.prices import Finer, Prices
from catalogue.price_lists.quantities import ONE
from catalogue.price_lists.sheet_rows import SheetRows
from catalogue.price_lists.table import Table
from catalogue.price_lists.terms import FIELDS, Terms, TermsOf, priced
from catalogue.problems import Problem, ProblemsFound

_AT_ONCE = 512  # rows; their cells fit into the processor's cache
_FEW = 4


def read_rows(table: Table, column_map: ColumnMap) -> ReadPriceList:
    """Return the prices of a table.

    Raises:
        ProblemsFound: A104 if its header is not found.
    """
    rows = iter(table.rows)
    header = find_header(table, rows, column_map)
    reader = _Rows(table, header, column_map)
    reader.read(rows)
    return reader.result()


class _Rows(SheetRows):
    """The rows of one table while they are read."""

    def __init__(self, table: Table, header: Header, column_map: ColumnMap) -> None:
        super().__init__(table, header, column_map)
        self.term_fields = [field for field in FIELDS if field in self.at]
        self.breaks = {int(Decimal(least) * ONE): least for least in column_map.price_breaks}
        self.prices = Prices(column_map.currency, column_map.decimal_mark, column_map.free_items)
        self.terms = TermsOf(column_map, self.term_fields)
        self.listed: list[ListedPrice] = []

    def read(self, rows: Iterator[Row]) -> None:
        """Read what stands above and below the header."""
        self._read_above()
        first = self.header.row
        numbers = self.table.numbers
        if numbers is None:
            self._read_from(first + 1, None, rows)
        else:
            left = numbers[first:]
            self._read_from(0, left, self.fitted(zip(left, rows, strict=False)))

    def _read_above(self) -> None:
        """Pass over what stands above the header, unless it looks like the list itself.

        Raises:
            ProblemsFound: A104 if a row above the header holds a part number and a price.
        """
        # of their own: yes is 1 to a mapping, and would stand in the place of a price
        prices = Prices(self.map.currency, self.map.decimal_mark, self.map.free_items)
        for number, row in enumerate(self.header.before, 1):
            self.skipped["blank" if is_blank([row]) else "title"] += 1
            code, price = ([*row[at:at + 1], ""][0] for at in (
                self.at["code"], self.at.get("price", len(row))))
            if self.map.header_row is None and str(code).strip() and not isinstance(
                    prices[price], Fault):
                raise ProblemsFound([Problem(
                    "A104", self.table.place(self.header.row), "the header stands below a part "
                    f"number with a price, in row {number}",
                    "say in the column map which row it is: header_row = 4")])

    def _read_from(self, first: int, numbers: Sequence[int] | None, rows: Iterator[Row]) -> None:
        """Read the rows below the header, many at once; numbers is None where they are in turn."""
        at_once = "price" in self.at and not self.breaks
        common = CommonRows(self.at, self.term_fields, self.prices, self.terms, self.kinds
                            ) if at_once else None
        done = 0
        while some := list(islice(rows, _AT_ONCE)):
            where = range(first + done, first + done + len(some)) if numbers is None else (
                numbers[done:done + len(some)])
            self._read_some(common, where, some)
            done += len(some)

    def _read_some(
        self, common: CommonRows | None, numbers: Sequence[int], rows: Sequence[Row]
    ) -> None:
        """Read rows at once if all of them are common, else half of them and the other half."""
        if is_blank(rows) and self.special.isdisjoint(numbers):
            self.skipped["blank"] += len(rows)
            return
        read = common.read(numbers, rows) if common and self.special.isdisjoint(numbers) else None
        if read is not None:
            self.listed += read
        elif len(rows) > _FEW and common:
            half = len(rows) // 2
            self._read_some(common, numbers[:half], rows[:half])
            self._read_some(common, numbers[half:], rows[half:])
        else:
            for number, row in zip(numbers, rows, strict=True):
                self._by_itself(number, row)

    def _by_itself(self, number: int, row: Row) -> None:
        """Read a row that is not common: say why it is skipped or refused, or take it."""
        flaws = self.flaws_if_read(number, row)
        if flaws is None:
            return
        faults: list[tuple[str, Fault]] = []
        sound = dict(self.sound_cells(row, flaws, faults))
        code = self._text("code", sound, faults, lambda cell: texts.code(
            cell, self.map.codes == "numbers"))
        name = self._text("name", sound, faults, texts.name)
        item = self._text("item", sound, faults, lambda cell: texts.code(cell, False)
                          if cell != "" else "")
        terms = self.terms.read([sound.get(field, "") for field in self.term_fields])
        if not isinstance(terms, Terms):
            faults += terms
        prices = self._prices(sound, faults)
        for field, fault in faults:
            self.refuse(number, field, fault)
        if not faults and isinstance(terms, Terms):
            self._take(number, (code, item, name), terms, prices)

    def _text(
        self, field: str, sound: dict[str, Any], faults: list[tuple[str, Fault]],
        read: Callable[[Any], str | Fault]
    ) -> str:
        value = read(sound[field]) if field in sound else ""
        if isinstance(value, Fault):
            faults.append((field, value))
            return ""
        return value

    def _prices(
        self, sound: dict[str, Any], faults: list[tuple[str, Fault]]
    ) -> list[tuple[int, int | Finer]]:
        """Return each price with the quantity from which it holds, in thousandths."""
        found = []
        columns = [(0, "price")] if "price" in self.at else []
        columns += [(least, name) for least, name in self.breaks.items()]
        for least, field in columns:
            cell = sound.get(field)
            if cell is None or (least and cell == ""):
                continue
            price = self.prices[cell]
            if isinstance(price, Fault):
                faults.append((field, price))
            else:
                found.append((least, price))
        if not found and not faults:
            faults.append((columns[0][1], Fault("A112", "the price is missing",
                                                "ask the supplier for it")))
        return found

    def _take(
        self, number: int, words: tuple[str, str, str], terms: Terms,
        prices: Sequence[tuple[int, int | Finer]],
    ) -> None:
        for least, price in prices:
            unit, pack, per, bound = terms.before
            held = terms
            if least > max(pack, bound):
                held = terms._replace(before=(unit, pack, per, least))
            self.listed.append(priced(number, words, held, price))

    def result(self) -> ReadPriceList:
        """Return what was read, doubled part numbers settled."""
        rows = without_doubles(self.listed, self._double, self.skipped)
        return ReadPriceList(
            self.table.form, self.map.currency, rows, self.all_told(), self.refused_rows(),
            dict(sorted(self.skipped.items())),
            [*self.table.cautions, *self.hidden_columns()], cell=self.cells)

    def _double(self, number: int, fault: Fault) -> None:
        self.refuse(number, "code", fault)

