"""The finished jobs most like a new one, and how its prices stand among the last quotes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import Connection, Row, Select, and_, func, select

from catalogue.money import Money
from catalogue.tables import ITEM, JOB, JOB_EVENT, PLAN_LINE, QUOTED, REVISION
from estimator.learning.alike import Fact, Facts, nearest
from estimator.learning.like_jobs import LikeJobs
from estimator.outcome.plan import QuotedJob
from estimator.papers.contract import EstimateJson
from estimator.papers.planned import quoted_job
from estimator.workflow.database import at_work
from estimator.workflow.firm import database_of
from estimator.workflow.job_named import estimate_named
from estimator.workflow.last_prices import standings
from estimator.workflow.like_outcomes import like_job

_CABLE, _METRE, _TRAVEL = "cable", "m", "travel"
_ABOUT = ("kind_of_job", "covering", "wall", "storeys", "panels", "modules", "area")


@dataclass(frozen=True)
class LikeRequest:
    """Which job: a survey's file, estimated at the prices of a day, or the id of a quoted one."""

    named: str
    on: date
    database: str | None = None


def like_jobs(request: LikeRequest) -> LikeJobs:
    """Return the finished jobs most like a job; nothing is kept or written.

    Raises:
        ProblemsFound: as `estimate_named`.
    """
    kept, files, is_kept = estimate_named(request.named, request.on, request.database)
    about, facts = quoted_job(kept), facts_of(kept)
    with at_work(database_of(request.database, files)) as work:
        rows = {row.job_id: row for row in work.execute(_finished(kept))}
        others = _facts(work, rows, kept)
        found = nearest(facts, others)
        like = tuple(like_job(work, each, rows[each.job], others[each.job]) for each in found)
        prices = standings(work, kept, about)
    return LikeJobs(
        job=kept.job.id, title=kept.job.title, revision=kept.revision if is_kept else None,
        facts=facts, net=Money(kept.price.net, kept.currency), hours=float(kept.hours.mean),
        cost=Money(kept.cost.total - kept.cost.contingency - kept.cost.warranty, kept.currency),
        finished=len(rows), nearest=like, standings=prices)


def facts_of(kept: EstimateJson) -> Facts:
    """Return the facts of an estimate by which jobs are held side by side."""
    cable = sum((line.buy + line.allowance for line in kept.lines
                 if line.head == _CABLE and line.unit == _METRE and not line.option), Decimal(0))
    travel = sum((each.hours for each in kept.hours.by_group if each.group == _TRAVEL), Decimal(0))
    return _as_facts(quoted_job(kept), cable, travel)


def _as_facts(about: QuotedJob | Row[Any], cable: Decimal, travel: Decimal) -> Facts:
    facts: dict[str, Fact] = {name: getattr(about, name) for name in _ABOUT}
    return facts | {"cable_m": float(cable), "travel_hours": float(travel)}


def _finished(kept: EstimateJson) -> Select[Any]:
    """Return the query for the other jobs that are closed, in the currency of this one."""
    newest, event = select(func.max(JOB_EVENT.c.id)).group_by(JOB_EVENT.c.job_id), JOB_EVENT.c
    return (
        select(event.job_id, event.revision, event.at, JOB.c.title, REVISION.c.net_minor,
               REVISION.c.currency, QUOTED.c.hours, *(QUOTED.c[name] for name in _ABOUT))
        .join(JOB, JOB.c.id == event.job_id)
        .join(REVISION, and_(REVISION.c.job_id == event.job_id,
                             REVISION.c.number == event.revision))
        .join(QUOTED, and_(QUOTED.c.job_id == event.job_id, QUOTED.c.number == event.revision))
        .where(event.id.in_(newest), event.event == "closed", event.job_id != kept.job.id,
               REVISION.c.currency == kept.currency))


def _facts(
    work: Connection, rows: Mapping[str, Row[Any]], kept: EstimateJson
) -> dict[str, Facts]:
    """Return the facts of the finished jobs; metres of cable and travel from what was planned."""
    which, line = _finished(kept).subquery(), PLAN_LINE.c
    same = and_(which.c.job_id == line.job_id, which.c.revision == line.number)
    cable = _sums(work.execute(
        select(line.job_id, func.sum(line.quantity)).join(which, same)
        .join(ITEM, ITEM.c.code == line.code)
        .where(line.kind == "goods", line.head == _CABLE, ITEM.c.unit == _METRE)
        .group_by(line.job_id)))
    travel = _sums(work.execute(
        select(line.job_id, func.sum(line.quantity)).join(which, same)
        .where(line.kind == "labour", line.task_group == _TRAVEL).group_by(line.job_id)))
    nothing = Decimal(0)
    return {job: _as_facts(row, cable.get(job, nothing), travel.get(job, nothing))
            for job, row in rows.items()}


def _sums(rows: Iterable[Any]) -> dict[str, Decimal]:
    return {job: Decimal(quantity) for job, quantity in rows}
