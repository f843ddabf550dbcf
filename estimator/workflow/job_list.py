"""The list of quoted jobs: each by its newest revision, and how it stands."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Select, func, select

from catalogue import db
from catalogue.tables import JOB, REVISION
from estimator.workflow.job_states import State, states


@dataclass(frozen=True)
class JobListed:
    """One job in the list, by its newest revision."""

    job: str
    title: str
    revision: int
    on: date
    kind: str
    net_minor: int
    currency: str
    state: State


def newest_revisions() -> Select[Any]:
    """Return the query for every job with the number of its newest revision, by job."""
    kept = REVISION.c
    return (select(kept.job_id, func.max(kept.number).label("number"))
            .group_by(kept.job_id).order_by(kept.job_id))


def listed_jobs(database: str | None) -> list[JobListed]:
    """Return every quoted job by id, each by its newest revision."""
    newest, kept = newest_revisions().subquery(), REVISION.c
    rows = (
        select(JOB.c.id, JOB.c.title, kept.number, kept.on_date, kept.kind, kept.net_minor,
               kept.currency)
        .join(newest, newest.c.job_id == JOB.c.id)
        .join(REVISION, (kept.job_id == JOB.c.id) & (kept.number == newest.c.number))
        .order_by(JOB.c.id)
    )
    engine = db.open_database(database)
    try:
        with db.session(engine, write=False) as work:
            answered = states(work)
            return [
                JobListed(*row, answered[row.id].state if row.id in answered else "open")
                for row in work.execute(rows)]
    finally:
        engine.dispose()
