"""The store of quoted jobs: a revision is added, never changed."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Connection, Select, insert, select

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
    engine = db.open_database(database)
    try:
        with db.session(engine, write=False) as work:
            return kept_estimate(work, job, revision_number(work, job, revision))
    finally:
        engine.dispose()


def kept_estimate(work: Connection, job: str, number: int) -> EstimateJson:
    """Return a revision that is there."""
    return EstimateJson.loads(work.execute(
        select(REVISION.c.estimate_json)
        .where(REVISION.c.job_id == job, REVISION.c.number == number)).scalar_one())


def revision_number(work: Connection, job: str, wanted: int | None = None) -> int:
    """Return the number of a revision that is there, the newest if none is named.

    What a variation would make of the job is only taken when it is named, or agreed.

    Raises:
        ProblemsFound: J001 if there is no such job, J002 if it has no such revision.
    """
    numbers: list[int] = list(work.scalars(
        select(REVISION.c.number).where(REVISION.c.job_id == job).order_by(REVISION.c.number)))
    place = Place(db.shown(work.engine.url))
    if not numbers:
        known = list(work.scalars(select(JOB.c.id)))
        raise ProblemsFound([Problem(
            "J001", place, f"no job '{job}' has been quoted in this database",
            suggestion(job, known) or "quote it first: estimator quote SURVEY")])
    if wanted is not None and wanted not in numbers:
        raise ProblemsFound([Problem(
            "J002", place, f"job '{job}' has no revision {wanted}",
            f"its revisions are 1 to {numbers[-1]}")])
    if wanted is not None:
        return wanted
    from catalogue.tables import VARIATION  # a quote does not need it

    not_agreed = set(work.scalars(revisions_not_agreed().where(VARIATION.c.job_id == job)))
    return next(number for number in reversed(numbers) if number not in not_agreed)


def revisions_not_agreed() -> Select[Any]:
    """Return the query for the revisions of variations that are open or refused."""
    from catalogue.tables import VARIATION, VARIATION_EVENT  # a quote needs neither

    # The same may be found again after a refusal: then two variations lead to one revision.
    v, e, either = VARIATION.c, VARIATION_EVENT.c, VARIATION.alias()
    agreed = (
        select(e.id)
        .join(either, (either.c.job_id == e.job_id) & (either.c.number == e.number))
        .where(e.job_id == v.job_id, either.c.after_revision == v.after_revision,
               e.event == "agreed"))
    return select(v.after_revision).where(~agreed.exists())
