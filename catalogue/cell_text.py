"""Values as a cell of a workbook or a text file holds them."""

from __future__ import annotations

from decimal import Decimal
from typing import Any


def in_a_cell(value: Any) -> Any:
    """Return a value as a cell holds it: yes/no, words parted by ';', None for nothing known."""
    if value is None or value in ("", ()):
        return None
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return ";".join(str(word) for word in value)
    return value


def in_text(value: Any) -> str:
    """Return a value as a CSV file holds it, numbers plain."""
    held = in_a_cell(value)
    if held is None:
        return ""
    return format(held, "f") if isinstance(held, Decimal) else str(held)
