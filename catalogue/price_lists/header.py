"""Finds the header of a table, and the column of each field in it.

The header is the first row that has every title of the column map. A title may stand over merged
cells: below one that spans several columns, both rows together name a column ("Price Net").
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Any

from catalogue.price_lists.column_map import BY_LETTER, ColumnMap, plain_words
from catalogue.price_lists.table import Table, column_letters, column_number
from catalogue.problems import Problem, ProblemsFound, suggestion

SEARCHED = 100  # rows
Row = Sequence[Any]


@dataclass(frozen=True)
class Header:
    """Where the fields stand.

    Attributes:
        row: number of the header's row; 0 if every column is named by letter and none is needed.
        fields: field -> column, counted from 1; price breaks are under their quantity.
        titles: title of each column, plain, by number.
        before: the rows above it, with what comes after still unread.
    """

    row: int
    fields: dict[str, int]
    titles: dict[int, str]
    before: list[Row]


def find_header(table: Table, rows: Iterator[Row], column_map: ColumnMap) -> Header:
    """Read on to the header; the rows after it are left in `rows`.

    Raises:
        ProblemsFound: A104 if a title is missing or stands twice, or if a letter's column is blank.
    """
    wanted = {**column_map.columns, **column_map.price_breaks}
    by_letter = {field: column_number(match[1]) for field, title in wanted.items()
                 if (match := BY_LETTER.fullmatch(title))}
    _check_letters(table, by_letter)
    titles = {field: plain_words(title) for field, title in wanted.items()
              if field not in by_letter}
    if not titles and column_map.header_row is None:
        return Header(0, by_letter, {}, [])
    most = column_map.header_row or SEARCHED
    read: list[Row] = []
    best: dict[int, list[str]] = {}
    best_row = 0
    for row in islice(rows, most):
        read.append(row)
        number = len(read)
        if column_map.header_row not in (None, number):
            continue
        names = _names(table, read)
        if not set(titles.values()) - _called(names):
            return Header(number, by_letter | _columns(table, number, names, titles),
                          {column: called[0] if called else "" for column, called in
                           names.items()},
                          read[:-1])
        if _hits(titles, names) > _hits(titles, best):
            best, best_row = names, number
    raise ProblemsFound(_missing(table, titles, wanted, best, best_row))


def titles_of(table: Table, header_row: int | None) -> tuple[tuple[str, ...], int]:
    """Return the titles of a header that nobody described, and its row: the first row of at least
    two texts with no number in it whose next row has one, or the row that is told.
    """
    read = list(islice(table.rows, (header_row or SEARCHED) + 1))
    row = header_row or next(
        (n for n in range(1, len(read)) if _looks_like_header(read[n - 1], read[n])), 0)
    if not 0 < row <= len(read):
        raise ProblemsFound([Problem(
            "A104", table.place(row or 1), "no row looks like a header",
            "say header_row, or name the columns by letter in the column map")])
    last = table.first_column + len(read[row - 1]) - 1
    return tuple(_spanned(table, read, row, column) for column in range(1, last + 1)), row


def _looks_like_header(row: Row, below: Row) -> bool:
    filled = [cell for cell in row if _text(cell)]
    return len(filled) >= 2 and all(isinstance(cell, str) for cell in filled) and any(
        _text(cell)[:1].isdigit() or isinstance(cell, float) for cell in below)


def _check_letters(table: Table, by_letter: dict[str, int]) -> None:
    last = table.first_column + table.width - 1
    problems = [
        Problem("A104", table.place(1, column),
                f"the column map names column {column_letters(column)} for {field}, and nothing "
                "stands in it", "look at the letters of the list's columns")
        for field, column in by_letter.items()
        if column < table.first_column or (table.width and column > last)]
    if problems:
        raise ProblemsFound(problems)


def _called(names: dict[int, list[str]]) -> set[str]:
    return {title for each in names.values() for title in each}


def _hits(titles: dict[str, str], names: dict[int, list[str]]) -> int:
    return len(_called(names) & set(titles.values()))


def _text(cell: Any) -> str:
    return cell.strip() if isinstance(cell, str) else "" if cell is None else str(cell)


def _names(table: Table, read: list[Row]) -> dict[int, list[str]]:
    """Return what the columns may be called if the last row read is the header."""
    number = len(read)
    names: dict[int, list[str]] = {}
    for column in range(table.first_column, table.first_column + len(read[-1])):
        own = _spanned(table, read, number, column)
        above = _spanned(table, read, number - 1, column) if number > 1 else ""
        called = [own, f"{above} {own}"] if own and above and own != above else [own]
        names[column] = [plain_words(each) for each in called if each]
    return names


def _spanned(table: Table, read: list[Row], row: int, column: int) -> str:
    """Return the text of a cell, or of the merged range in which it lies."""
    for (top, left), (bottom, right) in table.merged:
        if top <= row <= bottom and left <= column <= right:
            row, column = top, left
            break
    cells = read[row - 1]
    at = column - table.first_column
    return " ".join(_text(cells[at]).split()) if 0 <= at < len(cells) else ""


def _columns(
    table: Table, row: int, names: dict[int, list[str]], titles: dict[str, str]
) -> dict[str, int]:
    """Return the column of each field."""
    fields: dict[str, int] = {}
    problems = []
    for field, title in titles.items():
        columns = [column for column, called in names.items() if title in called]
        exact = [column for column in columns if names[column][:1] == [title]] or columns
        if len(exact) > 1:
            letters = " and ".join(map(column_letters, exact))
            problems.append(Problem(
                "A104", table.place(row, exact[1]), f"the header '{title}' stands in columns "
                f"{letters}", f'name one by its letter: {field} = "column '
                f'{column_letters(exact[0])}"'))
        fields[field] = exact[0]
    if problems:
        raise ProblemsFound(problems)
    return fields


def _missing(
    table: Table, titles: dict[str, str], wanted: dict[str, str], best: dict[int, list[str]],
    row: int
) -> list[Problem]:
    """Return a problem for each title that the likeliest row does not have."""
    found = _called(best)
    return [
        Problem("A104", table.place(row or 1), f"no column is called '{wanted[field]}' ({field})",
                suggestion(title, found) or "look at the header of the list")
        for field, title in titles.items() if title not in found]
