"""Quotes that went out: what became of those of a period, and which are still open.

A quote is judged by the revision that was accepted first or declined; one that is open by its
newest. It belongs to the day on which it was first sent.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import BigInteger, Connection, Select, Subquery, Text, case, cast, func, select
from sqlalchemy import type_coerce as as_stored

from catalogue.tables import JOB, JOB_DAY, QUOTED, REVISION
from estimator.review.open_quotes import Out
from estimator.review.win_rate import BAND, HIGHEST, Band
from estimator.workflow.review_jobs import FILTERS, Wanted, newest_events, whole
from estimator.workflow.review_sums import first_accepted

_OF_QUOTES = {name: column for name, column in FILTERS.items() if name != "crew"}


def _first_sent() -> Subquery:
    day = JOB_DAY.c
    return (select(day.job_id, func.min(cast(day.on_date, Text)).label("on_date"))
            .where(day.what == "sent").group_by(day.job_id).subquery("first_sent"))


def _last(what: str, on: date, name: str) -> Subquery:
    """Return the last day, up to one, on which something happened to each job."""
    day = JOB_DAY.c
    return (select(day.job_id, func.max(cast(day.on_date, Text)).label("on_date"))
            .where(day.what == what, day.on_date <= on).group_by(day.job_id).subquery(name))


def _judged(wanted: Wanted) -> Select[Any]:
    """Return the query for every quoted job: how it stands, and the revision it is judged by."""
    event, first, about, sold = newest_events().c, first_accepted().c, QUOTED.c, REVISION.c
    newest = (select(about.job_id, func.max(about.number).label("number"))
              .group_by(about.job_id).subquery()).c
    number = func.coalesce(
        first.revision, case((event.event == "declined", event.revision), else_=None),
        newest.number)
    rows = (
        select(newest.job_id, func.coalesce(event.event, "open").label("event"),
               number.label("number"))
        .outerjoin(event.job_id.table, event.job_id == newest.job_id)
        .outerjoin(first.job_id.table, first.job_id == newest.job_id).subquery()).c
    chosen = (
        select(rows.job_id, rows.event, as_stored(sold.net_minor, BigInteger).label("net_minor"),
               as_stored(about.cost_minor, BigInteger).label("cost_minor"),
               cast(about.valid_until, Text).label("valid_until"))
        .join(QUOTED, (about.job_id == rows.job_id) & (about.number == rows.number))
        .join(REVISION, (sold.job_id == rows.job_id) & (sold.number == rows.number))
        .where(sold.currency == wanted.currency))
    names = {"kind": "kind_of_job"}
    for name, values in wanted.filters.items():
        if name in _OF_QUOTES:
            column = about[names.get(name, _OF_QUOTES[name])]
            chosen = chosen.where(column.in_(list(values)))
    return chosen


def bands(work: Connection, wanted: Wanted, on: date) -> list[Band]:
    """Return what became of the quotes that were first sent in the period, by margin."""
    quote, sent = _judged(wanted).subquery(), _first_sent()
    row = quote.c
    points = 100 // BAND
    exact = points * (row.net_minor - row.cost_minor) // case(
        (row.net_minor > 0, row.net_minor), else_=1)
    band = case((row.net_minor <= row.cost_minor, case(
        (row.net_minor == row.cost_minor, 0), else_=-1)), (exact > HIGHEST, HIGHEST), else_=exact)
    won = row.event.in_(("accepted", "closed"))
    lost = row.event == "declined"
    held = row.valid_until >= on.isoformat()
    kinds = [case((each, 1), else_=0) for each in (
        won, lost, ~won & ~lost & ~held, ~won & ~lost & held)]
    rows = (
        select(band.label("band"), *(kind.label(f"kind_{at}") for at, kind in enumerate(kinds)),
               row.net_minor, case((won, row.net_minor), else_=0).label("won_minor"))
        .join(sent, sent.c.job_id == row.job_id)
        .where(sent.c.on_date >= wanted.first.isoformat(),
               sent.c.on_date <= wanted.last.isoformat()).subquery()).c
    found = work.execute(
        select(rows.band, *(whole(rows[f"kind_{at}"]) for at in range(4)), whole(rows.net_minor),
               whole(rows.won_minor)).group_by(rows.band).order_by(rows.band))
    return [Band(each[0], each[1], each[2], each[3], each[4], each[5], each[6]) for each in found]


def quotes_out(work: Connection, wanted: Wanted, on: date, usual: Decimal) -> list[Out]:
    """Return the open quotes that had been sent by a day, by job.

    Args:
        work: a unit of work that reads.
        wanted: its period does not matter: a quote that is out is out.
        on: the day; what was said after it is not known yet.
        usual: chance of one of which nobody has said how likely it is.
    """
    quote = _judged(wanted).subquery()
    sent, spoken = _last("sent", on, "last_sent"), _last("contacted", on, "last_contact")
    row = quote.c
    found = work.execute(
        select(row.job_id, JOB.c.title, row.net_minor, sent.c.on_date, row.valid_until,
               spoken.c.on_date, _newest_chance(on))
        .join(JOB, JOB.c.id == row.job_id)
        .join(sent, sent.c.job_id == row.job_id)
        .outerjoin(spoken, spoken.c.job_id == row.job_id)
        .where(row.event.in_(("open", "reopened")))
        .order_by(row.job_id))
    return [
        Out(job, title, net, date.fromisoformat(went), date.fromisoformat(until),
            date.fromisoformat(talked) if talked else None,
            usual if chance is None else Decimal(chance) / 100)
        for job, title, net, went, until, talked, chance in found]


def _newest_chance(on: date) -> Any:
    day = JOB_DAY.alias("said")
    return (select(day.c.chance_percent)
            .where(day.c.job_id == JOB.c.id, day.c.chance_percent.is_not(None),
                   day.c.on_date <= on)
            .order_by(day.c.id.desc()).limit(1).scalar_subquery())
