"""What a finished job was reckoned at and what it came to, from the database."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection, Row, func, select

from catalogue.job_costs import job_costs
from catalogue.money import Money
from catalogue.tables import PLAN_LINE, TIME_LINE, VARIATION, VARIATION_EVENT
from estimator.learning.alike import Facts, Like
from estimator.learning.like_jobs import LikeJob

_MINUTES_PER_HOUR = 60


def like_job(work: Connection, like: Like, row: Row[Any], facts: Facts) -> LikeJob:
    """Return a finished job with its outcome.

    Args:
        row: its closed revision: `revision`, `at`, `title`, `net_minor`, `currency`, `hours`.
    """
    minutes = _minutes(work, like.job)
    variations, variation_cost = _variations(work, like.job)

    def money(minor: int) -> Money:
        return Money(minor, row.currency)

    return LikeJob(
        like=like, title=row.title, closed=row.at.date(), facts=facts, net=money(row.net_minor),
        hours=float(row.hours), actual_hours=sum(minutes.values()) / _MINUTES_PER_HOUR,
        rework_hours=minutes.get("rework", 0) / _MINUTES_PER_HOUR,
        waiting_hours=minutes.get("waiting", 0) / _MINUTES_PER_HOUR,
        cost=money(_reckoned(work, like.job, row.revision)), actual=money(_spent(work, like.job)),
        variations=variations, variation_cost=money(variation_cost))


def _minutes(work: Connection, job: str) -> dict[str, int]:
    line = TIME_LINE.c
    return {group: int(minutes) for group, minutes in work.execute(
        select(line.task_group, func.sum(line.minutes)).where(line.job_id == job)
        .group_by(line.task_group))}


def _reckoned(work: Connection, job: str, number: int) -> int:
    """Return what the lines of the plan come to without provisions for what may happen."""
    line = PLAN_LINE.c
    return int(work.scalar(select(func.sum(line.amount_minor)).where(
        line.job_id == job, line.number == number, line.kind != "provision")) or 0)


def _spent(work: Connection, job: str) -> int:
    costs = job_costs().subquery()
    return int(work.scalar(
        select(func.sum(costs.c.amount_minor)).where(costs.c.job_id == job)) or 0)


def _variations(work: Connection, job: str) -> tuple[int, int]:
    """Return how many variations were agreed, and what they cost."""
    what, event = VARIATION.c, VARIATION_EVENT.c
    agreed = select(event.number).where(event.job_id == job, event.event == "agreed")
    number, cost = work.execute(
        select(func.count(), func.sum(what.cost_minor))
        .where(what.job_id == job, what.number.in_(agreed))).one()
    return int(number), int(cost or 0)
