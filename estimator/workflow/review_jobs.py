"""Which finished jobs a review is about, each with its sums, laid out by the database itself.

Two tables that only this connection sees, and that end with it, hold one row a job; every report of
finished jobs is a sum over them, so what a job cost is added up once. Nothing is written to the
firm's own tables.

A job is finished when it is closed. It belongs to the day on which it was commissioned; without
one, to the day on which it was closed. Its standard is the accepted revision, with the variations
agreed. Its actual cost is the sum of `catalogue.job_costs`, and what is still held of its provision
for returns under warranty after the return visits that were paid from it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from sqlalchemy import (
    BigInteger,
    Column,
    Connection,
    Integer,
    MetaData,
    Select,
    Subquery,
    Table,
    Text,
    case,
    cast,
    func,
    insert,
    select,
    union_all,
)
from sqlalchemy import type_coerce as as_stored

from catalogue.job_costs import LABOUR, costs_to_sum, job_costs
from catalogue.tables import JOB, JOB_DAY, JOB_EVENT, PLAN_LINE, QUOTED, REVISION
from estimator.outcome.plan import WARRANTY_HEAD
from estimator.review.cells import MILLIONTHS, JobsAlike

# Filter -> column of `SCOPE`.
FILTERS = {"kind": "kind", "covering": "covering", "wall": "wall", "crew": "crew",
           "estimator": "estimator", "area": "area", "source": "lead_source"}

_OWN = MetaData()
_ABOUT = ("kind", "covering", "wall", "crew", "estimator", "area", "lead_source")
# The jobs that are meant, before anything is added up.
SCOPE = Table(
    "review_scope", _OWN,
    Column("job_id", Text, primary_key=True),
    Column("revision", Integer, nullable=False),
    Column("on_date", Text, nullable=False),
    *(Column(name, Text, nullable=False) for name in _ABOUT),
    Column("net_minor", BigInteger, nullable=False),
    Column("standard_minor", BigInteger, nullable=False),
    Column("planned_milli", BigInteger, nullable=False),
    prefixes=["TEMPORARY"],
)
# What each came to; `held_minor` is in `actual_minor`.
SUMMED = Table(
    "review_job", _OWN,
    Column("job_id", Text, primary_key=True),
    Column("actual_minor", BigInteger, nullable=False),
    Column("held_minor", BigInteger, nullable=False),
    Column("worked_milli", BigInteger, nullable=False),
    prefixes=["TEMPORARY"],
)
_MANY = 5  # a scope of more than a fifth of all jobs is many
_MILLI_PER_MINUTE = (50, 3)  # 1000 / 60


@dataclass(frozen=True)
class Wanted:
    """What is asked for.

    Attributes:
        first, last: days, both included.
        currency: of the firm; jobs that were sold in another are left out.
        filters: name of `FILTERS` -> the values of which a job has one.
    """

    first: date
    last: date
    currency: str
    filters: Mapping[str, Sequence[str]] = field(default_factory=dict)


def gather(work: Connection, wanted: Wanted) -> None:
    """Lay out the finished jobs of a period, each with its sums, anew for this connection."""
    _OWN.drop_all(work)
    _OWN.create_all(work)
    _fill(work, SCOPE, in_scope(wanted))
    _fill(work, SUMMED, _sums())


def _fill(work: Connection, table: Table, rows: Select[Any]) -> None:
    work.execute(insert(table).from_select([column.name for column in table.columns], rows))


def newest_events() -> Subquery:
    """Return the newest row of every job's `JOB_EVENT`."""
    event = JOB_EVENT.c
    newest = select(func.max(event.id).label("id")).group_by(event.job_id).subquery()
    return select(event.job_id, event.revision, event.event, event.at).join(
        newest, newest.c.id == event.id).subquery("newest_event")


def newest_days(what: str) -> Subquery:
    """Return for each job the newest day of a kind."""
    day = JOB_DAY.c
    newest = (select(func.max(day.id).label("id")).where(day.what == what)
              .group_by(day.job_id).subquery())
    return select(day.job_id, cast(day.on_date, Text).label("on_date")).join(
        newest, newest.c.id == day.id).subquery(f"newest_{what}")


