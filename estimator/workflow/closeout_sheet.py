"""Issue the close-out sheet of an accepted job, and keep it.

A sheet that says the same as the newest one of the job is that one, whatever the day.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path

from pydantic import ValidationError
from sqlalchemy import Connection, func, insert, select

from catalogue.tables import CLOSE_OUT_SHEET
from estimator.closing.sheet_model import CloseOutSheet, groups_of, rows_of
from estimator.papers.cautions import cautions_for
from estimator.papers.sheets.book import sheet_workbook
from estimator.papers.sheets.closeout_pages import closeout_pages
from estimator.papers.sheets.pick_pages import Issued
from estimator.workflow.closeout_job import firms_practice, taken_revision
from estimator.workflow.closeout_readings import CloseOut, close_out
from estimator.workflow.database import at_work
from estimator.workflow.files import all_written, refuse_if_taken
from estimator.workflow.firm import database_of, firm_files


@dataclass(frozen=True)
class CloseOutMade:
    """A sheet as it was issued, whether it is new, and where it was written."""

    sheet: CloseOutSheet
    issued: Issued
    new: bool
    file: Path


def issue_close_out(
    database: str | None, job: str, on: date, at: datetime, out: Path, *, replace: bool = False
) -> CloseOutMade:
    """Issue the close-out sheet of a job, keep it, and write its workbook.

    Raises:
        ProblemsFound: F007, F008 for the file; J001 for a job that is not there; Z312 for one that
            is not accepted.
    """
    refuse_if_taken(out, ".xlsx", replace=replace)
    files = firm_files()
    practice = firms_practice(files)
    with at_work(database_of(database, files), write=True) as work:
        estimate = taken_revision(work, job)
        sheet = sheet_of(close_out(work, estimate, practice, on))
        sheet, issued, new = _kept(work, sheet, at)
        pages = closeout_pages(sheet, issued, cautions_for(estimate, "site"))
        with all_written({out: sheet_workbook(sheet, issued, pages)}):
            work.commit()
    return CloseOutMade(sheet, issued, new, out)


def sheet_of(found: CloseOut) -> CloseOutSheet:
    """Return what the sheet of a close-out says."""
    job = found.estimate.job
    return CloseOutSheet(
        job=job.id, title=job.title, address=job.address, revision=found.estimate.revision,
        on=found.limits.on, groups=groups_of(found.due), rows=rows_of(found.due))


def sheet_name(job: str, number: int) -> str:
    """Return how a close-out sheet is named: "D-101/C1"."""
    return f"{job}/C{number}"


def _kept(
    work: Connection, sheet: CloseOutSheet, at: datetime
) -> tuple[CloseOutSheet, Issued, bool]:
    """Keep a sheet as the job's next, unless the newest says the same; the caller commits."""
    s = CLOSE_OUT_SHEET.c
    newest = work.execute(
        select(CLOSE_OUT_SHEET).where(s.job_id == sheet.job)
        .order_by(s.number.desc()).limit(1)).first()
    if newest is not None:
        before = read_sheet(newest.sheet_json)
        if before is not None and before == sheet.model_copy(update={"on": before.on}):
            return before, Issued(sheet_name(sheet.job, newest.number), newest.digest), False
    number = 1 + (work.scalar(
        select(func.max(s.number)).where(s.job_id == sheet.job)) or 0)
    text = sheet.model_dump_json()
    digest = hashlib.sha256(text.encode()).hexdigest()
    work.execute(insert(CLOSE_OUT_SHEET).values(
        job_id=sheet.job, number=number, revision=sheet.revision, sheet_json=text, digest=digest,
        issued_at=at.astimezone(UTC).replace(microsecond=0)))
    return sheet, Issued(sheet_name(sheet.job, number), digest), True


def read_sheet(text: str) -> CloseOutSheet | None:
    """Return the record of a sheet; None if another version of the program laid it out."""
    try:
        return CloseOutSheet.model_validate_json(text)
    except ValidationError:
        return None
