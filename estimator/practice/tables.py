"""The `[[table]]` of a practice pack: a printed table, row by row, with its source and dates.

The first column is the key. A cell is a number or words in quotes; "" is a blank cell of the
printed table.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import pairwise
from typing import Any

from catalogue.problems import Place
from estimator.practice.entry import NUMBER, Entry

Cell = Decimal | str | None


@dataclass(frozen=True, slots=True)
class PracticeTable:
    """A table in force from `from_date` to `to_date` (included; None = open).

    Attributes:
        columns: names of the columns; the first is that of the key.
        rows: cells row by row; number keys rise.
        unit: unit of the cells right of the key.
    """

    name: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    unit: str
    meaning: str
    source: str
    standing: str
    from_date: date
    to_date: date | None
    decides: str
    where: Place

    @property
    def type(self) -> str:
        """Return what kind of entry it is."""
        return "table"

    def in_force(self, on: date) -> bool:
        """Return whether the table holds on a day."""
        return self.from_date <= on and (self.to_date is None or on <= self.to_date)

    @property
    def keys(self) -> tuple[Cell, ...]:
        """Return the keys in the order of the rows."""
        return tuple(row[0] for row in self.rows)

    def column(self, name: str) -> dict[Cell, Cell]:
        """Return key -> cell for every row that is not blank in a column.

        Raises:
            KeyError: if the table has no such column.
        """
        if name not in self.columns[1:]:
            raise KeyError(f"{self.name} has no column '{name}'")
        at = self.columns.index(name)
        return {row[0]: row[at] for row in self.rows if row[at] is not None}


class TableEntry(Entry):
    """One `[[table]]`."""

    head = "table"
    keys = ("name", "columns", "rows", "unit", "meaning", "source", "standing", "from", "to",
            "decides")

    def read(self) -> PracticeTable | None:
        """Return the table, or None if anything in it is wrong."""
        before = len(self.problems)
        self.check_keys()
        start, end = self.days()
        columns = self.columns()
        table = PracticeTable(
            name=self.name(), columns=columns, rows=self.rows(columns),
            unit=self.text("unit", needed=False), meaning=self.text("meaning"),
            source=self.text("source"), standing=self.standing(), from_date=start, to_date=end,
            decides=self.text("decides", needed=False),
            where=self.source.place(("table", self.at)),
        )
        return table if len(self.problems) == before else None

    def columns(self) -> tuple[str, ...]:
        """Return the names of the columns; () if they are wrong."""
        found = self.table.get("columns")
        if found is None:
            self.missing("columns")
            return ()
        if not _texts(found) or not all(each.strip() for each in found):
            self.refuse("P003", "columns", f"'columns' is {found!r}",
                        "write the names of the columns in quotes, in a list")
            return ()
        if len(found) < 2 or len(set(found)) < len(found):
            self.refuse("P012", "columns", f"the columns are {', '.join(found)}",
                        "name the key and at least one more column, each once")
            return ()
        return tuple(found)

    def rows(self, columns: Sequence[str]) -> tuple[tuple[Cell, ...], ...]:
        """Return the cells; every row has as many as there are columns."""
        found = self.table.get("rows")
        if found is None:
            self.missing("rows")
            return ()
        if not isinstance(found, list) or not found or not all(_texts(row) for row in found):
            self.refuse("P003", "rows", "'rows' is not a list of rows of cells in quotes",
                        'write each row as ["1.5", "20"]')
            return ()
        if not columns:
            return ()
        for at, row in enumerate(found, 1):
            if len(row) != len(columns):
                self.refuse("P013", "rows", f"row {at} has {len(row)} cells, the table "
                            f"{len(columns)} columns", 'write "" for a blank cell')
                return ()
        rows = tuple(tuple(_cell(text) for text in row) for row in found)
        self.check_kinds(columns, rows)
        self.check_order([row[0] for row in rows])
        return rows

    def check_kinds(
        self, columns: Sequence[str], rows: Sequence[Sequence[Cell]]
    ) -> None:
        """Note every column that holds numbers and words."""
        for at, name in enumerate(columns):
            kinds = {type(row[at]) for row in rows if row[at] is not None}
            if len(kinds) > 1:
                self.refuse("P003", "rows", f"column '{name}' holds numbers and words",
                            "a column holds the one or the other")

    def check_order(self, keys: Sequence[Cell]) -> None:
        """Note a blank key, one that stands twice, or numbers that do not rise."""
        if None in keys:
            self.refuse("P014", "rows", "a row has a blank key", "give every row its key")
        elif len(set(keys)) < len(keys):
            self.refuse("P014", "rows", "two rows have the same key", "give each key one row")
        elif all(isinstance(key, Decimal) for key in keys) and any(
            late < early for early, late in pairwise(keys)  # type: ignore[operator]
        ):
            self.refuse("P014", "rows", "the keys do not rise", "put the rows in order")


def _texts(found: Any) -> bool:
    return isinstance(found, list) and bool(found) and all(isinstance(x, str) for x in found)


def _cell(text: str) -> Cell:
    if not text.strip():
        return None
    return Decimal(text) if NUMBER.fullmatch(text) else text