def _newest_days() -> Subquery:
    """Return for each job the rows that say when it was commissioned and who did it, in one go."""
    day = JOB_DAY.c
    named = day.what.in_(("planned", "begun", "commissioned")) & (day.crew != "")
    return (
        select(day.job_id, func.max(case((day.what == "commissioned", day.id))).label("done_id"),
               func.max(case((named, day.id))).label("crew_id"))
        .group_by(day.job_id).subquery("newest_day"))


def in_scope(wanted: Wanted) -> Select[Any]:
    """Return the query for the finished jobs of a period, with the columns of `SCOPE`."""
    event, newest = newest_events(), _newest_days()
    done, crew = JOB_DAY.alias("commissioned"), JOB_DAY.alias("named_crew")
    about, sold = QUOTED.c, REVISION.c
    day = func.coalesce(cast(done.c.on_date, Text), func.substr(cast(event.c.at, Text), 1, 10))
    rows = (
        select(event.c.job_id, event.c.revision, day.label("on_date"),
               about.kind_of_job.label("kind"), about.covering, about.wall,
               func.coalesce(crew.c.crew, "").label("crew"), about.estimator, about.area,
               about.lead_source, as_stored(sold.net_minor, BigInteger).label("net_minor"),
               as_stored(about.cost_minor, BigInteger).label("standard_minor"),
               as_stored(about.hours, BigInteger).label("planned_milli"))
        .join(QUOTED, (about.job_id == event.c.job_id) & (about.number == event.c.revision))
        .join(REVISION, (sold.job_id == event.c.job_id) & (sold.number == event.c.revision))
        .outerjoin(newest, newest.c.job_id == event.c.job_id)
        .outerjoin(done, done.c.id == newest.c.done_id)
        .outerjoin(crew, crew.c.id == newest.c.crew_id)
        .where(event.c.event == "closed", sold.currency == wanted.currency)
        .subquery())
    chosen = select(rows).where(
        rows.c.on_date >= wanted.first.isoformat(), rows.c.on_date <= wanted.last.isoformat())
    for name, values in wanted.filters.items():
        chosen = chosen.where(rows.c[FILTERS[name]].in_(list(values)))
    return chosen


def left_out(work: Connection, wanted: Wanted) -> tuple[int, int]:
    """Return how many jobs were commissioned in the period and are not closed, whatever they are.

    And how many of the firm's closed jobs were sold in another currency.
    """
    event, sold, day = newest_events().c, REVISION.c, JOB_DAY.c
    # Few jobs are not closed: the day of each is looked up, and not that of all jobs.
    done = (
        select(cast(day.on_date, Text))
        .where(day.job_id == event.job_id, day.what == "commissioned")
        .order_by(day.id.desc()).limit(1).scalar_subquery())
    still_open = case((event.event == "closed", None), else_=done)
    in_period = still_open.between(wanted.first.isoformat(), wanted.last.isoformat())
    abroad = (event.event == "closed") & (sold.currency != wanted.currency)
    waiting, foreign = work.execute(
        select(whole(case((in_period, 1), else_=0)), whole(case((abroad, 1), else_=0)))
        .select_from(event.job_id.table)
        .join(REVISION, (sold.job_id == event.job_id) & (sold.number == event.revision))).one()
    return waiting, foreign


def costs_in_scope(work: Connection) -> Subquery:
    """Return the cost rows of the jobs in `SCOPE`, with the columns of `job_costs`.

    Where they are few, their rows are looked up job by job; where they are many, that takes twice
    as long as going through all rows once, so the index is kept out of it.
    """
    few = _count(work, SCOPE) * _MANY < _count(work, JOB)
    parts = [part for part in job_costs().selects if isinstance(part, Select)]
    return union_all(*_in_scope(parts, by_index=few)).subquery("cost")


def _count(work: Connection, table: Table) -> int:
    return work.execute(select(func.count()).select_from(table)).scalar_one()


def _in_scope(parts: Iterable[Select[Any]], by_index: bool = True) -> list[Select[Any]]:
    meant = select(SCOPE.c.job_id)
    return [part.where((job if by_index else func.coalesce(job, "")).in_(meant))
            for part in parts for job in [part.selected_columns.job_id]]


def plans_in_scope() -> Subquery:
    """Return the plan lines of the standard of each job in `SCOPE`."""
    line = PLAN_LINE.c
    return (select(PLAN_LINE)
            .join(SCOPE, (SCOPE.c.job_id == line.job_id) & (SCOPE.c.revision == line.number))
            .subquery("plan"))


