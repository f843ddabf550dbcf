"""A sheet or text file as raw rows, with what is known of its cells beside their content."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from catalogue.problems import Place, Problem

Merged = tuple[tuple[int, int], tuple[int, int]]  # first and last cell, row and column from 1


@dataclass(slots=True)
class Table:
    """Rows of cells as they come; a blank cell is "" or None.

    Attributes:
        form: "xlsx", "ods" or "csv".
        file: how messages name the file.
        sheet: name of the sheet; "" for a text file.
        rows: the rows, each a list of cells; those of a text file may be short.
        first_column: column of a row's first cell, counted from 1.
        width: cells of every row; 0 if they differ.
        numbers: number of each row; None counts from 1.
        flaws: row -> column -> word for what the content does not show: "formula", "error",
            "per cent", "yes or no", or the currency that the cell's format shows.
        hidden: rows that nobody sees.
        hidden_columns: columns that nobody sees.
        merged: merged ranges, for a header that spans cells.
        refused: rows that could not even be parted into cells, already told.
        cautions: what should be looked at.
    """

    form: str
    file: str
    sheet: str
    rows: Iterable[Sequence[Any]]
    first_column: int = 1
    width: int = 0
    numbers: Sequence[int] | None = None
    flaws: Mapping[int, Mapping[int, str]] = field(default_factory=dict)
    hidden: frozenset[int] = frozenset()
    hidden_columns: frozenset[int] = frozenset()
    merged: Sequence[Merged] = ()
    refused: list[Problem] = field(default_factory=list)
    cautions: list[Problem] = field(default_factory=list)

    def place(self, row: int, column: int | None = None) -> Place:
        """Return the place of a cell, or of a whole row."""
        if not self.sheet:
            return Place(self.file, row)
        letters = column_letters(column or self.first_column)
        return Place(self.file, cell=f"{self.sheet}!{letters}{row}")


@dataclass(frozen=True, slots=True)
class Cells:
    """Where the cells of a table's fields stand, also once the table itself is gone.

    Attributes:
        file, sheet, first_column: as of the table.
        fields: field -> column, counted from 1.
        titles: title of each column by number.
    """

    file: str
    sheet: str
    first_column: int
    fields: Mapping[str, int]
    titles: Mapping[int, str]

    def __call__(self, row: int, *fields: str) -> tuple[Place, str]:
        """Return the place of the first of these fields that has a column, else of the row.

        Beside it what is to stand before the words: a text file has no cells to name, so there
        it is the column's title.
        """
        column = next((self.fields[each] for each in fields if each in self.fields), None)
        if self.sheet:
            letters = column_letters(column or self.first_column)
            return Place(self.file, cell=f"{self.sheet}!{letters}{row}"), ""
        title = "" if column is None else self.titles.get(column, f"column {column}")
        return Place(self.file, row), f"{title}: " if title else ""


def column_letters(column: int) -> str:
    """Return the letters of a column counted from 1 (28 -> "AB")."""
    letters = ""
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def column_number(letters: str) -> int:
    """Return the number of a column from its letters ("AB" -> 28)."""
    number = 0
    for letter in letters.upper():
        number = number * 26 + ord(letter) - ord("A") + 1
    return number
