"""Sums over the finished jobs that were laid out: by cost head, by task group, the dearest ones.

Every query is a GROUP BY over `review_jobs`; nothing is summed in a loop over jobs.
"""

from __future__ import annotations

from typing import Any

from sqlalchemy import BigInteger, Connection, Subquery, case, distinct, func, select
from sqlalchemy import type_coerce as as_stored

from catalogue.job_costs import LABOUR
from catalogue.tables import (
    JOB_EVENT,
    QUOTED,
    REVISION,
    TIME_LINE,
    VARIATION,
    VARIATION_EVENT,
)
from estimator.review.concentration import Share
from estimator.review.norms import Timed
from estimator.review.omissions import Omission
from estimator.review.stories import OneJob
from estimator.review.waterfall import Head, Quoted
from estimator.workflow.review_jobs import (
    SCOPE,
    SUMMED,
    costs_in_scope,
    gap,
    milli_of_minutes,
    plans_in_scope,
    whole,
)


def first_accepted() -> Subquery:
    """Return for each job the revision that was accepted first."""
    event = JOB_EVENT.c
    first = (select(func.min(event.id).label("id")).where(event.event == "accepted")
             .group_by(event.job_id).subquery())
    return select(event.job_id, event.revision).join(
        first, first.c.id == event.id).subquery("first_accepted")


def quoted_sums(work: Connection) -> Quoted:
    """Return the jobs as first accepted, and as they stand."""
    first, about, sold = first_accepted(), QUOTED.c, REVISION.c
    row = work.execute(
        select(func.count(), whole(as_stored(sold.net_minor, BigInteger)),
               whole(as_stored(about.cost_minor, BigInteger)), whole(SCOPE.c.net_minor),
               whole(SCOPE.c.standard_minor), whole(SUMMED.c.held_minor))
        .select_from(SCOPE).join(SUMMED, SUMMED.c.job_id == SCOPE.c.job_id)
        .join(first, first.c.job_id == SCOPE.c.job_id)
        .join(QUOTED, (about.job_id == first.c.job_id) & (about.number == first.c.revision))
        .join(REVISION, (sold.job_id == first.c.job_id) & (sold.number == first.c.revision))).one()
    return Quoted(*row)


def planned_by_head(work: Connection) -> dict[Head, int]:
    """Return what the standards of the jobs reckoned with, by head."""
    plan = plans_in_scope().c
    return _by_head(work, plan, as_stored(plan.amount_minor, BigInteger))


def actual_by_head(work: Connection) -> dict[Head, int]:
    """Return what the jobs cost, by head."""
    cost = costs_in_scope(work).c
    return _by_head(work, cost, cost.amount_minor)


def _by_head(work: Connection, row: Any, minor: Any) -> dict[Head, int]:
    group = case((row.kind == LABOUR, row.task_group), else_="")
    keys = (row.kind, row.head, group)
    found = work.execute(select(*keys, whole(minor)).group_by(*keys).order_by(*keys))
    return {Head(kind, head, task_group): total for kind, head, task_group, total in found}


def timed(work: Connection) -> list[Timed]:
    """Return hours reckoned and worked by task group, of jobs that have both."""
    plan, cost = plans_in_scope().c, costs_in_scope(work).c
    planned = (
        select(plan.job_id, plan.task_group,
               whole(as_stored(plan.quantity, BigInteger)).label("planned"))
        .where(plan.kind == LABOUR, plan.task_group != "waiting")
        .group_by(plan.job_id, plan.task_group).subquery())
    worked = (
        select(cost.job_id, cost.task_group, milli_of_minutes(whole(cost.quantity)).label("worked"))
        .where(cost.kind == LABOUR).group_by(cost.job_id, cost.task_group).subquery())
    both = (
        select(planned.c.task_group, SCOPE.c.covering, SCOPE.c.wall, SCOPE.c.crew,
               planned.c.planned, worked.c.worked,
               gap(worked.c.worked, planned.c.planned).label("gap"))
        .join(worked, (worked.c.job_id == planned.c.job_id)
              & (worked.c.task_group == planned.c.task_group))
        .join(SCOPE, SCOPE.c.job_id == planned.c.job_id)
        .where(planned.c.planned > 0, worked.c.worked > 0).subquery()).c
    keys = (both.task_group, both.covering, both.wall, both.crew)
    found = work.execute(
        select(*keys, func.count(), whole(both.planned), whole(both.worked), whole(both.gap),
               whole(both.gap * both.gap))
        .group_by(*keys).order_by(*keys))
    return [Timed(*row) for row in found]


