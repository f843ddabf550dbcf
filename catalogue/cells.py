"""One cell of a sheet read as what its column asks for, or what is wrong with it.

A cell of a CSV file is text. A cell of a workbook may hold a number or a date that was once text:
a part number 00420 that became 420 is refused, never guessed back.
"""

from __future__ import annotations

import re
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from catalogue.answers import Asked, misfit
from catalogue.columns import YES_NO, Column
from catalogue.validation import shown

DIGITS = 15  # what a workbook keeps exactly
_NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?")
_CONTROL = re.compile(r"[\x00-\x1f\x7f]")
_LONGEST = 2000
_LISTED = ";"
_AS_TEXT = "format the cell as text and type it again; in a text file, put it in quotes"


class Formula(str):
    """A cell that holds a formula, or its error; what it shows is not what it is."""

    __slots__ = ()


class CellError(Exception):
    """What is wrong with a cell, and how to mend it."""

    def __init__(self, says: str, mend: str = "") -> None:
        super().__init__(says)
        self.says = says
        self.mend = mend


def is_blank(cell: Any) -> bool:
    """Return whether a cell holds nothing."""
    return cell is None or (isinstance(cell, str) and not cell.strip())


def read_cell(cell: Any, column: Column) -> Any:
    """Return the value of a cell that is not blank.

    Args:
        cell: text, or from a workbook a number, flag, date or moment.
        column: what is asked for.

    Raises:
        CellError: if the cell is not what the column asks for.
    """
    if isinstance(cell, Formula):
        raise CellError(f"the cell holds a formula, {shown(str(cell))}",
                        "copy it and paste its value only")
    if not column.asked.is_list:
        return _value(cell, column)
    if not isinstance(cell, str):
        return (_value(cell, column),)
    parts = [part.strip() for part in cell.split(_LISTED)]
    if "" in parts:
        raise CellError("a word of the list is blank", "leave out the needless ';'")
    if len(set(parts)) < len(parts):
        raise CellError("a word stands in the list twice", "leave it out once")
    return tuple(_value(part, column) for part in parts)


def _value(cell: Any, column: Column) -> Any:
    asked = column.asked
    match asked.kind:
        case "yes or no":
            return _flag(cell)
        case "whole number" | "number":
            value: Any = _number(cell, asked.kind)
            _check_places(value, asked)
        case "date":
            value = _day(cell)
        case _:
            value = _text(cell, column)
    wrong = misfit(value, asked)
    if wrong:
        raise CellError(wrong[1], wrong[2].replace(" without quotes", ""))
    return int(value) if column.whole_words else value


def _flag(cell: Any) -> bool:
    if isinstance(cell, bool):
        return cell
    word = str(cell).strip().lower()
    if word not in YES_NO:
        raise CellError(f"{shown(cell)} is neither yes nor no", "write yes or no")
    return word == "yes"


def _number(cell: Any, kind: str) -> int | Decimal:
    mend = "write digits and a decimal point only, such as 12.5: no unit, comma or space"
    if isinstance(cell, bool) or not isinstance(cell, str | int | float | Decimal):
        raise CellError(f"a {kind} is needed, not {shown(cell)}", mend)
    written = cell.strip() if isinstance(cell, str) else format(Decimal(str(cell)), "f")
    if not _NUMBER.fullmatch(written):
        raise CellError(f"{shown(cell)} is not a {kind}", mend)
    if "." in written:  # 5.0 of a text and 5 of a workbook are one number
        written = written.rstrip("0").rstrip(".")
    if len(written.strip("-").replace(".", "")) > DIGITS:
        raise CellError(f"{shown(written)} has more than {DIGITS} digits", "write fewer")
    if kind == "number":
        return Decimal(written)
    if "." in written:
        raise CellError(f"{written} is not a whole number", "write it without a fraction")
    return int(written)


def _check_places(value: int | Decimal, asked: Asked) -> None:
    """Refuse a number finer than its column can hold."""
    places = -int(Decimal(value).as_tuple().exponent)
    if asked.decimals is not None and places > asked.decimals:
        raise CellError(f"{value:f} has more than {asked.decimals} decimal places",
                        f"give at most {asked.decimals} digits after the point")


def _day(cell: Any) -> date:
    if isinstance(cell, datetime):
        if cell.time() != datetime.min.time():
            raise CellError(f"{cell} has a time of day", f"write {cell.date()}")
        return cell.date()
    if isinstance(cell, date):
        return cell
    try:
        return datetime.strptime(str(cell).strip(), "%Y-%m-%d").date()  # noqa: DTZ007 a trade date
    except ValueError:
        raise CellError(f"{shown(cell)} is not a date",
                    "write year-month-day, such as 2026-03-31") from None


def _text(cell: Any, column: Column) -> str:
    if isinstance(cell, str):
        text = cell.strip()
        if _CONTROL.search(text):
            raise CellError(f"{shown(text)} has a line break or a control character in it",
                            "write it on one line")
        if len(text) > _LONGEST:
            raise CellError(f"the text has {len(text)} characters", f"keep it to {_LONGEST}")
        if _LISTED in text and column.name == "code":
            raise CellError(f"a code has no '{_LISTED}'", "that mark parts the codes of a list")
        return text
    if column.whole_words:
        return str(_number(cell, "whole number"))
    if isinstance(cell, bool):
        raise CellError(f"text is needed, not {'yes' if cell else 'no'}", "type the words")
    if isinstance(cell, date):
        raise CellError(f"{cell:%Y-%m-%d} is a date here, and text is needed",
                        _AS_TEXT)
    raise CellError(f"{shown(cell)} is a number here, so leading zeros may be lost", _AS_TEXT)
