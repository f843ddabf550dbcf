"""What the commands for closing out print, as text and as data."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from itertools import groupby
from typing import Any

from estimator.closing.clocks import Clock
from estimator.closing.due import JOB, Due
from estimator.closing.entries import NO, PACK
from estimator.papers.terminal import clean, table
from estimator.papers.words import DEFERRAL
from estimator.workflow.closeout_back import CloseOutRead
from estimator.workflow.closeout_readings import CloseOut, Reading
from estimator.workflow.closeout_sheet import CloseOutMade
from estimator.workflow.closeout_show import JobClocks


def sheet_data(made: CloseOutMade) -> dict[str, Any]:
    """Return a sheet that was issued, as data."""
    return {"sheet": made.issued.name, "digest": made.issued.digest, "new": made.new,
            "file": str(made.file), **made.sheet.model_dump(mode="json")}


def sheet_text(made: CloseOutMade) -> str:
    """Return what is said of a sheet that was issued."""
    old = "" if made.new else " (issued before, nothing has changed)"
    return (f"Sheet {made.issued.name}, revision {made.sheet.revision}{old}: {made.file}\n"
            f"  {len(made.sheet.rows)} readings and ticks; strings are live whenever lit, storage "
            f"cannot be made dead\n  {DEFERRAL}")


def reading_data(each: Reading) -> dict[str, Any]:
    """Return a reading as data."""
    return {
        "code": each.code, "subject": each.subject, "value": each.value,
        "not_tested": each.not_tested, "verdict": each.verdict,
        "accepted_because": each.accepted_because, "instrument": each.instrument,
        "calibrated_on": str(each.calibrated_on) if each.calibrated_on else None,
        "conditions": each.conditions, "remark": each.remark, "on": str(each.on), "by": each.by,
    }


def reading_text(each: Reading) -> str:
    """Return one reading with its verdict."""
    value = each.value or f"not tested because {each.not_tested}"
    told = f"{_name(each.code, each.subject)}: {value}"
    told += f", {each.verdict}" if each.value else ""
    told += f"; may stand because {each.accepted_because}" if each.accepted_because else ""
    return clean(f"{told} ({each.by}, {each.on})")


def read_data(found: CloseOutRead) -> dict[str, Any]:
    """Return what a sheet says, as data."""
    return {"sheet": found.name, "by": found.by, "written": found.written,
            "new": [reading_data(each) for each in found.new], **_left(found.after)}


def read_text(found: CloseOutRead) -> str:
    """Return what a sheet says."""
    if not found.new:
        return f"Sheet {found.name} says nothing that was not read before."
    lines = [f"Sheet {found.name}, tested by {clean(found.by)}: {len(found.new)} readings"]
    lines += [f"  {reading_text(each)}" for each in found.new if each.verdict == "not as expected"]
    lines += [f"  {reading_text(each)}" for each in found.new if each.verdict == "not tested"]
    lines.append(f"  still blank: {len(found.after.blank)}")
    lines.append("Written." if found.written else "Nothing is written yet.")
    return "\n".join(lines)


def show_data(found: CloseOut) -> dict[str, Any]:
    """Return a close-out as data."""
    return {
        "job": found.estimate.job.id, "revision": found.estimate.revision,
        "commissioned_on": str(found.commissioned) if found.commissioned else None,
        **_left(found),
        "readings": [_due_data(due, found.readings.get(due.key)) for due in found.due],
    }


def _left(found: CloseOut) -> dict[str, Any]:
    return {
        "blank": [{"code": due.code, "subject": due.subject} for due in found.blank],
        "amiss": [reading_data(reading) for _, reading in found.amiss],
        "missing_in_pack": [due.code for due in _missing(found)],
    }


def _due_data(due: Due, reading: Reading | None) -> dict[str, Any]:
    return {
        "code": due.code, "subject": due.subject, "group": due.entry.group.name,
        "read": due.entry.read, "unit": due.entry.unit, "expected": due.expected.words,
        "tolerance": due.expected.tolerance, "who": due.entry.group.who,
        "source": due.entry.source, "standing": due.entry.standing,
        "reading": None if reading is None else reading_data(reading),
    }


def _missing(found: CloseOut) -> Iterator[Due]:
    """Yield what the handover pack lacks: nothing said, no, or left out for a reason."""
    for due in found.due:
        reading = found.readings.get(due.key)
        if due.entry.group.name == PACK and (
                reading is None or reading.value in ("", NO)):
            yield due


def show_text(found: CloseOut, *, whole: bool) -> str:
    """Return what of a close-out is open; with `whole` every reading."""
    said = len(found.due) - len(found.blank)
    lines = [f"CLOSE-OUT of job {found.estimate.job.id}, revision {found.estimate.revision}: "
             f"{said} of {len(found.due)} readings and ticks; commissioned "
             f"{found.commissioned or 'on no day yet'}"]
    if whole:
        lines += _whole(found)
    if found.amiss:
        lines.append("Not as expected, and nobody has said why it may stand:")
        lines += [f"  {reading_text(reading)}; expected {due.expected.words or 'otherwise'}"
                  for due, reading in found.amiss]
    lines += _blank(found)
    missing = [due.entry.read for due in _missing(found)]
    if missing:
        lines.append("Missing in the handover pack:")
        lines += [f"  {each}" for each in missing]
    if not found.amiss and not found.blank:
        lines.append("Nothing is open.")
    return "\n".join([*lines, DEFERRAL])


def _whole(found: CloseOut) -> list[str]:
    rows = []
    for due in found.due:
        reading = found.readings.get(due.key)
        rows.append((due.code, "" if due.subject == JOB else due.subject,
                     reading.value if reading else "", due.entry.unit,
                     due.expected.words, reading.verdict if reading else "blank"))
    return table(rows, "llrlll", ("code", "of", "reading", "", "expected", "verdict"))


def _blank(found: CloseOut) -> Iterator[str]:
    if found.blank:
        yield "Blank:"
    for group, blank in groupby(found.blank, key=lambda due: due.entry.group.name):
        yield f"  {group}"
        for due in blank:
            yield f"    {_name(due.code, due.subject)}: {due.entry.read}"


def _name(code: str, subject: str) -> str:
    return code if subject == JOB else f"{code} of {subject}"


def clocks_data(found: Sequence[JobClocks], on: date, past: bool) -> dict[str, Any]:
    """Return the clocks as data."""
    return {"on": str(on), "jobs": [
        {"job": job.job, "title": job.title, "commissioned_on": str(job.commissioned),
         "clocks": [_clock_data(each, on) for each in job.clocks if each.is_past(on) or not past]}
        for job in found]}


def _clock_data(each: Clock, on: date) -> dict[str, Any]:
    return {
        "code": each.code, "name": each.name,
        "last_day": str(each.last) if each.last else None,
        "stopped_on": str(each.stopped) if each.stopped else None,
        "past": each.is_past(on), "late": each.was_late,
        "days_left": (each.last - on).days if each.last and not each.stopped else None,
        "why_not": each.why_not, "source": each.source,
        "years_without_holidays": list(each.unlisted),
    }


def clocks_text(found: Sequence[JobClocks], on: date, past: bool) -> str:
    """Return the clocks of every job, and how many are past their day."""
    rows = [(job.job, str(job.commissioned), each.name, str(each.last or "not stated"),
             _stands(each, on), clean(each.why_not))
            for job in found for each in job.clocks if each.is_past(on) or not past]
    if not found:
        return "No clock runs: nothing is commissioned whose papers are not all out."
    late = sum(each.is_past(on) for job in found for each in job.clocks)
    unlisted = sorted({year for job in found for each in job.clocks for year in each.unlisted})
    lines = table(rows, "llllll", ("job", "commissioned", "paper", "last day", "", "why not"))
    lines.append(f"{late} past their day on {on}")
    lines += [f"No public holidays are entered for {year}: a day may be due later than shown"
              for year in unlisted]
    return "\n".join(lines)


def _stands(each: Clock, on: date) -> str:
    if each.stopped is not None:
        return f"done {each.stopped}{', late' if each.was_late else ''}"
    if each.last is None:
        return "runs"
    left = (each.last - on).days
    days = "day" if abs(left) == 1 else "days"
    return f"PAST by {-left} {days}" if left < 0 else f"runs, {left} {days} left"
