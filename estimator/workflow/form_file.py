"""Reads the file of a survey form, .xlsx or .ods, into cells; refuses what may do harm.

The file may come from anywhere, so its size, its parts and its XML are looked at before any
library unpacks it.
"""

from __future__ import annotations

import io
import lzma
import struct
import warnings
import zipfile
import zlib
from pathlib import Path
from typing import Any

from catalogue.cells import Formula, is_blank
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.toml_source import as_text
from estimator.survey.form_cells import At, FormSheet, cell_name

MOST_BYTES = 200_000_000  # packed or unpacked, with the photos that people paste into a sheet
MOST_XML_BYTES = 20_000_000  # unpacked; a form takes less than a million
MOST_PARTS = 2000
MOST_CELLS = 100_000  # a form has some three thousand
MOST_RATIO = 300  # unpacked to packed; a sheet of blanks comes to about a hundred
SMALL_BYTES = 1_000_000  # below this no ratio does harm
MOST_ROWS, MOST_COLUMNS = 5000, 100
_OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_SAVE = "open it in the spreadsheet program and save it as .xlsx or .ods"
_ODS = b"application/vnd.oasis.opendocument.spreadsheet"

Read = tuple[list[FormSheet], list[Problem]]


def read_form_file(path: Path) -> Read:
    """Return the sheets of a form, and what is amiss in them.

    Raises:
        ProblemsFound: X001 if the file cannot be read, X002 if it is no workbook or damaged, X003
            if it unpacks to more than a form can hold, X004 if its XML declares entities, X005 if
            it is protected by a password.
    """
    shown = as_text(path)
    content = _content(path, shown)
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            kind = _kind(packed, shown)
            _refuse_harm(packed, shown)
    except (zipfile.BadZipFile, zlib.error, lzma.LZMAError, struct.error, NotImplementedError,
            RuntimeError, EOFError, ValueError, OSError) as error:
        raise _refused("X002", shown, "this is no workbook, or it is damaged", _SAVE) from error
    if kind == "ods":
        from estimator.workflow.form_ods import read_ods

        return read_ods(content, shown)
    return _read_xlsx(content, shown)


def _content(path: Path, shown: str) -> bytes:
    try:
        with path.open("rb") as file:
            content = file.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise _refused("X001", shown, "there is no such file", "check the path") from None
    except IsADirectoryError:
        raise _refused("X001", shown, "this is a folder, not a file",
                       "name a file in it") from None
    except (OSError, ValueError) as error:
        raise _refused("X001", shown, f"the file cannot be read: {error}",
                       "check the path and that the file may be read") from error
    if len(content) > MOST_BYTES:
        raise _refused("X003", shown, f"the file has more than {MOST_BYTES} bytes",
                       "take pasted pictures out, or copy the answers into a new form")
    if not content:
        raise _refused("X002", shown, "the file is empty", "take the form from where it was saved")
    if content.startswith(_OLE):
        raise _refused("X005", shown,
                       "the file is protected by a password, or of an old kind of workbook",
                       "take the password off and save it as .xlsx or .ods")
    if not content.startswith(b"PK"):
        raise _refused("X002", shown, "this is no workbook, whatever its name ends in", _SAVE)
    return content


def _kind(packed: zipfile.ZipFile, shown: str) -> str:
    names = set(packed.namelist())
    if "content.xml" in names and "mimetype" in names:
        with packed.open("mimetype") as file:
            if file.read(len(_ODS) + 10).strip().startswith(_ODS):
                return "ods"
    if "[Content_Types].xml" in names and any(n.startswith("xl/") for n in names):
        return "xlsx"
    raise _refused("X002", shown, "this is a packed file, but no workbook", _SAVE)


def _refuse_harm(packed: zipfile.ZipFile, shown: str) -> None:
    parts = packed.infolist()
    for most, held in (
        (MOST_BYTES, sum(part.file_size for part in parts)),
        (MOST_XML_BYTES, sum(part.file_size for part in parts if _is_xml(part.filename))),
        (MOST_PARTS, len(parts)),
    ):
        if held > most:
            kind = "parts" if most == MOST_PARTS else "bytes"
            raise _refused("X003", shown,
                           f"the file unpacks to {held} {kind}, and no form has above {most}",
                           "copy the answers into a new form")
    for part in parts:
        if part.file_size > SMALL_BYTES and part.file_size > MOST_RATIO * part.compress_size:
            raise _refused("X003", shown,
                           f"'{part.filename}' unpacks to {part.file_size} bytes from "
                           f"{part.compress_size}", "copy the answers into a new form")
        if part.flag_bits & 1:
            raise _refused("X005", shown, "the file is protected by a password",
                           "take the password off and save it again")
        if _is_xml(part.filename):
            _refuse_entities(packed.read(part), shown, part.filename)


def _is_xml(name: str) -> bool:
    return name.lower().endswith((".xml", ".rels", ".vml"))


def _refuse_entities(xml: bytes, shown: str, part: str) -> None:
    """Refuse XML that declares anything: no spreadsheet program writes such, attackers do."""
    plain = xml.replace(b"\x00", b"")  # also as UTF-16
    if b"<!DOCTYPE" in plain or b"<!ENTITY" in plain:
        raise _refused("X004", shown, f"'{part}' declares a document type or entities", _SAVE)
    if part == "META-INF/manifest.xml" and b"encryption-data" in plain:
        raise _refused("X005", shown, "the file is protected by a password",
                       "take the password off and save it again")


def _read_xlsx(content: bytes, shown: str) -> Read:
    from openpyxl import load_workbook

    sheets: list[FormSheet] = []
    told: list[Problem] = []
    try:
        with warnings.catch_warnings():  # about features that are dropped, which none reads here
            warnings.simplefilter("ignore")
            book = load_workbook(io.BytesIO(content))
        for sheet in book.worksheets:
            cells: dict[At, Any] = {
                (int(cell.row or 0), int(cell.column or 0)): _value(cell)
                for cell in list(sheet._cells.values())  # no library call skips what is blank
                if not is_blank(cell.value)
            }
            merged = [((r.min_row, r.min_col), (r.max_row, r.max_col))
                      for r in sheet.merged_cells.ranges]
            sheets.append(within_bounds(FormSheet(sheet.title, cells, merged), shown, told))
    except Exception as error:  # on damaged bytes the library raises anything
        raise _refused("X002", shown, "this is no workbook, or it is damaged", _SAVE) from error
    return sheets, told


def _value(cell: Any) -> Any:
    if cell.data_type in ("f", "e"):
        return Formula(getattr(cell.value, "text", None) or cell.value)
    return cell.value


def within_bounds(sheet: FormSheet, shown: str, told: list[Problem]) -> FormSheet:
    """Return the sheet without cells far off, which are told."""
    far = {at for at in sheet.cells if at[0] > MOST_ROWS or at[1] > MOST_COLUMNS}
    told.extend(
        Problem("X013", Place(shown, cell=cell_name(sheet.name, at)),
                "a cell is filled far off the form", "clear it")
        for at in sorted(far)[:20])
    near = {at: value for at, value in sheet.cells.items() if at not in far}
    return FormSheet(sheet.name, near, sheet.merged)


def _refused(code: str, shown: str, says: str, mend: str) -> ProblemsFound:
    return ProblemsFound([Problem(code, Place(shown), says, mend)])
