"""What lies ahead on a day: accepted work, what customers owe, bills; and what takes long to say.

Papers of the close-out and drifted quotes need the kept estimate of every job, so they are told
only when they are asked for by name.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from fractions import Fraction
from typing import Any

from sqlalchemy import BigInteger, Connection, Text, case, cast, func, select
from sqlalchemy import type_coerce as as_stored

from catalogue.tables import CUSTOMER_PAYMENT, INVOICE, QUOTED, REVISION, TIME_LINE
from estimator.review.backlog import LAST_WEEKS, Due, Owed, Waiting, week_of
from estimator.review.drifting import Moved
from estimator.review.late_papers import Paper
from estimator.workflow.review_jobs import (
    Wanted,
    milli_of_minutes,
    newest_days,
    newest_events,
    whole,
)

Tell = Callable[[int, int], None]


def waiting(work: Connection, wanted: Wanted) -> list[Waiting]:
    """Return accepted jobs that are not commissioned, with the hours left, by job."""
    event, about, line = newest_events().c, QUOTED.c, TIME_LINE.c
    planned, done = newest_days("planned").c, newest_days("commissioned").c
    worked = (select(line.job_id, whole(line.minutes).label("minutes"))
              .group_by(line.job_id).subquery()).c
    left = as_stored(about.hours, BigInteger) - milli_of_minutes(func.coalesce(worked.minutes, 0))
    found = work.execute(
        select(event.job_id, case((left > 0, left), else_=0), planned.on_date)
        .join(QUOTED, (about.job_id == event.job_id) & (about.number == event.revision))
        .outerjoin(worked.job_id.table, worked.job_id == event.job_id)
        .outerjoin(planned.job_id.table, planned.job_id == event.job_id)
        .outerjoin(done.job_id.table, done.job_id == event.job_id)
        .where(event.event == "accepted", done.job_id.is_(None), *_narrowed(wanted))
        .order_by(event.job_id))
    return [Waiting(job, hours, _day(day)) for job, hours, day in found]


def _narrowed(wanted: Wanted) -> list[Any]:
    """Return the filters that a job has before it is done; its crew may still change."""
    columns = {"kind": QUOTED.c.kind_of_job, "covering": QUOTED.c.covering, "wall": QUOTED.c.wall,
               "estimator": QUOTED.c.estimator, "area": QUOTED.c.area,
               "source": QUOTED.c.lead_source}
    return [columns[name].in_(list(values)) for name, values in wanted.filters.items()
            if name in columns]


def _day(text: str | None) -> date | None:
    return None if text is None else date.fromisoformat(text)


def usual_week(work: Connection, on: date) -> int:
    """Return how many thousandths of hours were worked in a usual week before the day's own."""
    line, end = TIME_LINE.c, week_of(on)
    minutes = work.execute(
        select(whole(line.minutes))
        .where(line.task_group != "office",
               cast(line.on_date, Text) >= (end - timedelta(weeks=LAST_WEEKS)).isoformat(),
               cast(line.on_date, Text) < end.isoformat())).scalar_one()
    return int(minutes * 50 // (3 * LAST_WEEKS))


def owed(work: Connection, wanted: Wanted) -> list[Owed]:
    """Return the accepted and closed jobs that are not paid in full, by job."""
    event, sold, paid = newest_events().c, REVISION.c, CUSTOMER_PAYMENT.c
    planned, done = newest_days("planned").c, newest_days("commissioned").c
    so_far = (select(paid.job_id, whole(as_stored(paid.amount_minor, BigInteger)).label("minor"))
              .group_by(paid.job_id).subquery()).c
    got = func.coalesce(so_far.minor, 0)
    price = as_stored(sold.net_minor, BigInteger)
    found = work.execute(
        select(event.job_id, price, got, func.coalesce(done.on_date, planned.on_date))
        .join(REVISION, (sold.job_id == event.job_id) & (sold.number == event.revision))
        .outerjoin(so_far.job_id.table, so_far.job_id == event.job_id)
        .outerjoin(planned.job_id.table, planned.job_id == event.job_id)
        .outerjoin(done.job_id.table, done.job_id == event.job_id)
        .where(event.event.in_(("accepted", "closed")), sold.currency == wanted.currency,
               price > got)
        .order_by(event.job_id))
    return [Owed(job, net, so, _day(day)) for job, net, so, day in found]


def bills(work: Connection, wanted: Wanted, on: date) -> list[Due]:
    """Return what is due from the day on, by day; a bill without a last day is due on its own."""
    bill = INVOICE.c
    day = cast(func.coalesce(bill.due_on, bill.on_date), Text)
    minor = as_stored(bill.net_minor, BigInteger) + as_stored(bill.tax_minor, BigInteger)
    found = work.execute(
        select(day, whole(minor)).where(bill.currency == wanted.currency, day >= on.isoformat())
        .group_by(day).order_by(day))
    return [Due(date.fromisoformat(each), total) for each, total in found]


def papers(database: str | None, on: date) -> tuple[list[Paper], int]:
    """Return the papers that still run with a last day, and how many jobs were looked at."""
    from estimator.workflow.closeout_show import running_clocks

    found = running_clocks(database, on, lambda done, of: None)
    return [
        Paper(job.job, job.title, job.commissioned, clock.name, clock.last, clock.why_not)
        for job in found for clock in job.clocks
        if clock.stopped is None and clock.last is not None], len(found)


def moved(database: str | None, on: date) -> tuple[list[Moved], int, Fraction, Fraction]:
    """Return open quotes run again, how many could not be, least margin and usual chance."""
    from estimator.workflow.drift import DriftRequest, drift

    found = drift(DriftRequest(on=on, database=database), lambda done, of: None)
    quotes = [
        Moved(each.quote.job, each.quote.net.minor, each.quote.cost.full.minor,
              each.cost.full.minor, each.margin_then, each.margin_now, each.binds)
        for each in found.quotes]
    return (quotes, len(found.not_run), Fraction(found.margin_minimum),
            Fraction(found.accept_rate))
