"""Reads a price list of any kind: finds out which kind it is and gives it to its reader."""

from __future__ import annotations

from pathlib import Path

from catalogue.price_lists.column_map import ColumnMap
from catalogue.price_lists.listed import ReadPriceList


def read_price_list(
    path: Path, column_map: ColumnMap, shown_as: str | None = None
) -> ReadPriceList:
    """Return the prices of a file, the sound ones and by cell those that are refused.

    Args:
        path: .xlsx, .ods, .csv, or .xml of a catalogue message.
        column_map: how it is laid out; an exchange file needs the currency of it alone.
        shown_as: how messages name the file.

    Raises:
        ProblemsFound: where the file as a whole cannot be read; a wrong row is no such thing.
    """
    raise NotImplementedError


def read_header(path: Path, sheet: str = "", header_row: int | None = None) -> tuple[str, ...]:
    """Return the header of a table, cell by cell, so that a map can be guessed or written.

    Raises:
        ProblemsFound: where the file cannot be read, or no row looks like a header.
    """
    raise NotImplementedError


def guess(header: tuple[str, ...], currency: str) -> ColumnMap:
    """Return a map proposed from words of the trade; never taken without a look at it.

    Its `lacks()` names what the header does not tell.
    """
    raise NotImplementedError
