"""Reads the rows of a table below its header: the sound ones, the skipped ones, the refused ones.

A hundred thousand rows are usual, so common rows are read many at once (`common_rows`); whatever is
not common (a heading, a fault, a price finer than a minor unit) goes cell by cell.

Codes of the problems, beside those of `faults`: A122 hidden rows, A125 more cells than the header;
cautions A131 hidden.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from itertools import islice
from operator import itemgetter
from typing import Any

from catalogue.price_lists import texts
from catalogue.price_lists.column_map import ColumnMap
from catalogue.price_lists.common_rows import CommonRows, is_blank
from catalogue.price_lists.doubles import without_doubles
from catalogue.price_lists.faults import Fault, fault_of_flaw
from catalogue.price_lists.header import Header, Row, find_header
from catalogue.price_lists.kinds import Kinds
from catalogue.price_lists.listed import ListedPrice, ReadPriceList
from catalogue.price_lists.prices import Finer, Prices
from catalogue.price_lists.quantities import ONE
from catalogue.price_lists.table import Cells, Table
from catalogue.price_lists.terms import FIELDS, Terms, TermsOf, priced
from catalogue.problems import Problem, ProblemsFound

_AT_ONCE = 512  # rows; their cells fit into the processor's cache
_FEW = 4
_WITHOUT_CONTENT = ("formula", "error")  # also where no content is kept


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


class _Rows:
    """The rows of one table while they are read."""

    def __init__(self, table: Table, header: Header, column_map: ColumnMap) -> None:
        self.table, self.header, self.map = table, header, column_map
        self.at = {field: column - table.first_column
                   for field, column in header.fields.items()}
        self.cells = Cells(table.file, table.sheet, table.first_column, header.fields,
                           header.titles)
        self.term_fields = [field for field in FIELDS if field in self.at]
        self.breaks = {int(Decimal(least) * ONE): least for least in column_map.price_breaks}
        self.prices = Prices(column_map.currency, column_map.decimal_mark, column_map.free_items)
        self.terms = TermsOf(column_map, self.term_fields)
        self.kinds = Kinds(header.titles, self.at, column_map.skip_words)
        self.listed: list[ListedPrice] = []
        self.told: list[tuple[int, Problem]] = []
        self.refused: set[int] = set()
        self.skipped: Counter[str] = Counter()
        self.unseen: list[int] = []
        self.too_long: dict[int, int] = {}
        columns = set(header.fields.values())
        self.flaws = {row: flaws for row, flaws in table.flaws.items()
                      if not columns.isdisjoint(flaws)}
        self.special: set[int] = set(self.flaws)
        if column_map.hidden_rows == "refuse":
            self.special |= table.hidden

    def read(self, rows: Iterator[Row]) -> None:
        """Read what stands above and below the header."""
        self._read_above()
        first = self.header.row
        numbers = self.table.numbers
        if numbers is None:
            self._read_from(first + 1, None, rows)
        else:
            left = numbers[first:]
            self._read_from(0, left, self._fitted(zip(left, rows, strict=False)))

    def _read_above(self) -> None:
        """Pass over what stands above the header, unless it looks like the list itself.

        Raises:
            ProblemsFound: A104 if a row above the header holds a part number and a price.
        """
        # of their own: yes is 1 to a mapping, and would stand in the place of a price
        prices = Prices(self.map.currency, self.map.decimal_mark, self.map.free_items)
        for number, row in enumerate(self.header.before, 1):
            self.skipped["blank" if _is_blank(row) else "title"] += 1
            code, price = ([*row[at:at + 1], ""][0] for at in (
                self.at["code"], self.at.get("price", len(row))))
            if self.map.header_row is None and str(code).strip() and not isinstance(
                    prices[price], Fault):
                raise ProblemsFound([Problem(
                    "A104", self.table.place(self.header.row), "the header stands below a part "
                    f"number with a price, in row {number}",
                    "say in the column map which row it is: header_row = 4")])

    def _fitted(self, numbered: Iterator[tuple[int, Row]]) -> Iterator[Row]:
        """Yield the rows of a text file, short ones filled up; note those with too many cells."""
        width = max(self.at.values(), default=0) + 1
        longest = max(len(self.header.titles), width)
        for number, row in numbered:
            if len(row) > longest and not is_blank([row[longest:]]):
                self.too_long[number] = longest
                self.special.add(number)
            yield [*row, *[""] * (width - len(row))] if len(row) < width else row

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
        if self.map.hidden_rows == "refuse" and number in self.table.hidden:
            if _is_blank(row):
                self.skipped["blank"] += 1
            else:
                self.unseen.append(number)
            return
        if number in self.too_long:
            self._refuse(number, None, Fault(
                "A125", f"the row has {len(row)} cells and the header {self.too_long[number]}",
                "put a text that holds the delimiter in double quotes"))
            return
        flaws = self._flaws(number, row)
        kind = self.kinds.kind_of(row, bool(flaws))
        if kind:
            self.skipped[kind] += 1
            return
        faults: list[tuple[str, Fault]] = []
        sound = dict(self._sound_cells(row, flaws, faults))
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
            self._refuse(number, field, fault)
        if not faults and isinstance(terms, Terms):
            self._take(number, (code, item, name), terms, prices)

    def _flaws(self, number: int, row: Row) -> dict[int, str]:
        """Return the flaws of a row's cells by column; the format of a blank cell is none."""
        first = self.table.first_column
        return {column: word for column, word in self.flaws.get(number, {}).items()
                if word in _WITHOUT_CONTENT or row[column - first] not in ("", None)}

    def _sound_cells(
        self, row: Row, flaws: dict[int, str], faults: list[tuple[str, Fault]]
    ) -> Iterator[tuple[str, Any]]:
        """Yield field and cell; a cell that its content does not show wrong is a fault."""
        for field, at in self.at.items():
            flaw = flaws.get(at + self.table.first_column)
            if flaw:
                faults.append((field, fault_of_flaw(flaw, self.map.currency)))
            else:
                yield field, "" if row[at] is None else row[at]

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

    def _refuse(self, number: int, field: str | None, fault: Fault) -> None:
        place, before = self.cells(number, *([] if field is None else [field]))
        self.told.append((number, fault._replace(says=f"{before}{fault.says}").at(place)))
        self.refused.add(number)

    def result(self) -> ReadPriceList:
        """Return what was read, doubled part numbers settled."""
        rows = without_doubles(self.listed, self._double, self.skipped)
        for first, last in _runs(self.unseen):
            says = "the row is hidden" if first == last else f"rows {first} to {last} are hidden"
            self.told.append((first, Fault(
                "A122", says, 'look at what is hidden; if it holds, the column map says '
                'hidden_rows = "read"').at(self.table.place(first))))
        self.told += [(problem.where.line or 0, problem) for problem in self.table.refused]
        told = [problem for _, problem in sorted(self.told, key=itemgetter(0))]
        return ReadPriceList(
            self.table.form, self.map.currency, rows, told,
            len(self.refused) + len(self.unseen) + len(self.table.refused),
            dict(sorted(self.skipped.items())),
            [*self.table.cautions, *self._hidden_columns()], cell=self.cells)

    def _hidden_columns(self) -> Iterator[Problem]:
        """Yield a caution for each hidden column that is read."""
        for field, column in self.header.fields.items():
            if column in self.table.hidden_columns:
                yield Problem("A131", self.table.place(self.header.row or 1, column),
                              f"the column is hidden, and {field} is read from it",
                              "look at it before its values are taken over", "caution")

    def _double(self, number: int, fault: Fault) -> None:
        self._refuse(number, "code", fault)


def _is_blank(row: Row) -> bool:
    return not any(cell is not None and (not isinstance(cell, str) or cell.strip())
                   for cell in row)


def _runs(numbers: list[int]) -> Iterator[tuple[int, int]]:
    """Yield first and last of each run of numbers that follow one another."""
    start = 0
    for i, number in enumerate(numbers):
        if i + 1 == len(numbers) or numbers[i + 1] != number + 1:
            yield numbers[start], number
            start = i + 1
