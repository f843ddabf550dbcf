"""Part numbers, names and other texts of a price list.

A part number is text. A workbook's cell that holds it as a number may have lost leading zeros, so
it is refused unless the column map says that the supplier's part numbers are numbers. A text that
begins like a formula stays the text it is.
"""

from __future__ import annotations

from typing import Any

from catalogue.price_lists.faults import Fault, told

LONGEST_CODE, LONGEST_NAME = 64, 500


def clean(text: str) -> str:
    """Return a text on one line, its spaces single and plain."""
    return " ".join(text.split())  # also parts at line breaks, no-break and thin spaces


def code(cell: Any, numbers: bool, what: str = "part number") -> str | Fault:
    """Return a part number or another code; numbers: whether a whole number is one."""
    if isinstance(cell, float) and cell.is_integer() and abs(cell) < 1e15:
        cell = int(cell)
    if isinstance(cell, int) and not isinstance(cell, bool) and cell >= 0:
        if numbers:
            return str(cell)
        return Fault("A110", f"the {what} {cell} is a number here, so leading zeros may be "
                     "lost", 'format the cell as text and type it again; if all are numbers, the '
                     'column map says codes = "numbers"')
    if not isinstance(cell, str):
        return Fault("A110", f"{told(cell)} is no {what}", "format the cell as text and type "
                     "it again")
    text = clean(cell)
    if not text:
        return Fault("A110", f"the {what} is missing", "ask the supplier for it")
    if not text.isprintable():
        return Fault("A110", f"the {what} {told(text)} has a hidden character in it",
                     "type it again")
    if len(text) > LONGEST_CODE:
        return Fault("A110", f"the {what} has {len(text)} characters",
                     f"one has at most {LONGEST_CODE}; look whether the column is right")
    return text


def name(cell: Any) -> str | Fault:
    """Return words on one line."""
    if isinstance(cell, float | int) and not isinstance(cell, bool):
        return told(cell)
    if not isinstance(cell, str):
        return Fault("A111", f"text is needed, not {told(cell)}", "type the words")
    text = clean(cell)
    if not text.isprintable():
        return Fault("A111", f"{told(text)} has a hidden character in it", "type it again")
    if len(text) > LONGEST_NAME:
        return Fault("A111", f"the text has {len(text)} characters",
                     f"keep it to {LONGEST_NAME}")
    return text
