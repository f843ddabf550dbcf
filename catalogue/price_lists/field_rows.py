"""Reads a table of any fields: each row as its cells by field, with what is wrong told by cell.

The reader of timesheets and bills. It passes over, refuses and tells the same as that of a price
list, whose cells it does not understand: the caller reads them with `texts`, `numbers` and `dates`,
and refuses by row and field.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any, NamedTuple

from catalogue.price_lists.column_map import ColumnMap, FieldSet
from catalogue.price_lists.faults import Fault
from catalogue.price_lists.header import Row, find_header
from catalogue.price_lists.reading import form_of, table_of
from catalogue.price_lists.sheet_rows import SheetRows
from catalogue.price_lists.table import Table
from catalogue.problems import Place, Problem, ProblemsFound


class FieldRow(NamedTuple):
    """One row: its number in the file, and field -> cell; a field without a column is not in it.

    A blank cell is "". `flawed` are the fields whose cell is a formula, an error or the like, which
    is told already; they are not among the cells.
    """

    number: int
    cells: dict[str, Any]
    flawed: frozenset[str] = frozenset()


class FieldRows(SheetRows):
    """The rows of a table, to be gone through once.

    Attributes:
        rows: the rows that hold something; those that are refused as a whole are not among them.
    """

    def __init__(
        self, table: Table, rows: Iterator[Row], column_map: ColumnMap, about: FieldSet
    ) -> None:
        super().__init__(table, find_header(table, rows, column_map), column_map, about.filled_in)
        first, numbers = self.header.row, table.numbers
        left: Iterable[int] = range(first + 1, 1 << 31) if numbers is None else numbers[first:]
        if numbers is not None:
            rows = self.fitted(zip(left, rows, strict=False))
        self.rows = [read for number, row in zip(left, rows, strict=False)
                     if (read := self._read(number, row)) is not None]

    def _read(self, number: int, row: Row) -> FieldRow | None:
        flaws = self.flaws_if_read(number, row)
        if flaws is None:
            return None
        faults: list[tuple[str, Fault]] = []
        cells = dict(self.sound_cells(row, flaws, faults))
        for field, fault in faults:
            self.refuse(number, field, fault)
        stripped = {field: cell.strip() if isinstance(cell, str) else cell
                    for field, cell in cells.items()}
        return FieldRow(number, stripped, frozenset(field for field, _ in faults))


def read_field_rows(
    path: Path, column_map: ColumnMap, about: FieldSet, shown_as: str | None = None
) -> FieldRows:
    """Return the rows of a workbook or text file.

    Raises:
        ProblemsFound: A101 to A106 where the file as a whole cannot be read, A008 where the map
            does not say what such a table needs.
    """
    shown = shown_as or path.as_posix()
    lacking = list(about.lacks(column_map))
    if lacking:
        raise ProblemsFound([
            Problem("A008", Place(shown), f"the column map does not say {each}",
                    "look at the file and write it down") for each in lacking])
    table = table_of(path, form_of(path, shown), column_map, shown)
    return FieldRows(table, iter(table.rows), column_map, about)
