"""The readings of a job in the database: what was said last, what is due, and new ones added.

Readings are never changed. A new one may change the verdict on those it stands beside, such as the
strings that are like it: they are then added again, as they were said, with the verdict of now.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from functools import partial

from sqlalchemy import Connection, func, insert, select

from catalogue.item_text import items_from
from catalogue.items import Item
from catalogue.tables import JOB_DAY, READING
from estimator.closing.clocks import last_day
from estimator.closing.design import Design
from estimator.closing.due import Due, DueFrom, due_readings
from estimator.closing.entries import all_entries
from estimator.closing.expected import Verdict
from estimator.closing.judging import Key, Said, judged
from estimator.closing.limits import Limits
from estimator.papers.contract import EstimateJson
from estimator.practice.pack import Practice
from estimator.workflow.closeout_design import design_of
from estimator.workflow.made_with import ITEMS, kept_texts

AMISS = "not as expected"


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading as it was entered; see `catalogue.tables.READING`."""

    code: str
    subject: str
    on: date
    by: str
    value: str = ""
    not_tested: str = ""
    accepted_because: str = ""
    instrument: str = ""
    calibrated_on: date | None = None
    conditions: str = ""
    remark: str = ""
    verdict: Verdict = "noted"

    @property
    def key(self) -> Key:
        """Return code and subject."""
        return self.code, self.subject


@dataclass(frozen=True)
class CloseOut:
    """A job's close-out: what is due on a day, and what was said last of each.

    Attributes:
        readings: with the verdict of now, not of the day they were entered.
    """

    estimate: EstimateJson
    design: Design
    limits: Limits
    due: tuple[Due, ...]
    readings: Mapping[Key, Reading]
    commissioned: date | None

    @property
    def blank(self) -> tuple[Due, ...]:
        """Return what is due and of which nobody has said anything."""
        return tuple(each for each in self.due if each.key not in self.readings)

    @property
    def amiss(self) -> tuple[tuple[Due, Reading], ...]:
        """Return what is not as expected, and nobody has said why it may stand."""
        return tuple(
            (each, found) for each in self.due
            if (found := self.readings.get(each.key)) is not None
            and found.verdict == AMISS and not found.accepted_because)


def designed(work: Connection, estimate: EstimateJson) -> Design:
    """Return what a kept revision says of its close-out."""
    return design_of(estimate, _items(work, estimate))


def _items(work: Connection, estimate: EstimateJson) -> Iterable[Item]:
    text = kept_texts(work, estimate.job.id, estimate.revision).get(ITEMS)
    try:
        return items_from(text) if text else ()
    except (ValueError, KeyError):  # of a version that this program no longer knows: unknown
        return ()


def close_out(work: Connection, estimate: EstimateJson, practice: Practice, on: date) -> CloseOut:
    """Return the close-out of a job by its accepted revision, at the limits of a day."""
    design, limits = designed(work, estimate), Limits(practice, on)
    day = commissioned_on(work).get(estimate.job.id)
    return _judged(CloseOut(
        estimate, design, limits, _due(design, limits, day), stored(work, estimate.job.id), day))


def _due(design: Design, limits: Limits, commissioned: date | None) -> tuple[Due, ...]:
    entries = all_entries()
    last = {} if commissioned is None else {
        each.code: found.day for each in entries if each.expect == "by"
        and (found := last_day(each, replace(limits, on=commissioned), commissioned)) is not None}
    return due_readings(DueFrom(entries, design, limits, last))


def _judged(found: CloseOut) -> CloseOut:
    verdicts = judged(found.due, {
        key: Said(each.value, each.not_tested) for key, each in found.readings.items()})
    return replace(found, readings={
        key: replace(each, verdict=verdicts.get(key, each.verdict))
        for key, each in found.readings.items()})


def commissioned_on(work: Connection) -> dict[str, date]:
    """Return job -> the day on which it was commissioned, as somebody said last."""
    day = JOB_DAY.c
    newest = (select(func.max(day.id)).where(day.what == "commissioned").group_by(day.job_id))
    rows = work.execute(
        select(day.job_id, day.on_date).where(day.id.in_(newest)).order_by(day.job_id))
    return {row.job_id: row.on_date for row in rows}


def stored(work: Connection, job: str) -> dict[Key, Reading]:
    """Return what was said last of each reading of a job, with the verdict of then."""
    rows = work.execute(select(READING).where(READING.c.job_id == job).order_by(READING.c.id))
    return {(row.code, row.subject): Reading(
        row.code, row.subject, row.on_date, row.by, row.value, row.not_tested,
        row.accepted_because, row.instrument, row.calibrated_on, row.conditions, row.remark,
        row.verdict) for row in rows}


def add_readings(
    work: Connection, before: CloseOut, new: Iterable[Reading], at: datetime
) -> CloseOut:
    """Add readings, each with its verdict; the caller commits.

    Returns:
        the close-out with them.
    """
    fresh = {each.key: each for each in new}
    after = _judged(replace(before, readings={**before.readings, **fresh}))
    then = stored(work, before.estimate.job.id)
    rows = [each for key, each in after.readings.items()
            if key in fresh or each.verdict != then[key].verdict]
    if rows:
        work.execute(insert(READING), list(map(
            partial(_row, before.estimate.job.id, _units(before), at), rows)))
    return after


def _units(found: CloseOut) -> Callable[[Key], str]:
    units = {each.key: each.entry.unit for each in found.due}
    return lambda key: units.get(key, "")


def _row(job: str, unit: Callable[[Key], str], at: datetime, each: Reading) -> dict[str, object]:
    amiss = each.verdict == AMISS
    return {
        "job_id": job, "code": each.code, "subject": each.subject, "value": each.value,
        "unit": unit(each.key), "not_tested": each.not_tested, "verdict": each.verdict,
        "accepted_because": each.accepted_because if amiss else "",
        "instrument": each.instrument, "calibrated_on": each.calibrated_on,
        "conditions": each.conditions, "remark": each.remark, "on_date": each.on,
        "at": at.astimezone(UTC).replace(microsecond=0), "by": each.by,
    }
