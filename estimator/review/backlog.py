"""How much accepted work is waiting, against what the crews do in a week; what cash comes of it?

Weeks begin on Monday. What should have happened before the day stands in its week: it is to be
done, paid or fetched now.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from estimator.review.report import Cell, Chart, Report, ReportColumn
from estimator.review.wording import amount, count

WEEKS = 13  # a quarter of a year ahead
LAST_WEEKS = 8  # in which the hours of a usual week are counted
NO_DAY, LATER = "no day yet", "later"


@dataclass(frozen=True, slots=True)
class Waiting:
    """An accepted job that is not commissioned: hours left to work, and the day it is planned."""

    job: str
    left_milli: int
    planned: date | None


@dataclass(frozen=True, slots=True)
class Owed:
    """What a customer still owes of an accepted job, in minor units.

    Attributes:
        net_minor: price before tax.
        paid_minor: what was paid so far.
        done_on: the day it was commissioned, or else is planned for; None where neither is said.
    """

    job: str
    net_minor: int
    paid_minor: int
    done_on: date | None


@dataclass(frozen=True, slots=True)
class Due:
    """A bill that is not due before the day, or owed from then on: with its tax."""

    on: date
    minor: int


def week_of(day: date) -> date:
    """Return the Monday of a day's week."""
    return day - timedelta(days=day.weekday())


def backlog(waiting: Sequence[Waiting], week_milli: int, on: date, currency: str) -> Report:
    """Return the report on accepted hours by week.

    Args:
        waiting: accepted jobs that are not commissioned.
        week_milli: thousandths of hours that crews worked in a usual week; 0 = not known.
        on: the day it is looked at from.
        currency: of the review; no money is in this report.
    """
    rows: list[tuple[Cell, ...]] = []
    weeks = [week_of(on) + timedelta(weeks=at) for at in range(WEEKS)]
    for week in weeks:
        rows.append(_week(week.isoformat(), [each for each in waiting if _falls(each.planned, on)
                                             == week], week_milli))
    rows.append(_week(LATER, [each for each in waiting
                              if each.planned and _falls(each.planned, on) not in weeks], 0))
    rows.append(_week(NO_DAY, [each for each in waiting if each.planned is None], 0))
    return Report(
        name="backlog", question="How much accepted work is waiting?",
        answer=tuple(_backlog_words(waiting, week_milli, rows)),
        columns=(ReportColumn("week", "Week from"),
                 ReportColumn("jobs", "Jobs", "count", total=True),
                 ReportColumn("left_hours", "Hours to work", "hours", total=True),
                 ReportColumn("crew_hours", "Crews' usual week", "hours"),
                 ReportColumn("load_share", "Of that", "share")),
        rows=tuple(rows), currency=currency, jobs=len(waiting),
        chart=Chart("bars", "week", ("left_hours", "crew_hours")) if waiting else None,
        cautions=(f"A usual week is the mean of the last {LAST_WEEKS} whole weeks with all their "
                  "hours but the office's. A job stands in the week it is planned to begin, with "
                  "all hours left.",))


def _falls(day: date | None, on: date) -> date | None:
    return None if day is None else week_of(max(day, on))


def _week(name: str, waiting: Sequence[Waiting], week_milli: int) -> tuple[Cell, ...]:
    hours = sum(each.left_milli for each in waiting)
    return (name, len(waiting), Decimal(hours) / 1000,
            Decimal(week_milli) / 1000 if week_milli else None,
            hours / week_milli if week_milli else None)


def _backlog_words(waiting: Sequence[Waiting], week_milli: int, rows: Sequence[tuple[Cell, ...]]
                   ) -> Iterator[str]:
    if not waiting:
        yield "No accepted job waits to be done."
        return
    hours = sum(each.left_milli for each in waiting)
    told = f"{count(len(waiting), 'accepted job')} wait with {hours / 1000:,.1f} h"
    if not week_milli:
        yield f"{told}; no hours were worked lately to hold that against."
        return
    yield (f"{told}: {hours / week_milli:.1f} weeks of what the crews work in a usual week, "
           f"{week_milli / 1000:,.1f} h.")
    full = [str(row[0]) for row in rows if isinstance(row[4], float) and row[4] > 1]
    if full:
        yield f"More is planned than that in the week{'s' if len(full) > 1 else ''} from " + (
            ", ".join(full)) + "."
    none = sum(each.planned is None for each in waiting)
    if none:
        yield f"{count(none, 'job')} {'has' if none == 1 else 'have'} no day yet."


def cash(owed: Sequence[Owed], due: Sequence[Due], deposit: Decimal, on: date, currency: str
         ) -> Report:
    """Return the report on what comes in and goes out by week.

    A deposit is asked for when a job is accepted, so one that is not paid is due now; the rest when
    the job is commissioned. What has no day is in no week.

    Args:
        owed: accepted jobs that are not paid in full.
        due: bills.
        deposit: share of the price.
        on: the day it is looked at from.
        currency: of all amounts.
    """
    first = week_of(on)
    weeks = [first + timedelta(weeks=at) for at in range(WEEKS)]
    comes = dict.fromkeys(weeks, 0)
    undated = 0
    for each in owed:
        now, later = _parts(each, deposit)
        comes[first] += now
        week = _falls(each.done_on, on)
        if week is None:
            undated += later
        elif week in comes:
            comes[week] += later
    goes = dict.fromkeys(weeks, 0)
    for bill in due:
        if bill.on >= on and week_of(bill.on) in goes:
            goes[week_of(bill.on)] += bill.minor
    rows: list[tuple[Cell, ...]] = []
    reached = lowest = 0
    for week in weeks:
        reached += comes[week] - goes[week]
        lowest = min(lowest, reached)
        rows.append((week.isoformat(), comes[week], goes[week], comes[week] - goes[week], reached))
    return Report(
        name="cash", question="What cash comes in and goes out?",
        answer=_cash_words(comes, goes, reached, lowest, undated, currency),
        columns=(ReportColumn("week", "Week from"),
                 ReportColumn("comes_minor", "Owed by customers", "money", total=True),
                 ReportColumn("goes_minor", "Bills due", "money", total=True),
                 ReportColumn("net_minor", "Between", "money", total=True),
                 ReportColumn("reached_minor", "Since the first week", "money")),
        rows=tuple(rows), currency=currency, jobs=len(owed),
        chart=Chart("line", "week", ("reached_minor",)),
        cautions=(
            "Prices are before tax, bills with it. A bill that was due before the day is taken to "
            "be paid. Wages, the office, tax and goods that are not billed yet are in no week.",
            "Customers pay late, and days move: it is what should come, not what will."))


def _parts(owed: Owed, deposit: Decimal) -> tuple[int, int]:
    """Return what is due now, the part of the deposit that was not paid, and what is due later."""
    asked = int(Fraction(owed.net_minor) * Fraction(deposit))  # a deposit is rounded down
    now = max(0, asked - max(0, owed.paid_minor))
    return now, owed.net_minor - owed.paid_minor - now


def _cash_words(comes: dict[date, int], goes: dict[date, int], reached: int, lowest: int,
                undated: int, currency: str) -> tuple[str, ...]:
    said = [f"In {WEEKS} weeks customers owe {amount(sum(comes.values()), currency)} and bills of "
            f"{amount(sum(goes.values()), currency)} fall due: {amount(reached, currency)} between "
            "them."]
    if lowest < 0:
        said.append(f"On the way it falls {amount(-lowest, currency)} below where it began.")
    if undated:
        said.append(f"{amount(undated, currency)} more are owed on jobs that have no day yet.")
    return tuple(said)
