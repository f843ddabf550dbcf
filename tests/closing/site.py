"""A close-out sheet filled in on site, and what was commissioned; job D-101 of the demo jobs."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import insert

from catalogue.db import open_database, session
from catalogue.tables import JOB_DAY
from estimator.closing.sheet_model import CloseOutSheet, ReadRow
from estimator.papers.sheets import closeout_pages as pages
from estimator.workflow.closeout_back import CloseOutRead, read_close_out
from estimator.workflow.closeout_sheet import CloseOutMade, issue_close_out
from tests.van.desk import JOB, fill

DB = "estimator.db"
TESTED = date(2026, 11, 20)
EVENING = datetime(2026, 11, 20, 18, tzinfo=UTC)
Marks = dict[str, dict[tuple[str, str], Any]]
# What a sound job shows; figures by the limits of the pack and the plan of the job.
SOUND = {
    "external-loop": 0.21, "fault-current": 1.1, "circuit-continuity": 0.24,
    "circuit-insulation": ">200", "circuit-loop": 0.45, "rcd-time": "none fitted",
    "rcd-button": "none fitted", "volts-idle": 241.5, "volts-full": 243.2, "clamp-load": 2010,
    "clamp-shown": 1980, "storage-count": 3, "storage-state": 55, "storage-least": 20,
    "storage-grid-level": 10, "loss-of-mains-time": 0.4, "reconnect": 61,
}


def issued(out: str = "closeout.xlsx", on: date = TESTED) -> CloseOutMade:
    return issue_close_out(DB, JOB, on, EVENING, Path(out), replace=True)


def row_of(sheet: CloseOutSheet, code: str) -> ReadRow:
    return next(row for row in sheet.rows if row.code == code)


def head(on: date = TESTED) -> dict[tuple[str, str], Any]:
    """Return who tested, when, under which sky, and with which instrument."""
    return {
        (pages.TESTED_BY, pages.HERE): "M. Fitter", (pages.DAY, pages.HERE): on,
        (pages.WEATHER, pages.HERE): "clear, light wind", ("A", pages.HERE): "installation tester",
        ("A", pages.SERIAL): "4711", ("A", pages.CALIBRATED): date(2026, 3, 2)}


def sound(sheet: CloseOutSheet, on: date = TESTED) -> Marks:
    """Return marks of a job on which everything is as it should be."""
    marks: Marks = {pages.WITH: head(on), pages.READINGS: {}, pages.HANDING: {}}
    for row in sheet.rows:
        page = marks[pages.page_of(row)]
        page[row.key, pages.READ] = _sound(row, on)
        if row.box == "number":
            page[row.key, pages.INSTRUMENT] = "A"
    return marks


def _sound(row: ReadRow, on: date) -> Any:
    if row.code in SOUND:
        return SOUND[row.code]
    return {"text": "as set", "day": on}.get(row.box, row.words[0] if row.words else None)


def put(marks: Marks, sheet: CloseOutSheet, code: str, value: Any, title: str = pages.READ) -> None:
    """Write something else in a row."""
    row = row_of(sheet, code)
    marks[pages.page_of(row)][row.key, title] = value


def come_back(made: CloseOutMade, marks: Marks, *, at: datetime = EVENING, write: bool = True,
              change: Any = None) -> CloseOutRead:
    """Fill the sheet in and read it."""
    filled = Path("filled.xlsx")
    filled.write_bytes(fill(made.file.read_bytes(), marks, change))
    return read_close_out(DB, filled, at, write=write)


def commissioned(on: date, job: str = JOB) -> None:
    """Say that the job was commissioned on a day."""
    engine = open_database(DB)
    with session(engine) as work:
        work.execute(insert(JOB_DAY).values(
            job_id=job, what="commissioned", on_date=on, crew="North", at=EVENING, by="M. Fitter",
            why=""))
        work.commit()
    engine.dispose()
