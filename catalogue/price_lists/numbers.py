"""Numbers of a price list, exact: cells of a workbook and texts with a declared decimal mark.

A workbook keeps a number as a binary fraction and shows at most fifteen significant digits of it,
so these fifteen are what its author meant: 79.26000000000001 is 79.26. A text holds what it shows.
Nothing is rounded: a number finer than it may be is refused.
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from catalogue.price_lists.faults import Fault, told

DIGITS = 15
SPACES = str.maketrans(dict.fromkeys("\u00a0\u2009\u202f\u2007\u2002\u2003\u200a\t", " "))
# Groups of thousands are of three, and of one kind in a number.
_GROUPED = {
    ".": re.compile(r"([0-9]{1,3}(?:,[0-9]{3})+|[0-9]{1,3}(?: [0-9]{3})+|"
                    r"[0-9]{1,3}(?:['\u2019][0-9]{3})+|[0-9]+)(?:\.([0-9]+))?|\.([0-9]+)"),
    ",": re.compile(r"([0-9]{1,3}(?:\.[0-9]{3})+|[0-9]{1,3}(?: [0-9]{3})+|"
                    r"[0-9]{1,3}(?:['\u2019][0-9]{3})+|[0-9]+)(?:,([0-9]+))?|,([0-9]+)"),
}
_MINUS = ("-", "\u2212", "\u2013")
_PLAIN = re.compile(r"([+-]?)(?=\.?[0-9])([0-9]*)(?:\.([0-9]*))?")
_NO_DIGIT = re.compile(r"[^0-9]")


def scaled(cell: Any, places: int, mark: str) -> int | Fault:
    """Return a number as a whole number of its last allowed place (0.0345, 4 places -> 345).

    Args:
        cell: float or int of a workbook, or text.
        places: decimal places that it may have.
        mark: the declared decimal mark of texts.
    """
    if type(cell) is float or type(cell) is int:
        return _of_number(cell, places)
    if type(cell) is str:
        return of_text(cell.translate(SPACES).strip(), places, mark)
    return Fault("A113", f"{told(cell)} is not a number", "write digits")


def _of_number(cell: float, places: int) -> int | Fault:
    factor: int = 10**places
    try:
        whole = round(cell * factor)
    except (OverflowError, ValueError):
        return Fault("A113", f"{told(cell)} is not a number", "write digits")
    if whole / factor == cell and abs(whole) < 10**DIGITS:
        return whole  # the nearest number of so few places, and its only spelling
    meant = Decimal(f"{cell:.{DIGITS}g}")
    raised = meant.scaleb(places)
    if raised != raised.to_integral_value():
        return _too_fine(f"{meant:f}", places)
    if abs(raised) >= 10**DIGITS:
        return Fault("A113", f"{meant:f} has more than {DIGITS} digits", "write fewer")
    return int(raised)


def of_text(text: str, places: int, mark: str) -> int | Fault:
    """Return a number written with a decimal mark, spaces stripped; see `scaled`."""
    negative = text.startswith(_MINUS) or text.endswith("-") or (
        text.startswith("(") and text.endswith(")"))
    bare = text.strip("-\u2212\u2013()").strip() if negative else text.removeprefix("+")
    match = _GROUPED[mark].fullmatch(bare)
    if match is None:
        return Fault("A113", f"{told(text)} is not a number with the decimal mark '{mark}'",
                     _wanted(bare, mark))
    whole = _NO_DIGIT.sub("", match.group(1) or "")
    part = (match.group(2) or match.group(3) or "").rstrip("0")
    if len(part) > places:
        return _too_fine(told(text), places)
    if len(whole) + len(part) > DIGITS:
        return Fault("A113", f"{told(text)} has more than {DIGITS} digits", "write fewer")
    number = int((whole or "0") + part.ljust(places, "0"))
    return -number if negative else number


def of_plain(text: str, places: int) -> int | Fault:
    """Return a decimal of an exchange file (12.50, no groups, no exponent); see `scaled`."""
    match = _PLAIN.fullmatch(text.strip())
    if match is None:
        return Fault("A113", f"{told(text)} is not a decimal number", "ask the supplier about it")
    part = (match[3] or "").rstrip("0")
    if len(part) > places:
        return _too_fine(told(text), places)
    if len(match[2]) + len(part) > DIGITS:
        return Fault("A113", f"{told(text)} has more than {DIGITS} digits", "ask the supplier")
    number = int((match[2] or "0") + part.ljust(places, "0"))
    return -number if match[1] == "-" else number


def _wanted(bare: str, mark: str) -> str:
    other = "," if mark == "." else "."
    if _GROUPED[other].fullmatch(bare):
        return f"if the list's decimal mark is '{other}', the column map says so; else write " \
               f"12{mark}5"
    return f"write digits and at most one '{mark}', such as 12{mark}5"


def _too_fine(written: str, places: int) -> Fault:
    return Fault("A113", f"{written} has more than {places} decimal places",
                 "write fewer, or give the price for more units")
