"""Workbooks as raw sheets, cell by cell, and sheets as workbooks.

A text that begins like a formula is written, and read back, as text. A cell that holds a formula
is told as a problem when its row is read: what it shows was computed elsewhere.
"""

from __future__ import annotations

import warnings
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from catalogue.cell_text import in_a_cell, in_text
from catalogue.cells import Formula, is_blank
from catalogue.columns import Column
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.rows import RawRow, RawSheet

if TYPE_CHECKING:
    from openpyxl.cell import Cell, ReadOnlyCell
    from openpyxl.worksheet.worksheet import Worksheet

MARK = "mark"  # header of the column that marks rows which are no items
GUIDANCE, EXAMPLE = "guidance", "example"
WORDS_SHEET = "words"  # vocabularies for the drop-downs; never read
TEXT_FORMAT = "@"


@dataclass(frozen=True)
class OutSheet:
    """A sheet to be written: columns, and rows of values by column name."""

    name: str
    columns: Sequence[Column]
    rows: Sequence[Mapping[str, Any]]


def read_workbook(path: Path, shown_as: str | None = None) -> list[RawSheet]:
    """Return the sheets of a workbook; places name sheet and cell.

    Raises:
        ProblemsFound: with code L120 if the file is no workbook or cannot be read.
    """
    from openpyxl import load_workbook

    shown = shown_as or path.as_posix()
    try:
        with warnings.catch_warnings():  # about features that are dropped, which none reads here
            warnings.simplefilter("ignore")
            book = load_workbook(path, read_only=True)
            try:  # the sheets are read only now, so a damaged one comes to light only here
                return [
                    _raw_sheet(sheet, shown) for sheet in book.worksheets
                    if sheet.title != WORDS_SHEET
                ]
            finally:
                book.close()
    except FileNotFoundError:
        raise _unreadable(shown, "there is no such file", "check the path") from None
    except PermissionError:
        raise _unreadable(shown, "you are not allowed to read this file",
                          "ask its owner, or copy it to a place of your own") from None
    except ProblemsFound:
        raise
    except Exception as error:  # on damaged bytes the library raises anything
        raise _unreadable(shown, "this is no workbook of the .xlsx kind, or it is damaged",
                          "save it as .xlsx in the spreadsheet program") from error


def _unreadable(shown: str, says: str, mend: str) -> ProblemsFound:
    return ProblemsFound([Problem("L120", Place(shown), says, mend)])


def _raw_sheet(sheet: Any, shown: str) -> RawSheet:
    from openpyxl.utils import get_column_letter

    sheet.reset_dimensions()  # some programs write a wrong size
    lines = sheet.iter_rows()
    titles = [_title(cell) for cell in next(lines, ())]
    letters = {title: get_column_letter(n) for n, title in enumerate(titles, 1) if title}

    def place_in(row: int) -> Callable[[str], Place]:
        return lambda name: Place(shown, cell=f"{sheet.title}!{letters.get(name, 'A')}{row}")

    rows, problems = [], []
    for number, cells in enumerate(lines, 2):
        values = [_content(cell) for cell in cells]
        named = {t: v for t, v in zip(titles, values, strict=False) if t}
        for column, value in enumerate(values, 1):
            if not is_blank(value) and (column > len(titles) or not titles[column - 1]):
                at = f"{sheet.title}!{get_column_letter(column)}{number}"
                problems.append(Problem("L121", Place(shown, cell=at),
                                        "a cell stands under no header", "clear it"))
        mark = str(named.pop(MARK, None) or "").strip().lower()
        if mark not in (GUIDANCE, EXAMPLE) and not all(map(is_blank, named.values())):
            rows.append(RawRow(named, place_in(number)))
    header = [title for title in titles if title and title != MARK]
    return RawSheet(sheet.title, header, place_in(1), rows, tuple(problems))


def _title(cell: Cell | ReadOnlyCell) -> str:
    """Return a column's name without its unit in brackets."""
    return str(cell.value or "").split("[")[0].strip()


def _content(cell: Cell | ReadOnlyCell) -> Any:
    return Formula(cell.value) if cell.data_type in ("f", "e") else cell.value


def workbook_bytes(sheets: Iterable[OutSheet]) -> bytes:
    """Return a workbook with one sheet each, header frozen."""
    from openpyxl import Workbook

    book = Workbook()
    del book[book.sheetnames[0]]
    for sheet in sheets:
        written = book.create_sheet(sheet.name)
        write_header(written, [column.header for column in sheet.columns])
        for number, row in enumerate(sheet.rows, 2):
            write_row(written, number, sheet.columns, row)
        written.freeze_panes = "B2"
    return saved(book)


def saved(book: Any) -> bytes:
    """Return a workbook as the bytes of its file."""
    import io

    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def write_header(sheet: Worksheet, titles: Sequence[str]) -> None:
    """Write the first row."""
    from openpyxl.styles import Alignment, Font
    from openpyxl.utils import get_column_letter

    for number, title in enumerate(titles, 1):
        cell = sheet.cell(1, number, title)
        cell.font = Font(bold=True)
        cell.alignment = Alignment(wrap_text=True, vertical="top")
        sheet.column_dimensions[get_column_letter(number)].width = max(12, len(title) + 2)


def write_row(
    sheet: Worksheet, number: int, columns: Sequence[Column], row: Mapping[str, Any],
    first_column: int = 1,
) -> None:
    """Write one row of values."""
    for place, column in enumerate(columns, first_column):
        value = in_a_cell(row.get(column.name))
        if value is None:
            continue
        cell = sheet.cell(number, place, value)
        if isinstance(value, str):
            cell.data_type = "s"  # also where it begins like a formula
            cell.number_format = TEXT_FORMAT
        elif isinstance(value, date):
            cell.number_format = "yyyy-mm-dd"


def text_rows(sheet: OutSheet, guard: Callable[[str], str]) -> Iterator[list[str]]:
    """Yield the rows of a sheet as text; `guard` keeps a text from being run as a formula."""
    for row in sheet.rows:
        yield [
            guard(in_text(row.get(column.name))) if column.is_text
            else in_text(row.get(column.name))
            for column in sheet.columns
        ]
