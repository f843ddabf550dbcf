"""A close-out sheet that came back: what is written on it, as readings.

It may come back again with more on it: what it said already the last time is left alone, so that
reading it twice changes nothing, and what was put right since is not put back.

Codes of the problems: Z301 no close-out sheet, Z302 of another database, Z303 and Z304 stale, Z305
of another version; Z306 a reading and why there is none, Z307 no name, Z308 no day, Z309 an
instrument that is not named, Z317 a day that is still to come, Z318 a reading below 0.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any, NamedTuple

from sqlalchemy import Connection, Row, func, insert, select

from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.tables import CLOSE_OUT_READ, CLOSE_OUT_SHEET
from catalogue.toml_source import as_text
from estimator.closing.entries import BoxKind
from estimator.closing.judging import Key
from estimator.closing.sheet_model import LAYOUT, CloseOutSheet, ReadRow
from estimator.papers.sheets import closeout_pages as pages
from estimator.papers.sheets.marks import Marks, identity_of, read_marks
from estimator.papers.sheets.pick_pages import Issued
from estimator.survey.form_cells import FormSheet
from estimator.workflow.closeout_job import firms_practice, taken_revision
from estimator.workflow.closeout_readings import CloseOut, Reading, add_readings, close_out
from estimator.workflow.closeout_sheet import read_sheet, sheet_name
from estimator.workflow.database import at_work
from estimator.workflow.firm import database_of, firm_files
from estimator.workflow.form_file import read_form_file

_BELOW_0 = "°C"  # only a temperature may be
_CONDITIONS = (("irradiance", "W/m2"), ("cell-temperature", "degC"))


@dataclass(frozen=True)
class CloseOutRead:
    """What a sheet says that was not said before, and the close-out with it.

    Attributes:
        new: readings that are new or other than this sheet said the last time.
    """

    name: str
    by: str
    new: tuple[Reading, ...]
    after: CloseOut
    written: bool


def read_close_out(
    database: str | None, path: Path, at: datetime, name: str = "", *, write: bool = False
) -> CloseOutRead:
    """Read a filled close-out sheet; its readings are kept if asked.

    Raises:
        ProblemsFound: X001 to X005 for the file; Z301 to Z305, Z312 if it may not be read; Y210 to
            Y216 and Z306 to Z309, Z317, Z318 for what is on it. Nothing is kept then.
    """
    files, shown = firm_files(), as_text(path)
    practice = firms_practice(files)
    sheets, told = read_form_file(path)
    with at_work(database_of(database, files), write=True) as work:
        row = _row_of(work, shown, sheets)
        estimate = taken_revision(work, row.job_id)
        sheet = _current(work, row, estimate.revision, shown)
        issued = Issued(sheet_name(row.job_id, row.number), row.digest)
        marks = read_marks(shown, pages.closeout_written_on(sheet, issued), sheets, told)
        said = _Said(sheet, marks, at.astimezone().date(), name)
        readings = said.readings()
        before = close_out(work, estimate, practice, at.astimezone().date())
        last = _last_read(work, row.id)
        new = tuple(each for each in readings if _as_data(each) != last.get(_key_text(each.key)))
        after = add_readings(work, before, new, at)
        new = tuple(after.readings[each.key] for each in new)
        if write and new:
            _keep_read(work, row.id, {**last, **{
                _key_text(each.key): _as_data(each) for each in readings}}, said.by, at)
            work.commit()
    return CloseOutRead(issued.name, said.by, new, after, write)


# -- which sheet -----------------------------------------------------------------------------------


def _row_of(work: Connection, shown: str, sheets: Sequence[FormSheet]) -> Row[Any]:
    """Return the sheet as it was kept when it was issued."""
    said = identity_of(sheets)
    job, _, number = said.get("sheet", "").rpartition("/C")
    if not job or not number.isdecimal() or not said.get("digest"):
        raise _refused("Z301", shown, "the file does not say which close-out sheet it is",
                       "take the sheet as `estimator closeout sheet` wrote it")
    s = CLOSE_OUT_SHEET.c
    row = work.execute(
        select(CLOSE_OUT_SHEET).where(s.job_id == job, s.number == int(number))).first()
    if row is None or row.digest != said["digest"]:
        raise _refused(
            "Z302", shown, f"sheet {said['sheet']} of this file was not issued from this database",
            "name the database that it was issued from, with --db")
    return row


def _current(work: Connection, row: Row[Any], accepted: int, shown: str) -> CloseOutSheet:
    """Return the record of a sheet, if it is the newest and of the accepted revision."""
    s, job = CLOSE_OUT_SHEET.c, row.job_id
    name = sheet_name(job, row.number)
    again = f"issue a new one and write on that: estimator closeout sheet {job} --out FILE.xlsx"
    sheet = read_sheet(row.sheet_json)
    if sheet is None or sheet.layout != LAYOUT:
        raise _refused("Z305", shown, f"sheet {name} was issued by another version of this "
                       "program, which laid it out otherwise", again)
    newest = work.scalar(select(func.max(s.number)).where(s.job_id == job)) or row.number
    if newest != row.number:
        raise _refused("Z303", shown, f"sheet {name} is stale: {sheet_name(job, newest)} was "
                       "issued after it", f"write it on sheet {sheet_name(job, newest)}")
    if row.revision != accepted:
        raise _refused("Z304", shown, f"sheet {name} is stale: it is for revision {row.revision}, "
                       f"and revision {accepted} is accepted now", again)
    return sheet


def _refused(code: str, shown: str, says: str, mend: str) -> ProblemsFound:
    return ProblemsFound([Problem(code, Place(shown), says, mend)])


# -- what is written on it -------------------------------------------------------------------------


@dataclass
class _Said:
    """Goes through the rows of a sheet and gathers readings and mistakes."""

    sheet: CloseOutSheet
    marks: Marks
    today: date
    named: str
    problems: list[Problem] = field(default_factory=list)
    by: str = ""

    def readings(self) -> list[Reading]:
        rows = [row for row in self.sheet.rows if self.text(row, pages.READ) or
                self.text(row, pages.WHY_NOT)]
        on = self.head(rows)
        sky = self.skies()
        found = [self.reading(row, on, sky.get(row.subject, sky[""])) for row in rows]
        if self.problems:
            raise ProblemsFound(self.problems)
        return found

    def tell(self, code: str, at: tuple[str, str, str], says: str, mend: str) -> None:
        self.problems.append(Problem(code, self.marks.place(*at), says, mend))

    def text(self, row: ReadRow, title: str) -> str:
        return self.mark(pages.page_of(row), row.key, title)

    def mark(self, page: str, key: str, title: str) -> str:
        mark = self.marks.get(page, key, title)
        return "" if mark is None else str(mark.value).strip()

    def head(self, rows: Sequence[ReadRow]) -> date:
        """Return the day of the tests; tell if name or day are missing though something is said."""
        self.by = self.mark(pages.WITH, pages.TESTED_BY, pages.HERE) or self.named.strip()
        day = self.mark(pages.WITH, pages.DAY, pages.HERE)
        if rows and not self.by:
            self.tell("Z307", (pages.WITH, pages.TESTED_BY, pages.HERE),
                      "nobody has put a name to the readings",
                      "write who tested into this cell, or say --name")
        if rows and not day:
            self.tell("Z308", (pages.WITH, pages.DAY, pages.HERE),
                      "the day of the tests is blank", "write it into this cell, as 2026-03-31")
        on = date.fromisoformat(day) if day else self.today
        self.to_come((pages.WITH, pages.DAY, pages.HERE), on)
        return on

    def to_come(self, at: tuple[str, str, str], day: date) -> None:
        if day > self.today:
            self.tell("Z317", at, f"{day} is still to come", "write the day on which it was done")

    def skies(self) -> dict[str, str]:
        """Return subject -> the conditions of its readings in words; "" is that of all others."""
        weather = self.mark(pages.WITH, pages.WEATHER, pages.HERE)
        parts: dict[str, list[str]] = {"": []}
        for code, unit in _CONDITIONS:
            for row in self.sheet.rows:
                if row.code == code and self.text(row, pages.READ):
                    parts.setdefault(row.subject, []).append(
                        f"{self.text(row, pages.READ)} {unit}")
        return {subject: "; ".join([*each, weather] if weather else each)
                for subject, each in parts.items()}

    def reading(self, row: ReadRow, on: date, sky: str) -> Reading:
        value, why_not = self.text(row, pages.READ), self.text(row, pages.WHY_NOT)
        page = pages.page_of(row)
        if value and why_not:
            self.tell("Z306", (page, row.key, pages.WHY_NOT),
                      f"row {row.key} has a reading and a reason why there is none",
                      "clear one of the two")
        self.problems += misread(Asked(row.box, row.unit), value, self.today,
                                 self.marks.place(page, row.key, pages.READ))
        instrument, calibrated = self.instrument(row)
        return Reading(
            row.code, row.subject, on, self.by, value, "" if value else why_not,
            instrument=instrument, calibrated_on=calibrated, conditions=sky,
            remark=self.text(row, pages.REMARK))

    def instrument(self, row: ReadRow) -> tuple[str, date | None]:
        """Return which instrument was used, and when it was calibrated."""
        if row.box != "number":
            return "", None
        letter = self.text(row, pages.INSTRUMENT)
        if not letter:
            return "", None
        name, serial, day = (self.mark(pages.WITH, letter, title) for title in (
            pages.HERE, pages.SERIAL, pages.CALIBRATED))
        if not name:
            self.tell("Z309", (pages.READINGS, row.key, pages.INSTRUMENT),
                      f"instrument {letter} is not named",
                      f"write what it is on the page '{pages.WITH}', in row {letter}")
        return ", ".join(part for part in (name, serial) if part), (
            date.fromisoformat(day) if day else None)


class Asked(NamedTuple):
    """What a row asks for: the kind of its box, and the unit as an instrument shows it."""

    box: BoxKind
    unit: str


def misread(asked: Asked, value: str, today: date, where: Place) -> list[Problem]:
    """Return what no reading can be: a day that is still to come, or a number below 0."""
    if asked.box == "day" and value and date.fromisoformat(value) > today:
        return [Problem("Z317", where, f"{value} is still to come",
                        "write the day on which it was done")]
    if asked.box == "number" and "-" in value[:2] and asked.unit != _BELOW_0:
        return [Problem(
            "Z318", where, f"{' '.join((value, asked.unit)).strip()} is below 0",
            "write what the instrument shows; only a temperature is below 0")]
    return []


# -- what it said the last time --------------------------------------------------------------------


def _key_text(key: Key) -> str:
    return "|".join(key)


def _as_data(each: Reading) -> dict[str, str]:
    """Return what stands in the row of a reading; name, day and sky are those of a visit."""
    return {
        "value": each.value, "not_tested": each.not_tested, "instrument": each.instrument,
        "calibrated_on": str(each.calibrated_on or ""), "remark": each.remark,
    }


def _last_read(work: Connection, sheet_id: int) -> dict[str, dict[str, str]]:
    r = CLOSE_OUT_READ.c
    text = work.scalar(
        select(r.marks_json).where(r.sheet_id == sheet_id).order_by(r.id.desc()).limit(1))
    found: dict[str, dict[str, str]] = json.loads(text) if text else {}
    return found


def _keep_read(
    work: Connection, sheet_id: int, said: Mapping[str, Mapping[str, str]], by: str, at: datetime
) -> None:
    text = json.dumps(said, ensure_ascii=False, sort_keys=True)
    work.execute(insert(CLOSE_OUT_READ).values(
        sheet_id=sheet_id, marks_json=text, digest=hashlib.sha256(text.encode()).hexdigest(),
        at=at.astimezone(UTC).replace(microsecond=0), by=by))
