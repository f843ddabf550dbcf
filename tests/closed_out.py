"""A close-out of which all is said, for tests that close a job and are about something else."""

from __future__ import annotations

from datetime import datetime

from catalogue.db import open_database, session
from estimator.workflow.closeout_job import firms_practice, taken_revision
from estimator.workflow.closeout_readings import Reading, add_readings, close_out
from estimator.workflow.firm import firm_files
from estimator.workflow.job_states import states


def all_said(database: str, job: str, at: datetime) -> None:
    """Say of every reading of an accepted job that is blank why there is none."""
    engine = open_database(database)
    with session(engine) as work:
        stands = states(work).get(job)
        if stands is None or stands.state != "accepted":
            return
        found = close_out(
            work, taken_revision(work, job), firms_practice(firm_files()), at.date())
        add_readings(work, found, [
            Reading(due.code, due.subject, at.date(), "S. Fitter", not_tested="a test")
            for due in found.blank], at)
        work.commit()
    engine.dispose()
