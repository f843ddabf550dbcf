"""Say one reading of a job's close-out, why there is none, or why one that is amiss may stand.

Codes of the problems: Z307 no name, Z313 a reading that is not due, Z314 a value that is none, Z315
nothing to be accepted, Z316 not exactly one thing said, Z317 a day to come, Z318 one below 0.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime

from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from estimator.closing.due import Due
from estimator.closing.expected import sign_of
from estimator.closing.measured import measured
from estimator.workflow.closeout_back import Asked, misread
from estimator.workflow.closeout_job import firms_practice, named, taken_revision
from estimator.workflow.closeout_readings import (
    AMISS,
    CloseOut,
    Reading,
    add_readings,
    close_out,
)
from estimator.workflow.database import at_work
from estimator.workflow.firm import database_of, firm_files

_SAID_ONE = "say the reading, or --not-tested REASON, or --accept-because REASON: one of them"


@dataclass(frozen=True)
class ReadingSaid:
    """One reading as somebody says it; exactly one of the three is given.

    Attributes:
        on: the day of the test; None = today, or the day of the reading that is accepted.
    """

    job: str
    code: str
    subject: str
    by: str
    value: str = ""
    not_tested: str = ""
    accept_because: str = ""
    instrument: str = ""
    calibrated_on: date | None = None
    remark: str = ""
    on: date | None = None


def set_reading(database: str | None, said: ReadingSaid, at: datetime) -> Reading:
    """Keep one reading of an accepted job and return it with its verdict.

    Raises:
        ProblemsFound: J001, Z312 for the job; Z307, Z313 to Z318 for what is said. Nothing is kept
            then.
    """
    files = firm_files()
    practice = firms_practice(files)
    today = at.astimezone().date()
    with at_work(database_of(database, files), write=True) as work:
        found = close_out(work, taken_revision(work, said.job), practice, today)
        reading = _reading(found, _stripped(said), today)
        after = add_readings(work, found, [reading], at)
        work.commit()
    return after.readings[reading.key]


def _stripped(said: ReadingSaid) -> ReadingSaid:
    return replace(said, by=said.by.strip(), value=said.value.strip(),
                   not_tested=said.not_tested.strip(), remark=said.remark.strip(),
                   accept_because=said.accept_because.strip(), instrument=said.instrument.strip())


def _reading(found: CloseOut, said: ReadingSaid, today: date) -> Reading:
    where, problems = Place(f"job {said.job}"), []
    if not said.by:
        problems.append(Problem(
            "Z307", where, "nobody has put a name to the reading", "say who it was: --name"))
    if sum(map(bool, (said.value, said.not_tested, said.accept_because))) != 1:
        problems.append(Problem("Z316", where, "one thing is to be said of a reading", _SAID_ONE))
    if said.on is not None and said.on > today:
        problems.append(Problem("Z317", where, f"{said.on} is still to come",
                                "say the day of the test: --on"))
    due = next((each for each in found.due if each.key == (said.code, said.subject)), None)
    if due is None:
        problems.append(_not_due(found, said))
    if due is None or problems:
        raise ProblemsFound(problems)
    if said.accept_because:
        return _accepted(found, due, said)
    value = _value(due, said, today)
    return Reading(
        said.code, said.subject, said.on or today, said.by, value, said.not_tested,
        instrument=said.instrument, calibrated_on=said.calibrated_on, remark=said.remark)


def _not_due(found: CloseOut, said: ReadingSaid) -> Problem:
    where = Place(f"job {said.job}")
    subjects = [each.subject for each in found.due if each.code == said.code]
    if subjects:
        return Problem("Z313", where, f"{said.code} is not read of '{said.subject}'",
                       f"it is read of: {', '.join(subjects)}")
    codes = list(dict.fromkeys(each.code for each in found.due))
    return Problem("Z313", where, f"no reading '{said.code}' is due on this job",
                   suggestion(said.code, codes) or f"see: estimator closeout show {said.job}")


def _accepted(found: CloseOut, due: Due, said: ReadingSaid) -> Reading:
    """Return the reading as it was, with why it may stand, and who says so."""
    there = found.readings.get(due.key)
    if there is None or there.verdict != AMISS:
        now = "blank" if there is None else there.verdict
        raise ProblemsFound([Problem(
            "Z315", Place(f"job {said.job}"),
            f"{named(due)} is {now}: only what is not as expected is accepted",
            "say the reading first" if there is None else "nothing needs to be accepted")])
    return replace(there, accepted_because=said.accept_because, by=said.by,
                   remark=said.remark or there.remark)


def _value(due: Due, said: ReadingSaid, today: date) -> str:
    """Return the value in one way of writing.

    Raises:
        ProblemsFound: Z314 if it is none that is asked for, Z317, Z318.
    """
    value = said.value
    if not value:
        return ""
    for word in due.words:
        if value.lower() == word.lower():
            return word
    where = Place(f"job {said.job}")
    problems = _no_answer(due, value, where)
    if not problems:
        value = str(measured(value)) if due.entry.box == "number" else value
        problems = misread(
            Asked(due.entry.box, sign_of(due.entry.unit)), value, today, where)
    if problems:
        raise ProblemsFound(problems)
    return value


def _no_answer(due: Due, value: str, where: Place) -> list[Problem]:
    """Return what is wrong with a value that is none of the words."""
    match due.entry.box:
        case "number" if measured(value) is None:
            words = f", or: {', '.join(due.words)}" if due.words else ""
            return [Problem(
                "Z314", where, f"'{value}' is not what an instrument shows",
                f"digits and a decimal point, without the unit; >200 if it shows no more{words}")]
        case "day" if not _is_day(value):
            return [Problem("Z314", where, f"'{value}' is not a date",
                            "year-month-day, such as 2026-03-31")]
        case "yes" | "word":
            return [Problem("Z314", where, f"'{value}' is none of the words",
                            f"it may be: {', '.join(due.words)}")]
        case _:
            return []


def _is_day(value: str) -> bool:
    try:
        return date.fromisoformat(value).isoformat() == value
    except ValueError:
        return False
