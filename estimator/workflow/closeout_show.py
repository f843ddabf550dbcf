"""How a job's close-out stands, and the clocks of every job that was commissioned."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from estimator.closing.clocks import Clock, clocks
from estimator.closing.entries import all_entries
from estimator.closing.limits import Limits
from estimator.workflow.closeout_design import design_of
from estimator.workflow.closeout_job import DONE, firms_practice, taken_revision
from estimator.workflow.closeout_readings import CloseOut, close_out, commissioned_on, stored
from estimator.workflow.database import at_work
from estimator.workflow.firm import database_of, firm_files
from estimator.workflow.job_states import states
from estimator.workflow.jobs import kept_estimate


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

    A job whose acceptance was taken back since is left out. Days are counted by the practice values
    that were in force on the day of the commissioning.
    """
    files, found = firm_files(), []
    practice = firms_practice(files)
    with at_work(database_of(database, files)) as work:
        stands = states(work)
        days = {job: day for job, day in commissioned_on(work).items() if day <= on}
        for n, (job, day) in enumerate(sorted(days.items(), key=lambda each: each[::-1]), 1):
            now = stands.get(job)
            if now is not None and now.state in DONE and now.revision is not None:
                estimate = kept_estimate(work, job, now.revision)
                said = stored(work, job).values()
                papers = [each for each in said if each.code in _PAPERS]
                found.append(JobClocks(job, estimate.job.title, day, clocks(
                    all_entries(), design_of(estimate), Limits(practice, day), day,
                    {each.code: date.fromisoformat(each.value) for each in papers if each.value},
                    {each.code: each.not_tested for each in papers if each.not_tested})))
            tell(n, len(days))
    return tuple(found)


_PAPERS = frozenset(each.code for each in all_entries() if each.expect == "by")
