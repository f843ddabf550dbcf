"""Working days, by the public holidays that the practice pack states for each year.

A table in the pack rather than a library: it has a source and dates, is the same on every machine,
a firm in another country states its own, and a year nobody has entered warns instead of guessing.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import NamedTuple

from estimator.practice.pack import Practice

HOLIDAYS = "network_public_holidays"
_SATURDAY = 5


class Due(NamedTuple):
    """A day by which something is due.

    Attributes:
        unlisted: years on the way for which no holidays are stated, so that the day may be later.
    """

    day: date
    unlisted: tuple[int, ...] = ()


def holidays_of(practice: Practice, year: int) -> frozenset[date] | None:
    """Return the public holidays of a year, or None if the pack does not state them."""
    stated = practice.at(HOLIDAYS, date(year, 1, 1))
    if stated is None:
        return None
    return frozenset(
        date.fromisoformat(f"{year:04d}-{month_day}") for month_day in str(stated.value).split()
    )


def working_days_after(start: date, days: int, practice: Practice) -> Due:
    """Return the day that lies so many working days after a day; the next day is the first.

    Raises:
        ValueError: for less than no days.
    """
    if days < 0:
        raise ValueError("working days are counted forwards")
    day, left = start, days
    listed: dict[int, frozenset[date] | None] = {}
    while left:
        day += timedelta(days=1)
        if day.year not in listed:
            listed[day.year] = holidays_of(practice, day.year)
        if day.weekday() < _SATURDAY and day not in (listed[day.year] or ()):
            left -= 1
    return Due(day, tuple(year for year, found in listed.items() if found is None))


def days_after(start: date, days: int) -> Due:
    """Return the day that lies so many calendar days after a day."""
    return Due(start + timedelta(days=days))
