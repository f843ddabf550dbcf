"""A .csv file as a table: delimiter and encoding declared in the column map, or found and said.

Codes of the problems: A101 unreadable, A106 a row that cannot be parted; cautions A130 how it was
read.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from itertools import islice
from pathlib import Path

from catalogue.price_lists.column_map import ColumnMap, plain_words
from catalogue.price_lists.table import Table
from catalogue.problems import Place, Problem, ProblemsFound

DELIMITERS = (",", ";", "\t", "|")
MOST_BYTES = 500_000_000
_SEARCHED = 100  # rows
_WESTERN = "cp1252"
_NAMES = {"utf-8": "UTF-8", _WESTERN: "Windows-1252 (Western European)", "utf-16": "UTF-16"}
_WORDS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "upright strokes"}


def text_table(path: Path, column_map: ColumnMap, shown: str) -> Table:
    """Return the rows of a text file; each is known by the line on which it begins.

    Raises:
        ProblemsFound: A101 if it is too large or no text of the declared encoding.
    """
    if path.stat().st_size > MOST_BYTES:
        raise _refused(Place(shown), f"the file has more than {MOST_BYTES:,} bytes",
                       "split the list into several files")
    text, encoding = _decoded(path.read_bytes(), column_map.encoding, shown)
    delimiter = column_map.delimiter or _delimiter(text, column_map)
    table = Table("csv", shown, "", (), numbers=())
    rows, numbers = [], []
    for number, row in _rows(text, delimiter, table):
        rows.append(row)
        numbers.append(number)
    table.rows, table.numbers = rows, numbers
    if not (column_map.delimiter and column_map.encoding):
        doubt = encoding == _WESTERN and not column_map.encoding
        mend = "look at letters with accents and at currency signs; " if doubt else ""
        table.cautions.append(Problem(
            "A130", Place(shown), f"read as {_NAMES[encoding]} text, its columns parted by "
            f"{_WORDS[delimiter]}", f"{mend}the column map can say encoding and delimiter",
            "caution"))
    return table


def _decoded(raw: bytes, declared: str, shown: str) -> tuple[str, str]:
    """Return the text and the encoding, declared or found."""
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        declared = declared or "utf-16"
    if b"\0" in raw and declared != "utf-16":
        raise _refused(Place(shown), "this is no text file", "save the list as .xlsx or .csv")
    for encoding in (declared,) if declared else ("utf-8", _WESTERN):
        try:
            return raw.decode("utf-8-sig" if encoding == "utf-8" else encoding), encoding
        except UnicodeDecodeError as error:
            line = raw[:error.start].count(b"\n") + 1
    raise _refused(Place(shown, line), f"the text is not {_NAMES[declared or _WESTERN]}",
                   "save the list as 'CSV UTF-8'")


def _delimiter(text: str, column_map: ColumnMap) -> str:
    """Return the delimiter that shows most titles of the column map, or else parts most evenly."""
    titles = {plain_words(each) for each in column_map.columns.values()}

    def fits(delimiter: str) -> tuple[int, int]:
        lines = list(islice(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter),
                            _SEARCHED))
        hits = max((len(titles & set(map(plain_words, line))) for line in lines), default=0)
        widths = sorted(len(line) for line in lines if line)
        return hits, widths[len(widths) // 2] if widths else 0

    return max(DELIMITERS, key=fits)


def _rows(text: str, delimiter: str, table: Table) -> Iterator[tuple[int, list[str]]]:
    """Yield each row with its first line; one that cannot be parted is told."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    start = 1
    while True:
        try:
            row = next(reader)
        except StopIteration:
            return
        except csv.Error:
            last = reader.line_num
            lines = f"line {start} is" if last <= start else f"lines {start} to {last} are"
            table.refused.append(Problem(
                "A106", Place(table.file, start), f"{lines} no row: a double quote is not closed, "
                "or stands inside a text", "close every double quote, and double those inside a "
                "text"))
        else:
            yield start, row
        start = reader.line_num + 1


def _refused(place: Place, says: str, mend: str) -> ProblemsFound:
    return ProblemsFound([Problem("A101", place, says, mend)])