def whole(value: Any) -> Any:
    """Return a sum as a whole number on every engine."""
    return cast(func.coalesce(func.sum(value), 0), BigInteger)


def _sums() -> Select[Any]:
    sums, held = _costs_by_job(), _held()
    left = func.coalesce(held.c.minor, 0) - func.coalesce(sums.c.rework_minor, 0)
    kept = case((left > 0, left), else_=0)
    return (
        select(SCOPE.c.job_id, func.coalesce(sums.c.cost_minor, 0) + kept, kept,
               milli_of_minutes(func.coalesce(sums.c.minutes, 0)))
        .outerjoin(sums, sums.c.job_id == SCOPE.c.job_id)
        .outerjoin(held, held.c.job_id == SCOPE.c.job_id))


def _costs_by_job() -> Subquery:
    """Return what each job in `SCOPE` cost, with minutes and rework.

    Each table is added up by itself before they are put together: its rows come in the order of its
    index on the job, while a sum over all together would sort a million of them.
    """
    by_table = union_all(*(_part_by_job(part) for part in _in_scope(costs_to_sum()))).subquery().c
    return (
        select(by_table.job_id, *(whole(by_table[name]).label(name)
                                  for name in ("cost_minor", "minutes", "rework_minor")))
        .group_by(by_table.job_id).subquery())


def _part_by_job(part: Select[Any]) -> Select[Any]:
    cost = part.subquery().c
    worked = (cost.kind == LABOUR) & (cost.task_group != "waiting")
    rework = (cost.kind == LABOUR) & (cost.task_group == "rework")
    return (
        select(cost.job_id, whole(cost.amount_minor).label("cost_minor"),
               whole(case((worked, cost.quantity), else_=0)).label("minutes"),
               whole(case((rework, cost.amount_minor), else_=0)).label("rework_minor"))
        .group_by(cost.job_id))


def _held() -> Subquery:
    """Return the provision for returns under warranty of each job in `SCOPE`."""
    plan = plans_in_scope().c
    return (select(plan.job_id, whole(as_stored(plan.amount_minor, BigInteger)).label("minor"))
            .where(plan.kind == "provision", plan.head == WARRANTY_HEAD)
            .group_by(plan.job_id).subquery("held"))


def alike(work: Connection) -> list[JobsAlike]:
    """Return the finished jobs that were gathered, by cells; in the order of what is told."""
    about, sums = SCOPE.c, SUMMED.c
    cost_gap = gap(sums.actual_minor, about.standard_minor)
    timed = (sums.worked_milli > 0) & (about.planned_milli > 0)
    hours_gap = case((timed, gap(sums.worked_milli, about.planned_milli)), else_=0)
    gaps = (
        select(about.kind, about.covering, about.wall, about.crew, about.estimator,
               about.net_minor, about.standard_minor, sums.actual_minor, about.planned_milli,
               sums.worked_milli,
               case((sums.actual_minor > about.net_minor, 1), else_=0).label("loss"),
               cost_gap.label("cost_gap"), case((timed, 1), else_=0).label("timed"),
               hours_gap.label("hours_gap"))
        .join(SUMMED, sums.job_id == about.job_id).subquery())
    row = gaps.c
    keys = (row.kind, row.covering, row.wall, row.crew, row.estimator)
    found = work.execute(
        select(*keys, func.count().label("jobs"), whole(row.net_minor), whole(row.standard_minor),
               whole(row.actual_minor), whole(row.planned_milli), whole(row.worked_milli),
               whole(row.loss), whole(row.cost_gap), whole(row.cost_gap * row.cost_gap),
               whole(row.timed), whole(row.hours_gap), whole(row.hours_gap * row.hours_gap))
        .group_by(*keys).order_by(*keys))
    return [JobsAlike(*each) for each in found]


def milli_of_minutes(minutes: Any) -> Any:
    """Return minutes as thousandths of an hour, rounded towards nothing."""
    top, bottom = _MILLI_PER_MINUTE
    return minutes * top // bottom


def gap(actual: Any, standard: Any) -> Any:
    """Return the gap in millionths; see `estimator.review.cells`."""
    both = actual + standard
    return case((both > 0, 2 * MILLIONTHS * (actual - standard) // both), else_=0)
