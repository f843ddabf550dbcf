"""What is the same for the rows of every table that is read: which are passed over or refused.

Codes of the problems, beside those of `faults`: A122 hidden rows, A125 more cells than the header;
cautions A131 hidden.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from operator import itemgetter
from typing import Any

from catalogue.price_lists.column_map import ColumnMap
from catalogue.price_lists.common_rows import is_blank
from catalogue.price_lists.faults import Fault, fault_of_flaw
from catalogue.price_lists.header import Header, Row
from catalogue.price_lists.kinds import PRICED, Kinds
from catalogue.price_lists.table import Cells, Table
from catalogue.problems import Problem

_WITHOUT_CONTENT = ("formula", "error")  # also where no content is kept


class SheetRows:
    """The rows of one table while they are read.

    Attributes:
        at: place of each field in a row, from 0.
        cells: field and row -> place, for messages.
        told: row and what is wrong with it; `refused` are the numbers of such rows.
        skipped: how many rows hold nothing, by reason.
    """

    def __init__(
        self, table: Table, header: Header, column_map: ColumnMap,
        filled_in: tuple[str, str] = PRICED,
    ) -> None:
        """Take a table whose header was found; filled_in: two fields of every row."""
        self.table, self.header, self.map = table, header, column_map
        self.at = {field: column - table.first_column
                   for field, column in header.fields.items()}
        self.cells = Cells(table.file, table.sheet, table.first_column, header.fields,
                           header.titles)
        self.kinds = Kinds(header.titles, self.at, column_map.skip_words, filled_in)
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

    def fitted(self, numbered: Iterator[tuple[int, Row]]) -> Iterator[Row]:
        """Yield the rows of a text file, short ones filled up; note those with too many cells."""
        width = max(self.at.values(), default=0) + 1
        longest = max(len(self.header.titles), width)
        for number, row in numbered:
            if len(row) > longest and not is_blank([row[longest:]]):
                self.too_long[number] = longest
                self.special.add(number)
            yield [*row, *[""] * (width - len(row))] if len(row) < width else row

    def flaws_if_read(self, number: int, row: Row) -> dict[int, str] | None:
        """Return the flaws of a row's cells by column; None if it is passed over or refused."""
        if self.map.hidden_rows == "refuse" and number in self.table.hidden:
            if is_blank([row]):
                self.skipped["blank"] += 1
            else:
                self.unseen.append(number)
            return None
        if number in self.too_long:
            self.refuse(number, None, Fault(
                "A125", f"the row has {len(row)} cells and the header {self.too_long[number]}",
                "put a text that holds the delimiter in double quotes"))
            return None
        flaws = self._flaws(number, row)
        kind = self.kinds.kind_of(row, bool(flaws))
        if kind:
            self.skipped[kind] += 1
            return None
        return flaws

    def _flaws(self, number: int, row: Row) -> dict[int, str]:
        """Return the flaws of a row's cells by column; the format of a blank cell is none."""
        first = self.table.first_column
        return {column: word for column, word in self.flaws.get(number, {}).items()
                if word in _WITHOUT_CONTENT or row[column - first] not in ("", None)}

    def sound_cells(
        self, row: Row, flaws: dict[int, str], faults: list[tuple[str, Fault]]
    ) -> Iterator[tuple[str, Any]]:
        """Yield field and cell; a cell that its content does not show wrong is a fault."""
        for field, at in self.at.items():
            flaw = flaws.get(at + self.table.first_column)
            if flaw:
                faults.append((field, fault_of_flaw(flaw, self.map.currency)))
            else:
                yield field, "" if row[at] is None else row[at]

    def refuse(self, number: int, field: str | None, fault: Fault) -> None:
        """Note that a row is refused, for what stands in a field or for the row itself."""
        place, before = self.cells(number, *([] if field is None else [field]))
        self.told.append((number, fault._replace(says=f"{before}{fault.says}").at(place)))
        self.refused.add(number)

    def all_told(self) -> list[Problem]:
        """Return what is wrong with rows, in the order of the file; each run of hidden rows once.
        """
        told = list(self.told)
        for first, last in _runs(self.unseen):
            says = "the row is hidden" if first == last else f"rows {first} to {last} are hidden"
            told.append((first, Fault(
                "A122", says, 'look at what is hidden; if it holds, the column map says '
                'hidden_rows = "read"').at(self.table.place(first))))
        told += [(problem.where.line or 0, problem) for problem in self.table.refused]
        return [problem for _, problem in sorted(told, key=itemgetter(0))]

    def refused_rows(self) -> int:
        """Return how many rows of the file are refused."""
        return len(self.refused) + len(self.unseen) + len(self.table.refused)

    def hidden_columns(self) -> Iterator[Problem]:
        """Yield a caution for each hidden column that is read."""
        for field, column in self.header.fields.items():
            if column in self.table.hidden_columns:
                yield Problem("A131", self.table.place(self.header.row or 1, column),
                              f"the column is hidden, and {field} is read from it",
                              "look at it before its values are taken over", "caution")


def _runs(numbers: list[int]) -> Iterator[tuple[int, int]]:
    """Yield first and last of each run of numbers that follow one another."""
    start = 0
    for i, number in enumerate(numbers):
        if i + 1 == len(numbers) or numbers[i + 1] != number + 1:
            yield numbers[start], number
            start = i + 1
