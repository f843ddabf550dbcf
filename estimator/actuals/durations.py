"""How long somebody worked, and when: cells of a timesheet as whole minutes, or not at all.

Hours stand as 7:30, 7h30, 7.5, 7,5 or 7½, or as a cell that is formatted as a time. Both decimal
marks are read, since nobody works a thousand hours in a day. Where a decimal may just as well be
meant as minutes (7.30: half past, or 18 minutes), it is refused unless somebody says which.
"""

from __future__ import annotations

import re
from datetime import datetime, time, timedelta
from decimal import Decimal
from typing import Any

from catalogue.price_lists.faults import Fault, told
from catalogue.price_lists.numbers import SPACES, scaled

HOUR, DAY = 60, 24 * 60
# Quarters of an hour as minutes, written behind a point as if they were hundredths.
_READ_TWO_WAYS = (Decimal("0.15"), Decimal("0.3"), Decimal("0.45"))
_QUARTERS = {"¼": ".25", "½": ".5", "¾": ".75"}
_COLON = re.compile(r"([0-9]{1,2}):([0-9]{2})(?::([0-9]{2}))?")
_LETTERS = re.compile(
    r"([0-9]{1,2}) ?h(?:ours?|rs?)?\.? ?([0-9]{1,2})(?: ?m(?:ins?|inutes)?\.?)?")
_MINUTES = re.compile(r"([0-9]{1,4}) ?m(?:ins?|inutes?)?\.?")
_DECIMAL = re.compile(r"([0-9]{0,2})[.,]?([0-9]{0,4}) ?(?:h(?:ours?|rs?)?\.?)?")
_CLOCK = re.compile(
    r"([0-9]{1,2})(?:[:.h]([0-9]{2}))?(?::00)? ?([ap]\.?m\.?)?|([0-9]{2})([0-9]{2})")
_MILLI = 1000


def minutes_of(cell: Any, mark: str) -> int | Fault:
    """Return the whole minutes of a cell that counts minutes; mark: decimal mark of texts."""
    milli = scaled(cell, 3, mark)
    if isinstance(milli, Fault):
        return milli
    if milli <= 0:
        return Fault("Z205", f"{told(cell)} is no time that anybody worked",
                     "write minutes above nought; what is wrong and booked is taken back: "
                     "estimator actuals take-back LINE")
    whole, rest = divmod(milli, _MILLI)
    if rest:
        return Fault("Z207", f"{told(cell)} is no whole number of minutes", "write whole minutes")
    return whole


def hours_of(cell: Any, *, decimal: bool = False) -> int | Fault:
    """Return the whole minutes of a cell that says hours.

    Args:
        cell: text, a number of hours, a time of day or a stretch of time.
        decimal: whether 7.30 is 7.3 hours for certain.
    """
    if isinstance(cell, time):
        cell = timedelta(hours=cell.hour, minutes=cell.minute, seconds=cell.second,
                         microseconds=cell.microsecond)
    if isinstance(cell, timedelta):
        return _of_stretch(cell)
    if isinstance(cell, bool) or not isinstance(cell, int | float | str):
        return Fault("Z205", f"{told(cell)} does not say how long", "write hours such as 7:30")
    found = _of_text(cell, decimal) if isinstance(cell, str) else _of_hours(
        Decimal(f"{cell:.15g}"), told(cell), decimal)
    if isinstance(found, int) and found <= 0:
        return Fault("Z205", f"{told(cell)} is no time that anybody worked",
                     "write hours above nought; what is wrong and booked is taken back: estimator "
                     "actuals take-back LINE")
    return found


def _of_stretch(stretch: timedelta) -> int | Fault:
    seconds = round(stretch.total_seconds())  # a workbook keeps a time as a fraction of a day
    if seconds <= 0:
        return Fault("Z205", f"{stretch} is no time that anybody worked",
                     "write hours above nought")
    if seconds % 60:
        return Fault("Z207", f"{stretch} is no whole number of minutes", "write hours as 7:30")
    return seconds // 60


