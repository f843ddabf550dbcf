"""The rows of one sheet read by its columns; every cell that does not fit is a problem.

Codes of the problems: L101 a cell that does not fit, L102 a needed cell that is blank, L103 an
unknown or repeated column, L104 a missing column.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from catalogue.cells import CellError, is_blank, read_cell
from catalogue.columns import Column
from catalogue.problems import Place, Problem, suggestion


@dataclass(frozen=True)
class RawRow:
    """One row as it stands in a file: cells by column name, and where a column's cell is."""

    cells: dict[str, Any]
    place: Callable[[str], Place]


@dataclass(frozen=True)
class RawSheet:
    """One sheet as it stands in a file.

    Attributes:
        name: the family, or "suppliers", "boxes", "offers".
        header: column names in order.
        place: where a column's header is, or the sheet itself for "".
        rows: the rows that are not blank.
        problems: what the reader of the file found in it.
        refused: how many rows it could not take apart.
    """

    name: str
    header: Sequence[str]
    place: Callable[[str], Place]
    rows: Sequence[RawRow]
    problems: tuple[Problem, ...] = ()
    refused: int = 0


@dataclass
class ReadRow:
    """The values of one row; a blank cell gives no value."""

    values: dict[str, Any]
    row: RawRow
    problems: list[Problem] = field(default_factory=list)


def header_problems(sheet: RawSheet, columns: Iterable[Column]) -> list[Problem]:
    """Return what is wrong with a sheet's header."""
    known = {column.name: column for column in columns}
    problems = []
    seen: set[str] = set()
    for name in sheet.header:
        place = sheet.place(name)
        if name in seen:
            problems.append(Problem("L103", place, f"the column '{name}' is there twice",
                                    "delete one of the two"))
        elif name not in known:
            problems.append(Problem("L103", place, f"there is no column '{name}' here",
                                    suggestion(name, known) or "delete the column"))
        seen.add(name)
    missing = [name for name, column in known.items() if column.needed and name not in seen]
    if missing:
        plural = "columns are" if len(missing) > 1 else "column is"
        problems.append(Problem("L104", sheet.place(""), f"the {plural} missing: "
                                + ", ".join(missing), "add each to the header"))
    return problems


def read_row(row: RawRow, columns: Iterable[Column]) -> ReadRow:
    """Return the values of a row and every cell that does not fit."""
    read = ReadRow({}, row)
    for column in columns:
        cell = row.cells.get(column.name)
        if is_blank(cell):
            if column.needed:
                read.problems.append(Problem(
                    "L102", row.place(column.name), f"{column.name}: this cell is blank",
                    f"give {_wanted(column)}"))
            continue
        try:
            read.values[column.name] = read_cell(cell, column)
        except CellError as wrong:
            read.problems.append(Problem(
                "L101", row.place(column.name), f"{column.name}: {wrong.says}", wrong.mend))
    return read


def _wanted(column: Column) -> str:
    if column.asked.kind == "word":
        return str(column.asked)
    return column.meaning.split(";")[0] if column.meaning else f"a {column.asked}"
