"""The parts of an .xlsx file that say more of a sheet's cells than their content.

The library that reads the cells gives what they show. Which of them are formulas, errors or
percentages, which show a currency, which rows are hidden and how far the sheet reaches stands in
the sheet's XML (ECMA-376 part 1, sections 18.3.1.4 c, 18.3.1.40 f, 18.3.1.73 row, 18.8.30 numFmt).
One pass over its bytes looks for the marks of such things, which most lists do not have; only if
one is there are the cells that bear it looked for.
"""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import IO
from xml.etree import ElementTree as ET

from catalogue.price_lists.prices import SIGNS
from catalogue.price_lists.table import Merged, column_number

MOST_BYTES = 2 << 30  # of a sheet's XML; a whole sheet of prices has a fiftieth
_CHUNK = 1 << 18
_OVERLAP = 64  # longer than any mark
_FAR = re.compile(rb'r="([A-Z]{2,3})[0-9]')
_ROW_NUMBER = re.compile(rb'<row r="([0-9]{1,7})"')
# Followers of a shared formula have no end tag, but the formula that they share has one.
_MARKS = (b"</f>", b"hidden=", b't="e"', b't="b"')
_KINDS = {"e": "error", "b": "yes or no"}
_TRUE = ("1", "true")
_MOST_COLUMNS = 16384
_ONE_LETTER = 26  # columns up to Z
_ROWS = re.compile(rb"<(?:\w+:)?row\s([^>]*)>")
_CELLS = re.compile(rb"<(?:\w+:)?c\s([^>]*)>(\s*<(?:\w+:)?f[\s/>])?")
_COLUMNS = re.compile(rb"<(?:\w+:)?col\s([^>]*)>")
_ATTRIBUTE = re.compile(rb"""([\w:]+)\s*=\s*["']([^"']*)["']""")
_REFERENCE = re.compile(r"([A-Z]{1,3})([0-9]{1,7})")
_BUILT_IN_PERCENT = {9, 10}
# In a format's code: a currency in brackets, [$€-407], or a sign that stands there itself.
_FORMAT_CURRENCY = re.compile(r"\[\$([^\]\-]+)(?:-[0-9A-Fa-f]+)?\]|([£€$¥₹])")
_OUTSIDE_TEXT = re.compile(r'"[^"]*"|\\.|_.')


@dataclass
class Marks:
    """What the XML of a sheet says of its cells.

    Attributes:
        flaws: row -> column -> word, as in `Table.flaws`.
        hidden, hidden_columns: rows and columns that nobody sees.
        merged: merged ranges, where the library that reads the cells does not tell them.
        last_row, last_column: how far the sheet reaches, counted from 1; the column at most.
    """

    flaws: dict[int, dict[int, str]] = field(default_factory=dict)
    hidden: set[int] = field(default_factory=set)
    hidden_columns: set[int] = field(default_factory=set)
    merged: list[Merged] = field(default_factory=list)
    last_row: int = 0
    last_column: int = _ONE_LETTER


class XlsxParts:
    """The parts of one workbook."""

    def __init__(self, archive: zipfile.ZipFile) -> None:
        self.archive = archive

    @cached_property
    def _sheet_paths(self) -> dict[str, str]:
        """Return sheet name -> path of its part."""
        targets = {
            each.get("Id", ""): each.get("Target", "")
            for each in self._parsed("xl/_rels/workbook.xml.rels")}
        paths = {}
        for each in self._parsed("xl/workbook.xml").iter():
            if _local(each.tag) == "sheet":
                link = next((v for k, v in each.attrib.items() if _local(k) == "id"), "")
                target = targets.get(link, "")
                paths[each.get("name", "")] = (
                    target.lstrip("/") if target.startswith("/") else f"xl/{target}")
        return paths

    def _parsed(self, path: str) -> ET.Element:
        raw = self.archive.read(path)
        if b"<!DOCTYPE" in raw or b"<!ENTITY" in raw:
            raise ValueError(f"{path} declares entities")
        return ET.fromstring(raw)

    def holds_cells(self, sheet: str) -> bool:
        """Return whether a sheet has any cell."""
        with self.archive.open(self._sheet_paths[sheet]) as part:
            before = b""
            while chunk := part.read(_CHUNK):
                if re.search(rb"<(?:\w+:)?c[\s>/]", before + chunk):
                    return True
                before = chunk[-_OVERLAP:]
        return False

    @cached_property
    def _styles(self) -> dict[int, str]:
        """Return style -> word for those that show a percentage or a currency."""
        if "xl/styles.xml" not in self.archive.namelist():
            return {}
        root = self._parsed("xl/styles.xml")
        codes = {int(each.get("numFmtId", "0")): each.get("formatCode", "")
                 for each in root.iter() if _local(each.tag) == "numFmt"}
        words = {}
        for part in root:
            if _local(part.tag) == "cellXfs":
                for style, each in enumerate(part):
                    number = int(each.get("numFmtId", "0"))
                    word = "per cent" if number in _BUILT_IN_PERCENT else format_word(
                        codes.get(number, ""))
                    if word:
                        words[style] = word
        return words

    def marks(self, sheet: str, currency: str) -> Marks:
        """Return what the sheet's XML says of its cells; a format in `currency` is no flaw."""
        styles = {style: word for style, word in self._styles.items()
                  if currency not in SIGNS.get(word.lower(), (word,))}
        marks = Marks()
        path = self._sheet_paths[sheet]
        with self.archive.open(path) as part:
            found = _search(part, [*_MARKS, *(b' s="%d"' % style for style in styles)], marks)
        if found:
            with self.archive.open(path) as part:
                for rows in _whole_rows(part):
                    _look_closer(rows, styles, marks)
        return marks


