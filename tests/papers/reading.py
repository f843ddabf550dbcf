"""Reads a workbook back: formulas and cached values, as text and as numbers."""

from __future__ import annotations

import io
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache

import openpyxl

from estimator.papers.contract import EstimateJson
from tests.papers import sample

PENNY = Decimal("0.01")


def firm_json() -> EstimateJson:
    return EstimateJson.of(sample.firm_estimate(), 1)


def budget_json() -> EstimateJson:
    return EstimateJson.of(sample.budget_estimate(), 2)


def hostile_json() -> EstimateJson:
    return EstimateJson.of(sample.hostile_estimate(), 1)


def formulas(book: bytes) -> dict[tuple[str, str], object]:
    """(sheet, cell) -> formula, text or number as written."""
    return _cells(book, values=False)


def values(book: bytes) -> dict[tuple[str, str], object]:
    """(sheet, cell) -> cached value, text or number."""
    return _cells(book, values=True)


@lru_cache(maxsize=32)
def _cells(book: bytes, *, values: bool) -> dict[tuple[str, str], object]:
    opened = openpyxl.load_workbook(io.BytesIO(book), data_only=values)
    return {
        (sheet.title, cell.coordinate): cell.value
        for sheet in opened.worksheets for row in sheet.iter_rows() for cell in row
        if cell.value is not None
    }


def dump(book: bytes) -> str:
    """Every cell as a line: sheet, cell, value or formula with its cached value, number format."""
    held = values(book)
    opened = openpyxl.load_workbook(io.BytesIO(book))
    lines = []
    for sheet in opened.worksheets:
        lines.append(f"== {sheet.title}: frozen {sheet.freeze_panes}, repeats "
                     f"{sheet.print_title_rows}, prints {sheet.print_area}")
        for row in sheet.iter_rows():
            for cell in row:
                if cell.value is None:
                    continue
                shown = repr(cell.value)
                if isinstance(cell.value, str) and cell.data_type == "f":
                    shown = f"{cell.value} -> {held[sheet.title, cell.coordinate]!r}"
                if cell.number_format != "General":
                    shown += f"  [{cell.number_format}]"
                lines.append(f"{cell.coordinate}: {shown}")
    return "\n".join(lines) + "\n"


def pence(value: object) -> int:
    """A money cell in whole pence, rounded as a reader would read it."""
    assert isinstance(value, int | float), value
    return int(Decimal(repr(value)).quantize(PENNY, ROUND_HALF_UP) * 100)


def row_of(book: bytes, sheet: str, column: str, text: str) -> int:
    """The first row of a sheet that holds a text in a column."""
    found = [
        int(cell.removeprefix(column)) for (name, cell), value in values(book).items()
        if name == sheet and cell.rstrip("0123456789") == column and value == text
    ]
    assert found, f"{sheet} has no '{text}' in column {column}"
    return found[0]


def money_cells(book: bytes) -> dict[tuple[str, str], int]:
    """The cells with a formula in the money columns, in pence."""
    held = values(book)
    places = {"Bill": ("M", "N"), "Price build-up": ("A",), "To settle": ("G",)}
    return {
        (sheet, cell): pence(held[sheet, cell])
        for (sheet, cell), text in formulas(book).items()
        if str(text).startswith("=") and cell.rstrip("0123456789") in places.get(sheet, ())
        and abs(float(str(held[sheet, cell]))) >= 1  # the shares of the price sheet stand apart
    }
