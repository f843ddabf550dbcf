"""What was written on a sheet that came back: each box read, all else held against what went out.

A row is known by its key, so rows may be sorted otherwise; every locked cell must say what it said.
Codes: Y210 a locked cell was changed, Y211 a page is missing, Y212 a row is missing, Y213 a row
stands twice, Y214 something stands where nothing is asked, Y215 cells are merged, Y216 a box cannot
be read.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from catalogue.answers import Asked
from catalogue.cells import CellError, Formula, is_blank, read_cell
from catalogue.columns import Column
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.validation import shown as as_said
from estimator.closing.measured import measured
from estimator.papers.digits import plain
from estimator.papers.sheets.pages import IDENTITY, KEY, Box, Content, Page, Row, Sum, shown
from estimator.survey.form_cells import FormSheet, cell_name

PLACES = 3  # a quantity is kept to a thousandth
_MOST_MERGED = 20


@dataclass(frozen=True, slots=True)
class Mark:
    """What stands in a box, and in which cell."""

    value: Decimal | str
    cell: str


@dataclass(frozen=True)
class Marks:
    """All that was written on a sheet.

    Attributes:
        written: page, key of the row, and heading -> what stands there; blank boxes are left out.
        cells: page and key -> name of a cell in each column, for messages.
    """

    file: str
    written: Mapping[tuple[str, str, str], Mark]
    rows: Mapping[tuple[str, str], int]
    pages: Mapping[str, Page]

    def get(self, page: str, key: str, title: str) -> Mark | None:
        """Return what stands in a box; None if it is blank."""
        return self.written.get((page, key, title))

    def place(self, page: str, key: str, title: str) -> Place:
        """Return the cell of a box."""
        at = self.rows[page, key], self.pages[page].column(title)
        return Place(self.file, cell=cell_name(page, at))

    def as_text(self) -> str:
        """Return all marks as one text, the same for the same marks."""
        return "\n".join(
            f"{'|'.join(key)}={plain(m.value) if isinstance(m.value, Decimal) else m.value}"
            for key, m in sorted(self.written.items()))


def identity_of(sheets: Sequence[FormSheet]) -> dict[str, str]:
    """Return what the hidden page says: sheet, kind, digest and layout; {} if there is none."""
    for sheet in sheets:
        if sheet.name == IDENTITY:
            rows = {row for row, _ in sheet.cells}
            return {str(sheet.cells.get((row, 1), "")): _text(sheet.cells.get((row, 2)))
                    for row in sorted(rows)}
    return {}


def read_marks(
    file: str, pages: Sequence[Page], sheets: Sequence[FormSheet], told: Sequence[Problem] = ()
) -> Marks:
    """Return what was written on the pages of a sheet.

    Args:
        file: how messages name the file.
        pages: as they went out.
        sheets: as they came back.
        told: what is amiss with the file already.

    Raises:
        ProblemsFound: with every mistake.
    """
    reader = _Reader(file, list(told))
    there = {sheet.name: sheet for sheet in sheets}
    for page in pages:
        if page.name in there:
            reader.page(page, there[page.name])
        else:
            reader.tell("Y211", page.name, f"the page '{page.name}' is missing",
                        "take the sheet as it was issued, and write on that")
    if reader.problems:
        raise ProblemsFound(reader.problems)
    return Marks(file, reader.written, reader.rows, {page.name: page for page in pages})


@dataclass
class _Reader:
    file: str
    problems: list[Problem]
    written: dict[tuple[str, str, str], Mark] = field(default_factory=dict)
    rows: dict[tuple[str, str], int] = field(default_factory=dict)

    def tell(self, code: str, cell: str, says: str, mend: str) -> None:
        self.problems.append(Problem(code, Place(self.file, cell=cell), says, mend))

    def page(self, page: Page, sheet: FormSheet) -> None:
        self.head(page, sheet)
        known = {row.key: row for row in page.rows if row.key}
        bands = {shown(row.cells[0]) for row in page.rows if not row.key}
        key_column = page.column(KEY)
        below = sorted({row for row, _ in sheet.cells if row > page.header_row})
        for number in below:
            cells = {column: value for (row, column), value in sheet.cells.items()
                     if row == number and not is_blank(value)}
            if not cells:
                continue
            key = _text(cells.get(key_column))
            if key in known:
                self.row(page, number, cells, known[key])
            elif key or set(cells) != {1} or _text(cells[1]) not in bands:
                column = next(iter(sorted(cells)))
                self.tell("Y214", cell_name(page.name, (number, column)),
                          f"{as_said(cells[column])} stands in a row that is none of the sheet's",
                          "write it in the rows for what is written in, or clear it")
        for key in known:
            if (page.name, key) not in self.rows:
                self.tell("Y212", page.name, f"the row '{key}' is missing",
                          "take the sheet as it was issued, and write on that")
        self.merged(page, sheet)

    def head(self, page: Page, sheet: FormSheet) -> None:
        """Hold what stands above the rows against what went out."""
        wanted: dict[tuple[int, int], Content] = {
            (row, 1): text for row, text in enumerate(page.head(), 1)}
        wanted |= {(page.header_row, column): each.title
                   for column, each in enumerate(page.headings, 1)}
        found = {at for at in sheet.cells if at[0] <= page.header_row}
        for at in sorted(found | set(wanted)):
            self.locked(page, at, wanted.get(at), sheet.cells.get(at))

    def row(self, page: Page, number: int, cells: Mapping[int, Any], row: Row) -> None:
        if (page.name, row.key) in self.rows:
            first = self.rows[page.name, row.key]
            self.tell("Y213", cell_name(page.name, (number, page.column(KEY))),
                      f"the row '{row.key}' stands twice; the first is row {first}",
                      "keep one of the two")
            return
        self.rows[page.name, row.key] = number
        wanted = page.cells(row)
        for column in sorted({*range(1, len(wanted) + 1), *cells}):
            content = wanted[column - 1] if column <= len(wanted) else None
            value = cells.get(column)
            if isinstance(content, Box):
                self.box(page, (number, column), content, value, row.key)
            else:
                self.locked(page, (number, column), content, value)

    def box(self, page: Page, at: tuple[int, int], box: Box, value: Any, key: str) -> None:
        if value is None:
            return
        title, cell = page.headings[at[1] - 1].title, cell_name(page.name, at)
        try:
            self.written[page.name, key, title] = Mark(_read(box, value, title), cell)
        except CellError as error:
            self.tell("Y216", cell, f"{title}: {error.says}", error.mend)

    def locked(self, page: Page, at: tuple[int, int], content: Content, value: Any) -> None:
        if isinstance(content, Sum):
            if not isinstance(value, Formula):
                self.tell("Y210", cell_name(page.name, at), "the formula of this cell is gone",
                          "take the sheet as it was issued, and write on that")
            return
        wanted, found = _squeezed(shown(content)), _squeezed(_text(value))
        if isinstance(value, Formula) or wanted != found:
            if not wanted:
                self.tell("Y214", cell_name(page.name, at),
                          f"{as_said(_said(value))} stands where nothing is asked",
                          "write it under 'Remark', or clear it")
            else:
                now = as_said(_said(value)) if found else "nothing"
                self.tell("Y210", cell_name(page.name, at),
                          f"this cell said '{wanted}' and now says {now}",
                          "only cells with a thick edge are written on: put it back as it was")

    def merged(self, page: Page, sheet: FormSheet) -> None:
        for first, _ in sheet.merged[:_MOST_MERGED]:
            self.tell("Y215", cell_name(page.name, first),
                      "cells are merged here, so it is not clear which row is meant",
                      "part the cells again")


def _read(box: Box, value: Any, title: str) -> Decimal | str:
    """Return the value of a box.

    Raises:
        CellError: if it is not what is asked for.
    """
    if isinstance(value, str) and not isinstance(value, Formula) and box.words:
        for word in box.words:
            if value.strip().lower() == word.lower():
                return word
    if box.kind == "word":
        said = read_cell(value, Column(title, Asked("text")))
        raise CellError(f"{as_said(said)} is none of the words",
                        f"it may be: {', '.join(box.words)}")
    if box.kind == "lengths" and isinstance(value, int | float | Decimal):
        return plain(Decimal(str(value)))
    if box.kind == "reading":
        return _reading(value, box)
    if box.kind == "day":
        return _day(value, title)
    if box.kind in ("text", "lengths"):
        return str(read_cell(value, Column(title, Asked("text"))))
    number = Decimal(read_cell(value, Column(title, Asked("number", decimals=PLACES))))
    if number < 0:
        raise CellError(f"{plain(number)} is below 0", "write how many, 0 for none")
    return number


def _reading(value: Any, box: Box) -> str:
    said = value if isinstance(value, str) else _text(value)
    found = None if isinstance(value, Formula | date | bool) else measured(said)
    if found is None:
        words = f", or: {', '.join(box.words)}" if box.words else ""
        raise CellError(
            f"{as_said(_said(value))} is not what an instrument shows",
            f"write digits and a decimal point, without the unit; >200 if it shows no more{words}")
    return str(found)


def _day(value: Any, title: str) -> str:
    if isinstance(value, datetime):
        value = value.date()
    day: date = read_cell(value, Column(title, Asked("date")))
    return day.isoformat()


def _said(value: Any) -> Any:
    return str(value) if isinstance(value, Formula) else value


def _text(value: Any) -> str:
    """Return what a cell says, numbers plain."""
    if isinstance(value, bool) or value is None:
        return "" if value is None else str(value).lower()
    if isinstance(value, int | float | Decimal):
        return plain(Decimal(str(value)))
    return value.isoformat() if isinstance(value, date) else str(value)


def _squeezed(text: str) -> str:
    return " ".join(text.split())


