"""The workbook to fill in new items of a family: guidance, drop-downs, one example row."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from catalogue.columns import YES_NO, Column, columns_of
from catalogue.workbook_sheets import (
    EXAMPLE,
    GUIDANCE,
    MARK,
    TEXT_FORMAT,
    WORDS_SHEET,
    OutSheet,
    saved,
    write_header,
    write_row,
)

if TYPE_CHECKING:
    from openpyxl.worksheet.datavalidation import DataValidation
    from openpyxl.worksheet.worksheet import Worksheet

FIRST_ROW = 4  # below header, guidance and example
LAST_ROW = 203
_GREY, _YELLOW = "FFEDEDED", "FFFFF4CC"


@dataclass(frozen=True)
class KnownWords:
    """What a free text may well be: suppliers, and the roles of each family. Others may stand."""

    suppliers: Sequence[str] = ()
    roles: Mapping[str, Sequence[str]] = field(default_factory=dict)

    def of(self, family: str, column: str) -> Sequence[str]:
        """Return the words to offer for a column."""
        if column == "supplier":
            return self.suppliers
        return self.roles.get(family, ()) if column == "roles" else ()


def form_bytes(families: Sequence[OutSheet], known: KnownWords) -> bytes:
    """Return the workbook to fill, a sheet per family.

    Args:
        families: for each family its name and, as the first row, an example if there is one.
        known: words to offer for suppliers and roles.
    """
    from openpyxl import Workbook

    book = Workbook()
    del book[book.sheetnames[0]]
    words = book.create_sheet(WORDS_SHEET)
    for number, family in enumerate(families):
        sheet = book.create_sheet(family.name, number)
        _write_sheet(words, sheet, family, known)
    words.sheet_state = "hidden"
    book.active = 0
    return saved(book)


def _write_sheet(
    words: Worksheet, sheet: Worksheet, family: OutSheet, known: KnownWords
) -> None:
    from openpyxl.styles import Alignment, Font, PatternFill
    from openpyxl.utils import get_column_letter

    columns = columns_of(family.name)
    write_header(sheet, [MARK, *(column.header for column in columns)])
    sheet.cell(2, 1, GUIDANCE)
    sheet.cell(3, 1, EXAMPLE)
    for number, column in enumerate(columns, 2):
        sheet.cell(2, number, guidance(column))
        if column.needed:
            sheet.cell(1, number).fill = PatternFill("solid", fgColor=_YELLOW)
        if column.is_text:
            for row in range(FIRST_ROW, LAST_ROW + 1):
                sheet.cell(row, number).number_format = TEXT_FORMAT
        check = _check(words, column, known.of(family.name, column.name))
        if check is not None:
            sheet.add_data_validation(check)
            letter = get_column_letter(number)
            check.add(f"{letter}{FIRST_ROW}:{letter}{LAST_ROW}")
    if family.rows:
        write_row(sheet, 3, columns, family.rows[0], first_column=2)
    for row in (2, 3):
        for cell in sheet[row]:
            cell.font = Font(italic=True, color="FF666666")
            cell.fill = PatternFill("solid", fgColor=_GREY)
            cell.alignment = Alignment(wrap_text=True, vertical="top")
    sheet.freeze_panes = "C3"


def guidance(column: Column) -> str:
    """Return what a person must know to fill a column."""
    parts = ["needed" if column.needed else
             f"blank = {column.default}" if column.default else "may be blank"]
    if column.meaning:
        parts.append(column.meaning)
    if column.asked.kind != "text":
        parts.append(str(column.asked).replace('"', ""))
    if column.asked.is_list:
        parts.append("several are parted by ';'")
    elif column.name == "code":
        parts.append("leading zeros count")
    return "; ".join(parts)


def _check(sheet: Worksheet, column: Column, known: Sequence[str]) -> DataValidation | None:
    """Return the drop-down or the bounds of a column; `sheet` holds the vocabularies."""
    from openpyxl.worksheet.datavalidation import DataValidation

    asked = column.asked
    words: Sequence[str] = known or asked.words
    if asked.kind == "yes or no":
        words = YES_NO
    if words:
        check = DataValidation("list", formula1=_range_of(sheet, words), allow_blank=True)
        # A known supplier or role is only offered; so are words of which a cell may hold several.
        check.showErrorMessage = not known and not asked.is_list
    elif asked.kind in ("number", "whole number"):
        low = asked.least if asked.least is not None else asked.above
        high = asked.most if asked.most is not None else asked.below
        check = DataValidation(
            "whole" if asked.kind == "whole number" else "decimal", allow_blank=True,
            operator="between", formula1=str(low if low is not None else -(10**9)),
            formula2=str(high if high is not None else 10**9))
        check.showErrorMessage = True
    else:
        return None
    check.errorTitle = column.name
    check.error = str(asked)[:250]
    return check


def _range_of(sheet: Worksheet, words: Sequence[str]) -> str:
    """Write a vocabulary into the sheet of words, once, and return where it stands."""
    from openpyxl.utils import get_column_letter

    wanted = list(words)
    number = 1
    while sheet.cell(1, number).value is not None:
        there = [sheet.cell(row, number).value for row in range(1, sheet.max_row + 1)]
        if [word for word in there if word is not None] == wanted:
            break
        number += 1
    for row, word in enumerate(wanted, 1):
        cell = sheet.cell(row, number, word)
        cell.data_type = "s"
    letter = get_column_letter(number)
    return f"{WORDS_SHEET}!${letter}$1:${letter}${len(wanted)}"
