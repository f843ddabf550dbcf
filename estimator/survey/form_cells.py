"""The cells of a survey form: a sheet of them, their names, and the blocks that headers begin."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from catalogue.problems import Place
from catalogue.toml_lines import KeyPath
from catalogue.toml_source import TomlSource

At = tuple[int, int]  # row and column of a cell, from 1
_LETTERS = 26


@dataclass(frozen=True)
class FormSheet:
    """One sheet as read from a file: the cells that hold something, and the merged ranges.

    Attributes:
        cells: row and column -> text, number, flag, date or moment, or a Formula.
        merged: first and last cell of each merged range.
    """

    name: str
    cells: Mapping[At, Any]
    merged: Sequence[tuple[At, At]] = ()


@dataclass(frozen=True)
class CellSource(TomlSource):
    """What a form says as the data of a survey, with the cell of each key."""

    places: Mapping[KeyPath, str] = field(default_factory=dict)

    def place(self, path: Sequence[str | int]) -> Place:
        """Return the cell of a key, or of what holds it."""
        key = tuple(path)
        while key and key not in self.places:
            key = key[:-1]
        return Place(self.file, cell=self.places.get(key, ""))


def cell_name(sheet: str, at: At) -> str:
    """Return how a message names a cell: Site!B7."""
    row, column = at
    letters = ""
    while column:
        column, rest = divmod(column - 1, _LETTERS)
        letters = chr(ord("A") + rest) + letters
    return f"{sheet}!{letters}{row}"


@dataclass
class Block:
    """A row of headers and what stands below it: column by header, and the entry it is of."""

    sheet: str
    columns: Mapping[str, int]
    is_things: bool
    entry: dict[str, int]
    groups: dict[str, str]

    def cell(self, row: int, header: str) -> str:
        """Return the name of the cell of a row under a header."""
        return cell_name(self.sheet, (row, self.columns[header]))


def title_of(value: Any) -> str:
    """Return how headers are compared: in small letters, without the unit in brackets."""
    return str(value).partition("[")[0].strip().lower()
