"""A date of a price list: a date cell, or text in the declared order.

A year stands in four digits; text that begins with it is read whatever the order, since it can mean
one day only, and so is a month that is a word.
"""

from __future__ import annotations

import re
from datetime import date, datetime, time
from typing import Any

from catalogue.price_lists.faults import Fault, told
from catalogue.price_lists.numbers import SPACES

_ORDERS = {
    "year month day": re.compile(r"(?P<y>[0-9]{4})[-./ ](?P<m>[0-9]{1,2})[-./ ](?P<d>[0-9]{1,2})"),
    "day month year": re.compile(r"(?P<d>[0-9]{1,2})[-./ ](?P<m>[0-9]{1,2})[-./ ](?P<y>[0-9]{4})"),
    "month day year": re.compile(r"(?P<m>[0-9]{1,2})[-./ ](?P<d>[0-9]{1,2})[-./ ](?P<y>[0-9]{4})"),
}
_NAMED = re.compile(r"(?P<d>[0-9]{1,2})(?:st|nd|rd|th)?[-./ ](?P<m>[a-z]{3,9})\.?[-./, ]+"
                    r"(?P<y>[0-9]{4})")
_MONTHS = ("january", "february", "march", "april", "may", "june", "july", "august", "september",
           "october", "november", "december")
_EARLIEST, _LATEST = 2000, 2100


def day(cell: Any, order: str) -> date | Fault:
    """Return the day of a cell; order is one of `ColumnMap.date_order`."""
    if isinstance(cell, datetime):
        if cell.time() != time.min:
            return Fault("A118", f"{cell} has a time of day", f"write {cell.date()}")
        return _likely(cell.date())
    if isinstance(cell, date):
        return _likely(cell)
    if not isinstance(cell, str):
        return Fault("A118", f"{told(cell)} is not a date", "format the cell as a date")
    text = " ".join(cell.translate(SPACES).casefold().split())
    match = _ORDERS["year month day"].fullmatch(text) or _ORDERS[order].fullmatch(text)
    month = match["m"] if match else ""
    if match is None:
        match = _NAMED.fullmatch(text)
        month = _month(match["m"]) if match else ""
    if match is None or not month:
        return Fault("A118", f"{told(cell)} is not a date of the order {order}",
                     "write all four digits of the year, such as 2026-03-31")
    try:
        return _likely(date(int(match["y"]), int(month), int(match["d"])))
    except ValueError:
        return Fault("A118", f"there is no day {told(cell)} in the order {order}",
                     "look whether the column map's date_order is right")


def _month(word: str) -> str:
    found = [n for n, name in enumerate(_MONTHS, 1)
             if name == word or word in (name[:3], name[:4])]
    return str(found[0]) if found else ""


def _likely(found: date) -> date | Fault:
    if _EARLIEST <= found.year <= _LATEST:
        return found
    return Fault("A118", f"{found} lies outside the years {_EARLIEST} to {_LATEST}",
                 "look the year over")
