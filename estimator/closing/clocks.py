"""Days that run from the commissioning: which papers are due by when, stopped, or past it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from estimator.closing.design import Design
from estimator.closing.entries import Entry
from estimator.closing.limits import Limits
from estimator.design.network.calendar import Due, days_after, working_days_after

WORKING = "working days"


@dataclass(frozen=True, slots=True)
class Clock:
    """A paper that is due so many days after the commissioning.

    Attributes:
        last: the last day; None where the practice pack does not state how many days it takes.
        stopped: the day on which it was done; None while it runs.
        unlisted: years on the way whose public holidays nobody has entered: it may be due later.
        why_not: why it was left, if somebody said so; the clock runs on.
    """

    code: str
    name: str
    last: date | None
    stopped: date | None
    source: str
    unlisted: tuple[int, ...] = ()
    why_not: str = ""

    def is_past(self, on: date) -> bool:
        """Return whether it still runs and its last day is over."""
        return self.stopped is None and self.last is not None and on > self.last

    @property
    def was_late(self) -> bool:
        """Return whether it was stopped after its last day."""
        return self.stopped is not None and self.last is not None and self.stopped > self.last


def clocks(
    entries: Sequence[Entry], design: Design, limits: Limits, commissioned: date,
    done: Mapping[str, date], why_not: Mapping[str, str],
) -> tuple[Clock, ...]:
    """Return the clocks of a job that was commissioned.

    Args:
        limits: those in force on the day of the commissioning.
        done: code -> the day on which the paper was done.
        why_not: code -> why it was not.
    """
    found = []
    for entry in entries:
        if entry.expect == "by" and entry.in_force(limits.on) and design.holds(entry.when):
            due = last_day(entry, limits, commissioned)
            stated = limits.practice.at(entry.limits[0], limits.on)
            found.append(Clock(
                entry.code, entry.read, due.day if due else None, done.get(entry.code),
                stated.source if stated else "", due.unlisted if due else (),
                why_not.get(entry.code, "")))
    return tuple(found)


def last_day(entry: Entry, limits: Limits, commissioned: date) -> Due | None:
    """Return the last day of a paper; None where the pack does not state how many days it takes."""
    days, stated = limits.number(entry.limits[0]), limits.practice.at(entry.limits[0], limits.on)
    if days is None or stated is None:
        return None
    if stated.unit == WORKING:
        return working_days_after(commissioned, int(days), limits.practice)
    return days_after(commissioned, int(days))


def days_in_words(entry: Entry, limits: Limits) -> str:
    """Return within how many days a paper is due, for the sheet; "" where nobody states it."""
    days, stated = limits.number(entry.limits[0]), limits.practice.at(entry.limits[0], limits.on)
    if days is None or stated is None:
        return ""
    return f"within {int(days)} {stated.unit} after commissioning"
