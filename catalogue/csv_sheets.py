"""CSV files as raw sheets, and sheets as CSV files.

Codes of the problems: L120 a file that cannot be read, L121 a row with too many cells.

A text that a spreadsheet would take for a formula gets an apostrophe in front on the way out and
loses it on the way in, so nothing runs when the file is opened.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path

from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.rows import RawRow, RawSheet

_FORMULA = re.compile(r"'*[=+\-@]")
_GUARDED = re.compile(r"'+[=+\-@]")


def read_csv_sheet(path: Path, name: str, shown_as: str | None = None) -> RawSheet:
    """Return a CSV file as a raw sheet; lines count from 1.

    Raises:
        ProblemsFound: with code L120 if it cannot be read, is not UTF-8, or has no commas.
    """
    shown = shown_as or path.as_posix()
    lines = _lines(_text_of(path, shown), shown)
    header: Sequence[str] = ()
    if lines:
        header = [cell.strip() for cell in lines[0][1]]
        del lines[0]
    if not header:
        raise _unreadable(Place(shown, 1), "the file is empty", "its first line names the columns")
    if len(header) == 1 and ";" in header[0]:
        raise _unreadable(Place(shown, 1), "the columns are parted by ';'",
                          "save the file with commas between columns")
    rows, problems = [], []
    for line, cells in lines:
        place = Place(shown, line)
        if len(cells) > len(header):
            problems.append(Problem(
                "L121", place, f"the row has {len(cells)} cells and the header {len(header)}",
                "put a text that holds a comma in double quotes"))
        elif any(cell.strip() for cell in cells):
            rows.append(RawRow(dict(zip(header, map(_unguarded, cells), strict=False)),
                               _always(place)))
    return RawSheet(name, header, _always(Place(shown, 1)), rows, tuple(problems),
                    len(problems))


def _text_of(path: Path, shown: str) -> str:
    try:
        return path.read_bytes().decode("utf-8-sig")
    except FileNotFoundError:
        raise _unreadable(Place(shown), "there is no such file", "check the path") from None
    except OSError as error:
        raise _unreadable(Place(shown), f"the file cannot be read: {error.strerror}",
                          "check the path and that the file may be read") from error
    except UnicodeDecodeError as error:
        raise _unreadable(Place(shown), "the file is not UTF-8 text",
                          "save it as 'CSV UTF-8'") from error


def _lines(text: str, shown: str) -> list[tuple[int, list[str]]]:
    """Return each row with the line on which it starts."""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    found: list[tuple[int, list[str]]] = []
    start = 1
    try:
        for cells in reader:
            if cells:
                found.append((start, cells))
            start = reader.line_num + 1
    except csv.Error as error:
        raise _unreadable(Place(shown, start), f"no row can be read here: {error}",
                          "close every double quote, and double those inside a text") from error
    return found


def _always(place: Place) -> Callable[[str], Place]:
    return lambda _: place


def _unreadable(place: Place, says: str, mend: str) -> ProblemsFound:
    return ProblemsFound([Problem("L120", place, says, mend)])


def guarded(text: str) -> str:
    """Return a text that no spreadsheet runs as a formula; `_unguarded` gives it back."""
    return f"'{text}" if _FORMULA.match(text) else text


def _unguarded(cell: str) -> str:
    return cell[1:] if _GUARDED.match(cell) else cell


def csv_text(header: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Return a sheet as CSV text."""
    return "".join(_written([header, *rows]))


def _written(rows: Iterable[Sequence[str]]) -> Iterator[str]:
    for row in rows:
        line = io.StringIO(newline="")
        csv.writer(line, lineterminator="\n").writerow(row)
        yield line.getvalue()
