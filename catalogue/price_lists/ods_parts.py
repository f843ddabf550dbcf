"""What the XML of an .ods file says of a sheet's cells beyond their content.

OpenDocument 1.3 part 3: `table:formula`, `table:visibility`, `office:value-type` (percentage,
currency, boolean) with `office:currency`; an error is a cell of no value type whose text begins
with #, or bears `calcext:value-type`. Repeated rows and cells stand once, with a count.
"""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterator
from typing import IO
from xml.etree import ElementTree as ET

from catalogue.price_lists.xlsx_parts import Marks

CONTENT = "content.xml"
_MOST_COLUMNS = 16384
_ERROR = re.compile(r"#[A-Z/0!?]+|Err:[0-9]+")
_WORDS = {"percentage": "per cent", "boolean": "yes or no"}
_CELLS = ("table-cell", "covered-table-cell")


def ods_marks(archive: zipfile.ZipFile, sheet: str, currency: str) -> Marks:
    """Return what the XML says of a sheet's cells; a currency of the list's own is no flaw.

    Raises:
        ValueError: if the sheet is not there, or the XML declares entities.
    """
    with archive.open(CONTENT) as part:
        if b"<!DOCTYPE" in part.read(4096):
            raise ValueError("the content declares entities")
    with archive.open(CONTENT) as part:
        for name, rows, columns in _tables(part):
            if name == sheet:
                marks = Marks(last_column=1, hidden_columns=columns)
                for row, times, element in rows:
                    _note(marks, row, times, element, currency)
                return marks
    raise ValueError(f"there is no sheet {sheet}")


_Rows = Iterator[tuple[int, int, ET.Element]]


def _tables(part: IO[bytes]) -> Iterator[tuple[str, _Rows, set[int]]]:
    """Yield name, rows and hidden columns of each sheet, one after the other."""
    events = ET.iterparse(part, events=("start", "end"))
    for event, element in events:
        if event == "start" and _local(element.tag) == "table":
            hidden: set[int] = set()
            rows = _rows(events, hidden)
            yield _given(element, "name"), rows, hidden
            for _ in rows:
                pass


def _rows(events: Iterator[tuple[str, ET.Element]], hidden: set[int]) -> _Rows:
    """Yield first row number, repetitions and element of each row of the sheet at hand."""
    row = column = 1
    for event, element in events:
        if event == "start":
            continue
        tag = _local(element.tag)
        if tag == "table-column":
            times = _times(element, "columns")
            if _given(element, "visibility") in ("collapse", "filter"):
                hidden.update(range(column, min(column + times, _MOST_COLUMNS)))
            column += times
        elif tag == "table-row":
            times = _times(element, "rows")
            yield row, times, element
            row += times
            element.clear()
        elif tag == "table":
            return


def _note(marks: Marks, row: int, times: int, element: ET.Element, currency: str) -> None:
    """Note what a row's XML says of it and of its cells."""
    column = 1
    for cell in element:
        if _local(cell.tag) not in _CELLS:
            continue
        repeated = _times(cell, "columns")
        word = _word(cell, currency)
        if word or len(cell):
            marks.last_row = row + times - 1
            marks.last_column = max(marks.last_column, column + repeated - 1)
        if word:
            for each in range(row, row + min(times, 1000)):
                flaws = marks.flaws.setdefault(each, {})
                flaws.update(dict.fromkeys(range(column, column + min(repeated, 1000)), word))
        wide, high = _times(cell, "columns", "spanned"), _times(cell, "rows", "spanned")
        if wide > 1 or high > 1:
            marks.merged.append(((row, column), (row + high - 1, column + wide - 1)))
        column += repeated
    if _given(element, "visibility") in ("collapse", "filter") and marks.last_row >= row:
        marks.hidden.update(range(row, marks.last_row + 1))


def _word(cell: ET.Element, currency: str) -> str:
    kind = _given(cell, "value-type")
    text = "".join(cell.itertext()).strip() if kind in ("", "string", "error") else ""
    if any(_local(key) == "value-type" and value == "error" for key, value in cell.attrib.items()):
        return "error"
    if _given(cell, "formula"):
        return "error" if _ERROR.fullmatch(text) else "formula"
    if kind == "currency":
        shown = _given(cell, "currency")
        return shown if shown and shown != currency else ""
    return _WORDS.get(kind, "")


def _times(element: ET.Element, what: str, how: str = "repeated") -> int:
    return int(_given(element, f"number-{what}-{how}") or 1)


def _given(element: ET.Element, name: str) -> str:
    """Return an attribute by its local name; the first of that name."""
    return next((value for key, value in element.attrib.items() if _local(key) == name), "")


def _local(tag: str) -> str:
    return tag.rsplit("}", 1)[-1]