def _of_text(cell: str, decimal: bool) -> int | Fault:
    text = _plain(cell)
    for sign, part in _QUARTERS.items():
        text = re.sub(rf"\s*{sign}", part, text)
    if match := _COLON.fullmatch(text):
        return _of_parts(match[1], match[2], match[3], cell)
    if match := _LETTERS.fullmatch(text):
        return _of_parts(match[1], match[2], None, cell)
    if match := _MINUTES.fullmatch(text):
        return int(match[1])
    if (match := _DECIMAL.fullmatch(text)) and (match[1] or match[2]):
        return _of_hours(Decimal(f"{match[1] or 0}.{match[2] or 0}"), told(cell), decimal)
    return Fault("Z205", f"{told(cell)} does not say how long",
                 "write hours such as 7:30, 7h30 or 7.5")


def _of_parts(hours: str, minutes: str, seconds: str | None, cell: str) -> int | Fault:
    if int(minutes) >= HOUR or int(seconds or 0):
        return Fault("Z205", f"{told(cell)} are no hours and minutes",
                     "write hours, and minutes from 00 to 59, such as 7:30")
    return int(hours) * HOUR + int(minutes)


def _of_hours(hours: Decimal, shown: str, decimal: bool) -> int | Fault:
    minutes = hours * HOUR
    if not decimal and hours % 1 in _READ_TWO_WAYS:
        whole, hundredths = divmod(hours, 1)
        clock = f"{whole:f}:{hundredths * 100:02.0f}"
        return Fault("Z206", f"{shown} may be meant as {clock} or as {hours.normalize():f} hours, "
                     f"which are {in_words(int(minutes))}",
                     f"write {clock} or {in_words(int(minutes)).replace(' ', '')}; if all hours of "
                     "the file are decimal, say --decimal-hours")
    if minutes != int(minutes):
        return Fault("Z207", f"{shown} hours are {minutes.normalize():f} minutes, which is no "
                     "whole number", "write hours and minutes, such as 7:20")
    return int(minutes)


def clock_of(cell: Any) -> int | Fault:
    """Return the minute of the day (0 to 1440) of a cell that says a time of day."""
    if isinstance(cell, datetime):
        cell = cell.time()
    if isinstance(cell, time | timedelta):
        stretch = cell if isinstance(cell, timedelta) else timedelta(
            hours=cell.hour, minutes=cell.minute, seconds=cell.second,
            microseconds=cell.microsecond)
        seconds = round(stretch.total_seconds())
        return _in_a_day(seconds // 60, cell) if seconds % 60 == 0 else _no_clock(cell)
    if isinstance(cell, float) and cell.is_integer():
        cell = int(cell)
    if isinstance(cell, int) and not isinstance(cell, bool):
        return _in_a_day(cell * HOUR, cell)
    match = _CLOCK.fullmatch(_plain(cell)) if isinstance(cell, str) else None
    if match is None:
        return _no_clock(cell)
    hour, minute = int(match[1] or match[4]), int(match[2] or match[5] or 0)
    if minute >= HOUR or (match[3] and not 1 <= hour <= 12):
        return _no_clock(cell)
    if match[3]:
        hour = hour % 12 + (12 if match[3].startswith("p") else 0)
    return _in_a_day(hour * HOUR + minute, cell)


def _in_a_day(minute: int, cell: Any) -> int | Fault:
    return minute if 0 <= minute <= DAY else _no_clock(cell)


def _no_clock(cell: Any) -> Fault:
    return Fault("Z208", f"{told(cell)} is no time of day to the minute", "write it as 08:30")


def _plain(cell: str) -> str:
    return " ".join(cell.translate(SPACES).casefold().split())


def in_words(minutes: int) -> str:
    """Return minutes as people say them: "7 h 30 min"."""
    sign, (hours, rest) = "-" if minutes < 0 else "", divmod(abs(minutes), HOUR)
    parts = [f"{hours} h"] if hours else []
    return sign + " ".join([*parts, f"{rest} min"] if rest or not hours else parts)


def clock(minute: int) -> str:
    """Return a minute of the day as 08:30."""
    return f"{minute // HOUR % 24:02}:{minute % HOUR:02}"