def format_word(code: str) -> str:
    """Return "per cent" or the currency sign that a number format shows, or ""."""
    plain = _OUTSIDE_TEXT.sub("", code)
    if "%" in plain:
        return "per cent"
    match = _FORMAT_CURRENCY.search(code)
    return (match[1] or match[2]).strip() if match else ""


def _search(part: IO[bytes], looked_for: Sequence[bytes], marks: Marks) -> bool:
    """Return whether any mark is there; note how far the sheet reaches."""
    found, before = False, b""
    while chunk := part.read(_CHUNK):
        if not before:  # names with a prefix or attributes in single quotes hide the marks
            found = b"<worksheet" not in chunk or b"='" in chunk
        chunk = before + chunk
        found = found or any(mark in chunk for mark in looked_for)
        if _FAR.search(chunk):
            letters = set(_FAR.findall(chunk))
            marks.last_column = max(
                marks.last_column, *(column_number(each.decode()) for each in letters))
        last = chunk.rfind(b"<row r=")
        if last >= 0:
            number = _ROW_NUMBER.match(chunk, last)
            marks.last_row = max(marks.last_row, int(number[1]) if number else 0)
        before = chunk[-_OVERLAP:]
    return found


def _whole_rows(part: IO[bytes]) -> Iterator[bytes]:
    """Yield the XML in pieces that each end with a row."""
    kept = b""
    while chunk := part.read(_CHUNK * 4):
        kept += chunk
        end = kept.rfind(b"row>") + len(b"row>")
        if end >= len(b"row>"):
            yield kept[:end]
            kept = kept[end:]
    yield kept


def _look_closer(rows: bytes, styles: dict[int, str], marks: Marks) -> None:
    """Note the cells, rows and columns of a piece of XML that bear a mark."""
    numbers = "|".join(map(str, styles)) or "-"
    marked = re.compile(rb"""\b(?:t=["'][eb]["']|s=["'](?:%s)["'])""" % numbers.encode()).search
    for attributes, formula in _CELLS.findall(rows):
        if not formula and (attributes.endswith(b"/") or marked(attributes) is None):
            continue
        given = _given(attributes)
        match = _REFERENCE.fullmatch(given.get("r", ""))
        if match is None:
            raise ValueError("a cell does not say where it stands")
        word = "formula" if formula else _KINDS.get(given.get("t", "")) or styles.get(
            int(given.get("s", "0")), "")
        if word:
            marks.flaws.setdefault(int(match[2]), {})[column_number(match[1])] = word
    if b"hidden=" in rows:
        for attributes in _ROWS.findall(rows):
            given = _given(attributes)
            if given.get("hidden") in _TRUE:
                marks.hidden.add(int(given["r"]))
        for attributes in _COLUMNS.findall(rows):
            given = _given(attributes)
            if given.get("hidden") in _TRUE:
                last = min(int(given["max"]), _MOST_COLUMNS)
                marks.hidden_columns.update(range(int(given["min"]), last + 1))


def _given(attributes: bytes) -> dict[str, str]:
    return {name.decode(): value.decode() for name, value in _ATTRIBUTE.findall(attributes)}


def _local(tag: str) -> str:
    return tag.rsplit("}", 1)[-1]
