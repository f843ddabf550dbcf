"""The list of quoted jobs: where each stands, by the revision that counts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Row, Select, func, select

from catalogue import db
from catalogue.tables import JOB, REVISION, VARIATION
from estimator.workflow.job_days import Stands, recorded_days, stands_of
from estimator.workflow.job_states import JobState, State, states
from estimator.workflow.jobs import revisions_not_agreed


@dataclass(frozen=True)
class JobListed:
    """One job in the list: by the revision that was accepted, else by its newest.

    `state` is how it was answered, `stands` where it stands in the words of the trade.
    """

    job: str
    title: str
    revision: int
    on: date
    kind: str
    net_minor: int
    currency: str
    state: State
    stands: Stands


def newest_revisions() -> Select[Any]:
    """Return the query for every job with the number of its newest revision, by job.

    What a variation would make of it counts only once it is agreed.
    """
    kept = REVISION.c
    not_agreed = revisions_not_agreed().where(
        VARIATION.c.job_id == kept.job_id, VARIATION.c.after_revision == kept.number)
    return (select(kept.job_id, func.max(kept.number).label("number"))
            .where(~not_agreed.exists()).group_by(kept.job_id).order_by(kept.job_id))


def listed_jobs(database: str | None) -> list[JobListed]:
    """Return every quoted job by id."""
    kept = REVISION.c
    rows: Select[Any] = (
        select(JOB.c.id, JOB.c.title, kept.number, kept.on_date, kept.kind, kept.net_minor,
               kept.currency)
        .join(REVISION, kept.job_id == JOB.c.id).order_by(JOB.c.id, kept.number)
    )
    engine = db.open_database(database)
    try:
        with db.session(engine, write=False) as work:
            answered, days = states(work), recorded_days(work)
            counts: dict[str, Row[Any]] = {}
            for row in work.execute(rows):
                if _counts(row, answered.get(row.id), counts.get(row.id)):
                    counts[row.id] = row
        return [_listed(row, answered.get(job), days.get(job, set()))
                for job, row in counts.items()]
    finally:
        engine.dispose()


def _counts(row: Row[Any], answer: JobState | None, before: Row[Any] | None) -> bool:
    """Return whether a revision counts for its job more than those before it."""
    if answer is None or answer.state not in ("accepted", "closed"):
        return True
    return before is None or row.number <= (answer.revision or row.number)


def _listed(row: Row[Any], answer: JobState | None, days: set[str]) -> JobListed:
    state: State = answer.state if answer else "open"
    return JobListed(row.id, row.title, row.number, row.on_date, row.kind, row.net_minor,
                     row.currency, state, stands_of(state, days))
