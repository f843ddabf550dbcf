"""A sheet that came back: which one it is, whether it may be read, and what is written on it."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from pydantic import ValidationError
from sqlalchemy import Connection, Row, func, insert, select

from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.tables import STOCK_SHEET, STOCK_SHEET_READ
from catalogue.toml_source import as_text
from estimator.papers.sheets.back_pages import back_pages
from estimator.papers.sheets.marks import Marks, identity_of, read_marks
from estimator.papers.sheets.pages import Page
from estimator.papers.sheets.pick_pages import Issued, written_on
from estimator.survey.form_cells import FormSheet
from estimator.van.sheet_model import LAYOUT, BackSheet, PickSheet, Sheet
from estimator.workflow.form_file import read_form_file
from estimator.workflow.job_states import JobState, held_job

COMMANDS = {"pick": "estimator stock picked", "back": "estimator stock returned"}


@dataclass(frozen=True)
class CameBack:
    """A sheet that may be read.

    Attributes:
        before: who read it already, and when; None if nobody has.
    """

    id: int
    sheet: Sheet
    issued: Issued
    marks: Marks
    before: tuple[str, datetime] | None

    @property
    def document(self) -> str:
        """Return how moves name the sheet."""
        return f"sheet {self.issued.name}"


def opened(work: Connection, path: Path, kind: str) -> CameBack:
    """Return the sheet that a file holds, if it may be read.

    Raises:
        ProblemsFound: X001 to X005 for the file; Y204 if it is no sheet, Y205 if it is none of
            this database's, Y206, Y207 if it is stale, Y208 if it was read with other marks, Y209
            for the other kind, Y226 for one of another version; Y210 to Y216 for what is on it.
    """
    shown = as_text(path)
    sheets, told = read_form_file(path)
    row = _row_of(work, shown, sheets)
    if row.kind != kind:
        raise _refused("Y209", shown, f"sheet {_name(row)} is a sheet "
                       f"{'to pick by' if row.kind == 'pick' else 'for what comes back'}",
                       f"{COMMANDS[row.kind]} {shown}")
    sheet, issued = _sheet_of(row, shown), Issued(_name(row), row.digest)
    stands = held_job(work, row.job_id)  # of two desks with one sheet the second finds it read
    before = _read_before(work, row.id)
    if before is None:
        _refuse_stale(work, row, stands, shown)
    marks = read_marks(shown, _pages(sheet, issued), sheets, told)
    if before is not None and before.digest != digest_of(marks):
        raise _refused(
            "Y208", shown, f"sheet {issued.name} was read on {before.at.date()} by {before.by}, "
            "and other things were written on it then",
            "what is wrong now is put right by a count or a move: estimator stock --help")
    return CameBack(row.id, sheet, issued, marks,
                    None if before is None else (before.by, before.at))


def mark_as_read(work: Connection, back: CameBack, by: str, at: datetime) -> None:
    """Keep that a sheet was read, and what was written on it; the caller commits."""
    work.execute(insert(STOCK_SHEET_READ).values(
        sheet_id=back.id, marks_json=back.marks.as_text(), digest=digest_of(back.marks),
        at=at.astimezone(UTC).replace(microsecond=0), by=by))


def digest_of(marks: Marks) -> str:
    """Return the digest of what is written on a sheet."""
    return hashlib.sha256(marks.as_text().encode()).hexdigest()


def _row_of(work: Connection, shown: str, sheets: Sequence[FormSheet]) -> Row[Any]:
    """Return the sheet as it was kept when it was issued."""
    said = identity_of(sheets)
    job, _, number = said.get("sheet", "").rpartition("/")
    if not job or not number.isdecimal() or not said.get("digest"):
        raise _refused("Y204", shown, "the file does not say which sheet it is",
                       "take the sheet as `estimator stock sheet` wrote it")
    s = STOCK_SHEET.c
    row = work.execute(
        select(STOCK_SHEET).where(s.job_id == job, s.number == int(number))).first()
    if row is None or row.digest != said["digest"]:
        raise _refused(
            "Y205", shown, f"sheet {said['sheet']} of this file was not issued from this database",
            "name the database that it was issued from, with --db")
    return row


def _sheet_of(row: Row[Any], shown: str) -> Sheet:
    model = PickSheet if row.kind == "pick" else BackSheet
    try:
        sheet: Sheet = model.model_validate_json(row.sheet_json)
    except ValidationError:
        sheet = BackSheet(layout=0, job="", title="", address="", revision=1,
                          on=row.issued_at.date(), rows=(), places=())
    if sheet.layout != LAYOUT:
        raise _refused("Y226", shown, f"sheet {_name(row)} was issued by another version of this "
                       "program, which laid it out otherwise",
                       f"issue it again: estimator stock sheet {row.job_id}")
    return sheet


def _pages(sheet: Sheet, issued: Issued) -> Sequence[Page]:
    return back_pages(sheet, issued) if isinstance(sheet, BackSheet) else written_on(sheet, issued)


def _read_before(work: Connection, sheet_id: int) -> Row[Any] | None:
    r = STOCK_SHEET_READ.c
    found: Row[Any] | None = work.execute(
        select(STOCK_SHEET_READ).where(r.sheet_id == sheet_id)).first()
    return found


def _refuse_stale(work: Connection, row: Row[Any], stands: JobState, shown: str) -> None:
    s = STOCK_SHEET.c
    newest = work.scalar(
        select(func.max(s.number)).where(s.job_id == row.job_id, s.kind == row.kind))
    if newest != row.number:
        raise _refused("Y206", shown, f"sheet {_name(row)} is stale: {row.job_id}/{newest} was "
                       "issued after it", f"write it on sheet {row.job_id}/{newest}")
    if stands.state != "accepted" or stands.revision != row.revision:
        now = (f"revision {stands.revision} is accepted now" if stands.state == "accepted"
               else f"the job is {stands.state} now")
        raise _refused("Y207", shown, f"sheet {_name(row)} is stale: it is for revision "
                       f"{row.revision}, and {now}",
                       "issue a new one for the accepted revision: "
                       f"estimator stock sheet {row.job_id}")


def _name(row: Row[Any]) -> str:
    return f"{row.job_id}/{row.number}"


def _refused(code: str, shown: str, says: str, mend: str) -> ProblemsFound:
    return ProblemsFound([Problem(code, Place(shown), says, mend)])
