"""How a job's close-out stands, and the clocks of every job that was commissioned."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from sqlalchemy import Connection, select

from catalogue.tables import REVISION
from estimator.closing.clocks import Clock, clocks
from estimator.closing.design import Design
from estimator.closing.entries import all_entries
from estimator.closing.limits import Limits
from estimator.workflow.closeout_design import papers_of
from estimator.workflow.closeout_job import DONE, firms_practice, taken_revision
from estimator.workflow.closeout_readings import CloseOut, close_out, commissioned_on, stored
from estimator.workflow.database import at_work
from estimator.workflow.firm import database_of, firm_files
from estimator.workflow.job_states import states


@dataclass(frozen=True)
class JobClocks:
    """The clocks of a job that was commissioned."""

    job: str
    title: str
    commissioned: date
    clocks: tuple[Clock, ...]


def shown_close_out(database: str | None, job: str, on: date) -> CloseOut:
    """Return how the close-out of a job stands, at the limits of a day.

    Raises:
        ProblemsFound: J001 if there is no such job, Z312 if it is neither accepted nor closed.
    """
    files = firm_files()
    practice = firms_practice(files)
    with at_work(database_of(database, files)) as work:
        return close_out(work, taken_revision(work, job, DONE), practice, on)


def running_clocks(
    database: str | None, on: date, tell: Callable[[int, int], None]
) -> tuple[JobClocks, ...]:
    """Return the clocks of every job that was commissioned by a day, the longest ago first.

    A job is left out whose acceptance was taken back since, or whose clocks have all stopped. Days
    are counted by the practice values that were in force on the day of the commissioning.
    """
    files, found = firm_files(), []
    practice = firms_practice(files)
    with at_work(database_of(database, files)) as work:
        stands = states(work)
        days = {job: day for job, day in commissioned_on(work).items() if day <= on}
        for n, (job, day) in enumerate(sorted(days.items(), key=lambda each: each[::-1]), 1):
            now = stands.get(job)
            if now is not None and now.state in DONE and now.revision is not None:
                title, design = _as_kept(work, job, now.revision)
                papers = [each for each in stored(work, job).values() if each.code in _PAPERS]
                found.append(JobClocks(job, title, day, clocks(
                    all_entries(), design, Limits(practice, day), day,
                    {each.code: date.fromisoformat(each.value) for each in papers if each.value},
                    {each.code: each.not_tested for each in papers if each.not_tested})))
            tell(n, len(days))
    return tuple(job for job in found if any(clock.stopped is None for clock in job.clocks))


_PAPERS = frozenset(each.code for each in all_entries() if each.expect == "by")


def _as_kept(work: Connection, job: str, revision: int) -> tuple[str, Design]:
    """Return title and design as far as papers hang on them; the rest of a revision is not read."""
    r = REVISION.c
    text = work.execute(select(r.estimate_json).where(
        r.job_id == job, r.number == revision)).scalar_one()
    kept = json.loads(text)
    holds = papers_of(kept["job"]["parts"], [task["task"] for task in kept["tasks"]])
    return kept["job"]["title"], Design(frozenset(word for word, is_so in holds.items() if is_so))
