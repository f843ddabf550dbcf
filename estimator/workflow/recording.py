"""What was reckoned, written beside a revision as rows that the database can add up.

`QUOTED` holds what a revision is about, `PLAN_LINE` what it was reckoned to cost, line by line. A
quote writes neither, which would make it slower: the row comes when something is said of the job,
the lines when a revision is accepted, and `fill_quoted` and `fill_plans` write what is still
missing: of quotes of which nothing was said yet, and of revisions from before these rows were kept.
All add rows and commit nothing, but `fill_missing`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import asdict
from typing import TYPE_CHECKING

from pydantic import ValidationError
from sqlalchemy import Connection, Engine, func, insert, select

from catalogue import db
from catalogue.tables import JOB_EVENT, PLAN_LINE, QUOTED, REVISION

if TYPE_CHECKING:  # a review asks whether something is missing, and mostly nothing is
    from estimator.papers.contract import EstimateJson

Tell = Callable[[int, int], None]
_Key = tuple[str, int]


def write_quoted(work: Connection, kept: EstimateJson) -> None:
    """Write what a revision is about, if that is not there yet; the caller commits."""
    from estimator.papers.planned import quoted_job

    job, number, row = kept.job.id, kept.revision, QUOTED.c
    if work.execute(select(row.number).where(
            row.job_id == job, row.number == number)).first() is None:
        about = asdict(quoted_job(kept))
        work.execute(insert(QUOTED).values(job_id=job, number=number, **about))


def write_plan(work: Connection, kept: EstimateJson) -> None:
    """Write what an accepted revision was reckoned to cost, unless it is there; no commit.

    Raises:
        ValueError: if the estimate's own lines do not add up.
    """
    from estimator.papers.planned import plan_lines

    job, number, row = kept.job.id, kept.revision, PLAN_LINE.c
    if work.execute(select(row.line).where(
            row.job_id == job, row.number == number).limit(1)).first() is None:
        lines = [{"job_id": job, "number": number, "line": at, **asdict(line)}
                 for at, line in enumerate(plan_lines(kept), start=1)]
        if lines:
            work.execute(insert(PLAN_LINE), lines)


def fill_missing(engine: Engine, tell: Tell = lambda done, of: None) -> None:
    """Write all that is missing, before many jobs are added up; a database that has all is read.

    Args:
        engine: an open database.
        tell: called with how many revisions are done, and of how many.
    """
    with db.session(engine, write=False) as work:
        quoted, kept = (work.scalar(select(func.count()).select_from(table)) or 0
                        for table in (QUOTED, REVISION))
        complete = quoted == kept and not _without_plan(work)
    if not complete:
        with db.session(engine) as work:
            fill_quoted(work, tell)
            fill_plans(work, tell)
            work.commit()


def fill_quoted(work: Connection, tell: Tell = lambda done, of: None) -> int:
    """Write what each revision is about where it is missing; the caller commits.

    Args:
        work: a unit of work that writes.
        tell: called with how many revisions are done, and of how many.

    Returns:
        how many rows were written; a revision that this program cannot read is left out.
    """
    there = select(QUOTED.c.number).where(
        QUOTED.c.job_id == REVISION.c.job_id, QUOTED.c.number == REVISION.c.number)
    missing = [(row.job_id, row.number) for row in work.execute(
        select(REVISION.c.job_id, REVISION.c.number).where(~there.exists())
        .order_by(REVISION.c.job_id, REVISION.c.number))]
    return _each(work, missing, write_quoted, tell)


def fill_plans(work: Connection, tell: Tell = lambda done, of: None) -> int:
    """Write the plan lines of each revision that was ever accepted, where they are missing.

    Returns:
        how many revisions have them now that had none; one that cannot be read is left out.
    """
    return _each(work, _without_plan(work), write_plan, tell)


def _without_plan(work: Connection) -> list[_Key]:
    there = select(PLAN_LINE.c.line).where(
        PLAN_LINE.c.job_id == JOB_EVENT.c.job_id, PLAN_LINE.c.number == JOB_EVENT.c.revision)
    return [(row.job_id, row.revision) for row in work.execute(
        select(JOB_EVENT.c.job_id, JOB_EVENT.c.revision).distinct()
        .where(JOB_EVENT.c.event == "accepted", ~there.exists())
        .order_by(JOB_EVENT.c.job_id, JOB_EVENT.c.revision))]


def _each(
    work: Connection, missing: Iterable[_Key], write: Callable[[Connection, EstimateJson], None],
    tell: Tell,
) -> int:
    from estimator.workflow.jobs import kept_estimate

    listed, written = list(missing), 0
    for done, (job, number) in enumerate(listed, start=1):
        with suppress(ValidationError):  # of another program's form: what it says is not known
            write(work, kept_estimate(work, job, number))
            written += 1
        tell(done, len(listed))
    return written
