"""An .xlsx or .ods file as a table.

A number comes as a float, a date as a date, an error as a blank; what else is to be known of the
cells comes from the XML. A cell of a merged range but its first is blank.

Codes of the problems: A101 unreadable, A103 the sheet, A105 too large; cautions A131 hidden.
"""

from __future__ import annotations

import zipfile
from pathlib import Path
from typing import Any

from catalogue.price_lists.column_map import ColumnMap
from catalogue.price_lists.ods_parts import ods_marks
from catalogue.price_lists.table import Table, column_letters
from catalogue.price_lists.xlsx_parts import MOST_BYTES, Marks, XlsxParts
from catalogue.problems import Place, Problem, ProblemsFound, suggestion

MOST_CELLS = 30_000_000  # each takes 32 bytes, filled or not; 100,000 rows of 10 are a million
_PANIC = "PanicException"  # what the reading library raises on some damaged files


def workbook_table(path: Path, form: str, column_map: ColumnMap, shown: str) -> Table:
    """Return the rows of a workbook's sheet.

    Args:
        form: "xlsx" or "ods".

    Raises:
        ProblemsFound: A101 if the file is damaged or locked, A103 if the sheet is not there or
            not told, A105 if the sheet reaches too far.
    """
    try:
        with zipfile.ZipFile(path) as archive:
            if max((part.file_size for part in archive.infolist()), default=0) > MOST_BYTES:
                raise _refused("A105", Place(shown), "a sheet unpacks to more than "
                               f"{MOST_BYTES >> 30} GiB", "split the list into several files")
            return _table(path, archive, form, column_map, shown)
    except ProblemsFound:
        raise
    except BaseException as error:
        if not isinstance(error, Exception) and type(error).__name__ != _PANIC:
            raise
        raise _refused("A101", Place(shown), "this workbook cannot be read: it is damaged, or "
                       "locked with a password", "open it in the spreadsheet program and save it "
                       "again, without a password") from error


def _table(
    path: Path, archive: zipfile.ZipFile, form: str, column_map: ColumnMap, shown: str
) -> Table:
    from python_calamine import CalamineWorkbook, SheetVisibleEnum

    parts = XlsxParts(archive) if form == "xlsx" else None
    with CalamineWorkbook.from_path(path) as book:
        shown_sheets = [each.name for each in book.sheets_metadata
                        if each.visible == SheetVisibleEnum.Visible]
        name = column_map.sheet or _only_sheet(shown_sheets, parts, book, shown)
        if name not in book.sheet_names:
            raise _refused("A103", Place(shown), f"there is no sheet '{name}'",
                           suggestion(name, book.sheet_names))
        marks = parts.marks(name, column_map.currency) if parts else ods_marks(
            archive, name, column_map.currency)
        _check_size(marks, name, shown)
        sheet = book.get_sheet_by_name(name)
        return Table(
            form, shown, name, sheet.iter_rows(), (sheet.start or (0, 0))[1] + 1, sheet.width,
            flaws=marks.flaws, hidden=frozenset(marks.hidden),
            hidden_columns=frozenset(marks.hidden_columns),
            merged=marks.merged or [
                ((top + 1, left + 1), (bottom + 1, right + 1)) for (top, left), (bottom, right)
                in sheet.merged_cell_ranges or ()],
            cautions=[] if name in shown_sheets else [Problem(
                "A131", Place(shown, cell=name), "the sheet is hidden in the workbook",
                "look at it before its prices are taken over", "caution")])


def _only_sheet(names: list[str], parts: XlsxParts | None, book: Any, shown: str) -> str:
    """Return the one sheet that anybody sees and that holds anything."""
    if len(names) > 1:
        names = [name for name in names if (
            parts.holds_cells(name) if parts else book.get_sheet_by_name(name).end)]
    if not names:
        raise _refused("A103", Place(shown), "no sheet holds anything", "look into the workbook")
    if len(names) > 1:
        raise _refused("A103", Place(shown), "the workbook has several sheets: "
                       + ", ".join(f"'{name}'" for name in names),
                       "name the one with the prices in the column map: sheet = \"...\"")
    return names[0]


def _check_size(marks: Marks, sheet: str, shown: str) -> None:
    if marks.last_row * marks.last_column > MOST_CELLS:
        last = f"{column_letters(marks.last_column)}{marks.last_row}"
        raise _refused("A105", Place(shown, cell=f"{sheet}!{last}"),
                       f"the sheet reaches as far as {last}, which is more than "
                       f"{MOST_CELLS:,} cells", "delete what stands outside the list")


def _refused(code: str, place: Place, says: str, mend: str) -> ProblemsFound:
    return ProblemsFound([Problem(code, place, says, mend)])
