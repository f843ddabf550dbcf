"""The sheets of an OpenDocument spreadsheet (ISO/IEC 26300, part 3) as the cells of a form.

Read here and not by a library, since one that keeps apart formula and value of such a file is not
among those in use. The caller has refused files that unpack too far or declare entities.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from datetime import date, datetime
from decimal import Decimal, InvalidOperation
from typing import Any
from xml.etree import ElementTree

from catalogue.cells import Formula
from catalogue.problems import Place, Problem, ProblemsFound
from estimator.survey.form_cells import At, FormSheet
from estimator.workflow.form_file import MOST_CELLS, MOST_COLUMNS, MOST_ROWS, Read, within_bounds

_NS = "{urn:oasis:names:tc:opendocument:xmlns:%s:1.0}"
_TABLE, _OFFICE, _TEXT = _NS % "table", _NS % "office", _NS % "text"
_CELLS = (f"{_TABLE}table-cell", f"{_TABLE}covered-table-cell")
_NUMBERS = ("float", "percentage", "currency")


class TooManyCells(Exception):  # noqa: N818  (it says what it is)
    """A few repeated rows would unpack to more cells than any form has."""


def read_ods(content: bytes, shown: str) -> Read:
    """Return the sheets of a file, and what is amiss in them.

    Raises:
        ProblemsFound: X002 if the file is damaged.
    """
    told: list[Problem] = []
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            root = ElementTree.fromstring(packed.read("content.xml"))
        sheets = [within_bounds(_sheet(table), shown, told)
                  for table in root.iter(f"{_TABLE}table")]
    except TooManyCells as error:
        raise ProblemsFound([Problem(
            "X003", Place(shown), f"a sheet holds more than {MOST_CELLS} cells",
            "copy the answers into a new form")]) from error
    except (ElementTree.ParseError, InvalidOperation, ValueError, KeyError, RecursionError,
            zipfile.BadZipFile) as error:
        raise ProblemsFound([Problem(
            "X002", Place(shown), "this is no workbook, or it is damaged",
            "open it in the spreadsheet program and save it as .xlsx or .ods")]) from error
    return sheets, told


def _sheet(table: ElementTree.Element) -> FormSheet:
    cells: dict[At, Any] = {}
    merged: list[tuple[At, At]] = []
    row = 1
    for line in table.iter(f"{_TABLE}table-row"):
        times = _count(line, "number-rows-repeated")
        found = list(_line(line))
        for each in range(row, row + min(times, MOST_ROWS)):
            if not found:
                break
            for column, value, rows, columns in found:
                if value is not None:
                    cells[each, column] = value
                    if len(cells) > MOST_CELLS:
                        raise TooManyCells
                if rows > 1 or columns > 1:
                    merged.append(((each, column), (each + rows - 1, column + columns - 1)))
        row += times
    return FormSheet(table.get(f"{_TABLE}name", ""), cells, merged)


def _line(line: ElementTree.Element) -> Iterator[tuple[int, Any, int, int]]:
    """Yield column, value, rows and columns of each cell of a row that holds or spans anything."""
    column = 1
    for cell in line:
        if cell.tag not in _CELLS:
            continue
        times = _count(cell, "number-columns-repeated")
        value = _value(cell)
        rows, columns = (_count(cell, f"number-{way}-spanned") for way in ("rows", "columns"))
        if value is not None or rows > 1 or columns > 1:
            for each in range(column, column + min(times, MOST_COLUMNS)):
                yield each, value, rows, columns
        column += times


def _count(element: ElementTree.Element, name: str) -> int:
    return int(element.get(_TABLE + name, "1"))


def _value(cell: ElementTree.Element) -> Any:
    formula = cell.get(f"{_TABLE}formula")
    if formula is not None:
        return Formula(formula)
    kind = cell.get(f"{_OFFICE}value-type")
    if kind in _NUMBERS:
        return Decimal(cell.attrib[f"{_OFFICE}value"])
    if kind == "boolean":
        return cell.get(f"{_OFFICE}boolean-value") == "true"
    if kind == "date":
        written = cell.attrib[f"{_OFFICE}date-value"]
        return datetime.fromisoformat(written) if "T" in written else date.fromisoformat(written)
    lines = [_text(each) for each in cell if each.tag == f"{_TEXT}p"]
    text = "\n".join(lines)
    return text if text.strip() else None


def _text(element: ElementTree.Element) -> str:
    """Return a paragraph as typed: runs of blanks, tabs and line breaks are elements in it."""
    parts = [element.text or ""]
    for inner in element:
        if inner.tag == f"{_TEXT}s":
            parts.append(" " * min(int(inner.get(f"{_TEXT}c", "1")), 1000))
        elif inner.tag == f"{_TEXT}tab":
            parts.append("\t")
        elif inner.tag == f"{_TEXT}line-break":
            parts.append("\n")
        elif not inner.tag.startswith(_OFFICE):  # a comment is no part of the answer
            parts.append(_text(inner))
        parts.append(inner.tail or "")
    return "".join(parts)
