"""Write a blank timesheet with the jobs in hand, the task groups and the firm's norms to choose."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import select

from catalogue.tables import JOB
from estimator.actuals.timesheet import GROUPS
from estimator.papers.timesheet import timesheet
from estimator.workflow.basis import firm_norms
from estimator.workflow.database import at_work
from estimator.workflow.files import all_written, refuse_if_taken
from estimator.workflow.firm import database_of, firm_files
from estimator.workflow.job_states import states


def write_hours_sheet(database: str | None, out: Path, *, replace: bool = False) -> int:
    """Write the workbook and return how many jobs it lists.

    Raises:
        ProblemsFound: F003, F007 or F008 for a file that cannot be written; as the firm's norms.
    """
    refuse_if_taken(out, ".xlsx", replace=replace)
    files = firm_files()
    norms = sorted(firm_norms(files).values(), key=lambda norm: (GROUPS.index(norm.group), norm.id))
    with at_work(database_of(database, files)) as work:
        in_hand = [job for job, state in states(work).items() if state.state == "accepted"]
        jobs = [(row.id, row.title) for row in work.execute(
            select(JOB.c.id, JOB.c.title).where(JOB.c.id.in_(in_hand)).order_by(JOB.c.id))]
    made = timesheet(jobs, GROUPS, [(norm.id, norm.group, norm.name) for norm in norms])
    with all_written({out: made}):
        return len(jobs)
