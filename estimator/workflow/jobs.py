"""The store of quoted jobs: a revision is added, never changed."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any

from sqlalchemy import Connection, func, insert, select

from catalogue import db
from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from catalogue.tables import JOB, REVISION
from estimator.estimate import Estimate
from estimator.papers.contract import EstimateJson
from estimator.workflow.made_with import keep_texts


@dataclass(frozen=True)
class Making:
    """An estimate about to be kept, with the survey it was made from.

    `made_with` gives the other texts it was made from; asked for only if the revision is new.
    """

    estimate: Estimate
    survey_text: str
    made_with: Callable[[], Mapping[str, str]] | None = None


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


def keep_revision(work: Connection, making: Making) -> tuple[EstimateJson, bool]:
    """Add the estimate as the job's next revision; the caller commits.

    Where the newest revision was made from the same survey, prices, rules and settings, it is
    returned instead and nothing is added.

    Returns:
        the estimate with its revision number, and whether it is new.
    """
    job = making.estimate.job
    made = EstimateJson.of(making.estimate, 1)
    digest = _digest(made, making.survey_text)
    newest, found = _newest(work, job.id)
    if found == digest:
        return made.model_copy(update={"revision": newest}), False
    if not newest and work.scalar(select(JOB.c.id).where(JOB.c.id == job.id)) is None:
        work.execute(insert(JOB).values(id=job.id, title=job.title, created_at=_now()))
    kept = made.model_copy(update={"revision": newest + 1})
    work.execute(insert(REVISION).values(_row(kept, making, digest)))
    if making.made_with is not None:
        keep_texts(work, job.id, kept.revision, making.made_with())
    return kept, True


def _newest(work: Connection, job: str) -> tuple[int, str]:
    """Return number and digest of a job's newest revision; 0 and "" without one."""
    kept = REVISION.c
    row = work.execute(
        select(kept.number, kept.inputs_digest).where(kept.job_id == job)
        .order_by(kept.number.desc()).limit(1)
    ).first()
    return (0, "") if row is None else (row.number, row.inputs_digest)


def _row(kept: EstimateJson, making: Making, digest: str) -> dict[str, Any]:
    estimate = making.estimate
    return {
        "job_id": estimate.job.id, "number": kept.revision, "on_date": estimate.on,
        "survey_text": making.survey_text, "estimate_json": kept.dumps(),
        "inputs_digest": digest, "made_at": _now(), "kind": estimate.kind,
        "net_minor": estimate.price.net.minor, "currency": estimate.currency,
    }


def _digest(estimate: EstimateJson, survey_text: str) -> str:
    """Return a digest of the survey and all that came of it, revision number aside."""
    alike = estimate.model_copy(update={"revision": 0}).dumps()
    return hashlib.sha256(f"{survey_text}\0{alike}".encode()).hexdigest()


def _now() -> datetime:
    return datetime.now(UTC).replace(microsecond=0)


def stored_estimate(database: str | None, job: str, revision: int | None = None) -> EstimateJson:
    """Return a kept revision of a job, the newest if none is named.

    Raises:
        ProblemsFound: J001 if there is no such job, J002 if it has no such revision.
    """
    from sqlalchemy.orm import Session

    from catalogue.tables.rows import RevisionRow

    engine = db.open_database(database)
    try:
        with db.session(engine, write=False) as work:
            numbers = list(work.scalars(
                select(REVISION.c.number).where(REVISION.c.job_id == job)
                .order_by(REVISION.c.number)))
            if not numbers:
                known = list(work.scalars(select(JOB.c.id)))
                raise ProblemsFound([_no_job(database, job, known)])
            wanted = numbers[-1] if revision is None else revision
            row = Session(work).get(RevisionRow, (job, wanted)) if wanted in numbers else None
            if row is None:
                raise ProblemsFound([Problem(
                    "J002", Place(db.shown(database)),
                    f"job '{job}' has no revision {wanted}",
                    f"its revisions are 1 to {numbers[-1]}")])
            return EstimateJson.loads(row.estimate_json)
    finally:
        engine.dispose()


def _no_job(database: str | None, job: str, known: list[str]) -> Problem:
    return Problem(
        "J001", Place(db.shown(database)), f"no job '{job}' has been quoted in this database",
        suggestion(job, known) or "quote it first: estimator quote SURVEY",
    )


def listed_jobs(database: str | None) -> list[JobListed]:
    """Return every quoted job by id, each by its newest revision."""
    newest = (
        select(REVISION.c.job_id, func.max(REVISION.c.number).label("number"))
        .group_by(REVISION.c.job_id).subquery()
    )
    rows = (
        select(JOB.c.id, JOB.c.title, REVISION.c.number, REVISION.c.on_date, REVISION.c.kind,
               REVISION.c.net_minor, REVISION.c.currency)
        .join(newest, newest.c.job_id == JOB.c.id)
        .join(REVISION, (REVISION.c.job_id == JOB.c.id)
              & (REVISION.c.number == newest.c.number))
        .order_by(JOB.c.id)
    )
    engine = db.open_database(database)
    try:
        with db.session(engine, write=False) as work:
            return [JobListed(*row) for row in work.execute(rows)]
    finally:
        engine.dispose()
