"""Days on which the firm works, and the ends of the demo year: its last day finds crews on site."""

from __future__ import annotations

from datetime import date, timedelta

FIRST, LAST = date(2026, 1, 5), date(2026, 12, 17)
# What a job is priced with is the same on all days of a period: the planted shocks of the prices
# fall on such days, and practice values that hold from 15 April, 18 June and 15 October.
PERIODS = (FIRST, date(2026, 4, 15), date(2026, 6, 18), date(2026, 10, 15))
_SATURDAY = 5


def workday(day: date) -> date:
    """Return the day, or the Monday after it."""
    while day.weekday() >= _SATURDAY:
        day += timedelta(1)
    return day


def after(day: date, days: int) -> date:
    """Return the first workday that is so many days later or more."""
    return workday(day + timedelta(days))


def workdays(first: date, count: int) -> tuple[date, ...]:
    """Return so many workdays in a row."""
    found = [workday(first)]
    while len(found) < count:
        found.append(after(found[-1], 1))
    return tuple(found)


def period_on(day: date) -> int:
    """Return the number of the period in which a day lies, from 0."""
    return sum(day >= begins for begins in PERIODS) - 1


def by_the_end(day: date | None) -> date | None:
    """Return the day, or None if it lies beyond the year."""
    return day if day is not None and day <= LAST else None
