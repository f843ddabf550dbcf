"""The hours of finished jobs beside what the norms in force reckon for them, from the database.

A job was planned by the norms of its own revision. So that jobs of different years may stand beside
each other, the planned hours of a task are raised or lowered by what its norm's mean is now over
what it was then; where the norms of then were not kept, those that held on the day of the revision
are taken.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from typing import Any

from sqlalchemy import Connection, Row, Select, and_, func, select

from catalogue.tables import (
    JOB_EVENT,
    KEPT_TEXT,
    PLAN_LINE,
    QUOTED,
    REVISION,
    REVISION_BASIS,
    TIME_LINE,
)
from catalogue.toml_source import TomlSource
from estimator.labour.norms import Norm, read_norms
from estimator.learning.booked import JobBooked
from estimator.workflow.made_with import NORMS, kept_sources

_MINUTES_PER_HOUR = 60


@dataclass(frozen=True, slots=True)
class Period:
    """Days on which jobs were closed, both included; None is open."""

    first: date | None = None
    last: date | None = None


@dataclass(frozen=True)
class Booked:
    """Finished jobs with their hours.

    Attributes:
        closed: how many were closed in the period.
        first, last: days on which the first and the last of `jobs` was closed.
        jobs: those with planned and with booked hours.
    """

    closed: int
    first: date | None
    last: date | None
    jobs: tuple[JobBooked, ...]


def booked_jobs(
    work: Connection, period: Period, sources: Sequence[TomlSource], on: date
) -> Booked:
    """Return the jobs that were closed in a period and are closed still.

    Args:
        sources: the files of norms; the planned hours are by those that hold on the day.
    """
    finished = _finished(period)
    rows = {row.job_id: row for row in work.execute(finished)}
    which = finished.subquery()
    then = _Then(work, sources, on)
    planned, booked = _planned(work, which, rows, then), _booked(work, which)
    crews = _crews(work, which)
    jobs = tuple(
        JobBooked(job, crews.get(job, ""), row.covering or "", row.wall or "", planned[job],
                  booked[job])
        for job, row in sorted(rows.items()) if planned.get(job) and booked.get(job))
    days = [rows[each.job].at.date() for each in jobs]
    return Booked(len(rows), min(days, default=None), max(days, default=None), jobs)


def _finished(period: Period) -> Select[Any]:
    """Return the query for jobs that are closed: day, revision and what they were about."""
    newest = select(func.max(JOB_EVENT.c.id)).group_by(JOB_EVENT.c.job_id)
    event = JOB_EVENT.c
    query = (
        select(event.job_id, event.revision, event.at, QUOTED.c.covering, QUOTED.c.wall,
               REVISION.c.on_date, REVISION_BASIS.c.digest)
        .join(REVISION, and_(REVISION.c.job_id == event.job_id,
                             REVISION.c.number == event.revision))
        .outerjoin(QUOTED, and_(QUOTED.c.job_id == event.job_id,
                                QUOTED.c.number == event.revision))
        .outerjoin(REVISION_BASIS, and_(REVISION_BASIS.c.job_id == event.job_id,
                                        REVISION_BASIS.c.number == event.revision,
                                        REVISION_BASIS.c.kind == NORMS))
        .where(event.id.in_(newest), event.event == "closed"))
    if period.first is not None:
        query = query.where(event.at >= _begin(period.first))
    if period.last is not None:
        query = query.where(event.at < _begin(period.last + timedelta(days=1)))
    return query


def _begin(day: date) -> datetime:
    return datetime.combine(day, time(), UTC)


def _planned(
    work: Connection, which: Any, rows: Mapping[str, Row[Any]], then: _Then
) -> dict[str, dict[tuple[str, str], float]]:
    line = PLAN_LINE.c
    found: dict[str, dict[tuple[str, str], float]] = {}
    for each in work.execute(
            select(line.job_id, line.task_group, line.code, line.quantity)
            .join(which, and_(which.c.job_id == line.job_id, which.c.revision == line.number))
            .where(line.kind == "labour").order_by(line.job_id, line.line)):
        row, key = rows[each.job_id], (each.task_group, each.code)
        hours = float(each.quantity) * then.rise(row.digest, row.on_date, each.code)
        job = found.setdefault(each.job_id, {})
        job[key] = job.get(key, 0.0) + hours
    return found


class _Then:
    """The norms that revisions were made with; the same text is read once."""

    def __init__(self, work: Connection, sources: Sequence[TomlSource], on: date) -> None:
        self.work, self.sources = work, sources
        self.now = read_norms(sources, on)
        self.norms = lru_cache(maxsize=None)(self._norms)

    def rise(self, digest: str | None, on: date, norm: str) -> float:
        """Return the mean of a norm now over what it was; 1 for one that is no norm now or then."""
        now, was = self.now.get(norm), self.norms(digest, on).get(norm)
        before = _mean(was) if was is not None else 0.0
        return _mean(now) / before if now is not None and before else 1.0

    def _norms(self, digest: str | None, on: date) -> Mapping[str, Norm]:
        if digest is None:
            return read_norms(self.sources, on)
        text = self.work.scalars(
            select(KEPT_TEXT.c.text).where(KEPT_TEXT.c.digest == digest)).one()
        return read_norms(kept_sources(text), on)


def _mean(norm: Norm) -> float:
    return float(norm.low + 4 * norm.likely + norm.high) / 6


def _booked(work: Connection, which: Any) -> dict[str, dict[tuple[str, str], float]]:
    line = TIME_LINE.c
    found: dict[str, dict[tuple[str, str], float]] = {}
    for each in work.execute(
            select(line.job_id, line.task_group, line.task, func.sum(line.minutes).label("minutes"))
            .join(which, which.c.job_id == line.job_id)
            .group_by(line.job_id, line.task_group, line.task)
            .order_by(line.job_id, line.task_group, line.task)):
        if each.minutes:
            found.setdefault(each.job_id, {})[each.task_group, each.task] = (
                each.minutes / _MINUTES_PER_HOUR)
    return found


def _crews(work: Connection, which: Any) -> dict[str, str]:
    """Return by job the crew that worked most of it; of two alike the first by name."""
    line = TIME_LINE.c
    rows = work.execute(
        select(line.job_id, line.crew, func.sum(line.minutes).label("minutes"))
        .join(which, which.c.job_id == line.job_id)
        .where(line.crew != "").group_by(line.job_id, line.crew))
    return dict(_most(sorted(rows, key=lambda row: (row.job_id, -row.minutes, row.crew))))


def _most(rows: Sequence[Any]) -> Iterator[tuple[str, str]]:
    for at, row in enumerate(rows):
        if not at or rows[at - 1].job_id != row.job_id:
            yield row.job_id, row.crew
