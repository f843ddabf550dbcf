"""Reads a price list of any kind: finds out which kind it is and gives it to its reader.

Codes of the problems: A101 a file that cannot be opened, A102 a kind that is not read.
"""

from __future__ import annotations

import zipfile
from pathlib import Path

from catalogue.price_lists.column_map import ColumnMap
from catalogue.price_lists.header import titles_of
from catalogue.price_lists.listed import ReadPriceList
from catalogue.price_lists.rows import read_rows
from catalogue.price_lists.table import Table
from catalogue.problems import Place, Problem, ProblemsFound

_ODS = b"application/vnd.oasis.opendocument.spreadsheet"
_OLD_WORKBOOK = b"\xd0\xcf\x11\xe0"
_MARKS_OF_TEXT = (b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff")


def read_price_list(
    path: Path, column_map: ColumnMap, shown_as: str | None = None
) -> ReadPriceList:
    """Return the prices of a file, the sound ones and by cell those that are refused.

    Args:
        path: .xlsx, .ods, .csv, or .xml of a catalogue message; the content says which it is.
        column_map: how it is laid out; an exchange file needs the currency of it alone.
        shown_as: how messages name the file.

    Raises:
        ProblemsFound: where the file as a whole cannot be read (A101 to A108), or the map does
            not say what a table needs (A008); a wrong row is no such thing.
    """
    shown = shown_as or path.as_posix()
    form = form_of(path, shown)
    if form == "xml":
        from catalogue.price_lists.exchange import read_exchange_file

        return read_exchange_file(path, column_map, shown)
    lacking = list(column_map.lacks())
    if lacking:
        raise ProblemsFound([
            Problem("A008", Place(shown), f"the column map does not say {each}",
                    "look at the price list and write it down") for each in lacking])
    return read_rows(table_of(path, form, column_map, shown), column_map)


def read_header(
    path: Path, column_map: ColumnMap, shown_as: str | None = None
) -> tuple[tuple[str, ...], int]:
    """Return the titles of a table, column by column from A, and the row in which they stand.

    Args:
        column_map: sheet, header row, delimiter and encoding of it are used, if said.

    Raises:
        ProblemsFound: as `read_price_list`; A104 if no row looks like a header.
    """
    shown = shown_as or path.as_posix()
    form = form_of(path, shown)
    if form == "xml":
        return (), 0
    return titles_of(table_of(path, form, column_map, shown), column_map.header_row)


def table_of(path: Path, form: str, column_map: ColumnMap, shown: str) -> Table:
    """Return a workbook's sheet or a text file as raw rows.

    Raises:
        ProblemsFound: A101 to A106 where it cannot be read.
    """
    if form == "csv":
        from catalogue.price_lists.text_file import text_table

        return text_table(path, column_map, shown)
    from catalogue.price_lists.workbook import workbook_table

    return workbook_table(path, form, column_map, shown)


def form_of(path: Path, shown: str) -> str:
    """Return "xlsx", "ods", "csv" or "xml" by what the file holds, whatever it is called.

    Raises:
        ProblemsFound: A101 if it cannot be opened, A102 if it is of no kind that is read.
    """
    try:
        with path.open("rb") as file:
            head = file.read(1024)
        if head.startswith(b"PK"):
            return _form_of_archive(path, shown)
    except FileNotFoundError:
        raise _refused("A101", shown, "there is no such file", "check the path") from None
    except OSError as error:
        raise _refused("A101", shown, f"the file cannot be opened: {error.strerror}",
                       "check the path and that the file may be read") from error
    if not head.strip():
        raise _refused("A101", shown, "the file is empty", "ask the supplier for the list")
    if head.startswith(_OLD_WORKBOOK):
        raise _refused("A102", shown, "this is an old .xls workbook, or one that is locked with a "
                       "password", "save it as .xlsx, without a password")
    for mark in _MARKS_OF_TEXT:
        head = head.removeprefix(mark)
    if head.replace(b"\0", b"").lstrip().startswith(b"<"):
        return "xml"
    if head.startswith(b"%PDF"):
        raise _refused("A102", shown, "this is a PDF", "ask the supplier for a workbook")
    return "csv"


def _form_of_archive(path: Path, shown: str) -> str:
    try:
        with zipfile.ZipFile(path) as archive:
            names = set(archive.namelist())
            if "xl/workbook.xml" in names:
                return "xlsx"
            if "mimetype" in names and archive.read("mimetype").startswith(_ODS):
                return "ods"
    except (zipfile.BadZipFile, RuntimeError, NotImplementedError, EOFError) as error:
        raise _refused("A101", shown, "the file is damaged", "ask the supplier to send it again"
                       ) from error
    raise _refused("A102", shown, "this is an archive, but neither an .xlsx nor an .ods workbook",
                   "unpack it, or save the list as .xlsx")


def _refused(code: str, shown: str, says: str, mend: str) -> ProblemsFound:
    return ProblemsFound([Problem(code, Place(shown), says, mend)])