def dearest(work: Connection, most: int) -> list[OneJob]:
    """Return the finished jobs that cost most above their standard, the worst first."""
    over = SUMMED.c.actual_minor - SCOPE.c.standard_minor
    about = SCOPE.c
    found = work.execute(
        select(about.job_id, about.kind, about.covering, about.wall, about.crew, about.net_minor,
               about.standard_minor, SUMMED.c.actual_minor)
        .join(SUMMED, SUMMED.c.job_id == about.job_id)
        .order_by(over.desc(), about.job_id).limit(most))
    return [OneJob(*row) for row in found]


def over_in_all(work: Connection) -> tuple[int, int, int]:
    """Return how many jobs there are, what they cost above their standard, and the median of it.

    Of an even number of jobs the median is the lower of the two in the middle.
    """
    over = (SUMMED.c.actual_minor - SCOPE.c.standard_minor).label("over")
    both = select(over).join(SUMMED, SUMMED.c.job_id == SCOPE.c.job_id).subquery()
    jobs, total = work.execute(select(func.count(), whole(both.c.over))).one()
    if not jobs:
        return 0, 0, 0
    middle = work.execute(
        select(both.c.over).order_by(both.c.over).offset((jobs - 1) // 2).limit(1)).scalar_one()
    return jobs, total, int(middle)


def variations(work: Connection) -> list[Omission]:
    """Return the variations that were agreed on the jobs, by reason."""
    row, said = VARIATION.c, VARIATION_EVENT.c
    newest = (select(func.max(said.id).label("id"))
              .group_by(said.job_id, said.number).subquery())
    agreed = (select(said.job_id, said.number).join(newest, newest.c.id == said.id)
              .where(said.event == "agreed").subquery())
    found = work.execute(
        select(row.reason, func.count(), func.count(distinct(row.job_id)),
               whole(as_stored(row.cost_minor, BigInteger)),
               whole(as_stored(row.price_minor, BigInteger)))
        .join(agreed, (agreed.c.job_id == row.job_id) & (agreed.c.number == row.number))
        .join(SCOPE, SCOPE.c.job_id == row.job_id)
        .group_by(row.reason).order_by(row.reason))
    return [Omission("variation", *each) for each in found]


def lost_hours(work: Connection) -> list[Omission]:
    """Return what rework and waiting cost on the jobs, with the office's share, by cause."""
    line = TIME_LINE.c
    minor = (as_stored(line.amount_minor, BigInteger) + as_stored(line.overhead_minor, BigInteger))
    found = work.execute(
        select(line.task_group, line.cause, func.sum(case((line.minutes > 0, 1), else_=-1)),
               func.count(distinct(line.job_id)), whole(minor))
        .join(SCOPE, SCOPE.c.job_id == line.job_id)
        .where(line.task_group.in_(("rework", "waiting")))
        .group_by(line.task_group, line.cause).order_by(line.task_group, line.cause))
    return [Omission(group, cause, int(times), jobs, cost)
            for group, cause, times, jobs, cost in found if times or cost]


def shares(work: Connection) -> list[Share]:
    """Return what each lead source, area and item has of the jobs."""
    told: list[Share] = []
    for of, column in (("source", SCOPE.c.lead_source), ("area", SCOPE.c.area)):
        rows = work.execute(select(column, func.count(), whole(SCOPE.c.net_minor))
                            .group_by(column).order_by(column))
        told.extend(Share(of, *row) for row in rows)
    cost = costs_in_scope(work).c
    rows = work.execute(
        select(cost.code, func.count(distinct(cost.job_id)), whole(cost.amount_minor))
        .where(cost.kind == "goods", cost.code != "").group_by(cost.code).order_by(cost.code))
    told.extend(Share("item", *row) for row in rows)
    return told
