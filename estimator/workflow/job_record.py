"""The whole record of a job: revisions, answers, days, variations, and how much else is kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import Connection, Table, func, select

from catalogue.tables import (
    CUSTOMER_PAYMENT,
    INVOICE_LINE,
    JOB,
    JOB_DAY,
    JOB_EVENT,
    PLAN_LINE,
    READING,
    REVISION,
    TIME_LINE,
    VARIATION,
    VARIATION_EVENT,
)
from estimator.outcome.variation import Variation
from estimator.workflow.database import at_work
from estimator.workflow.job_days import DaySaid, Stands, stands_of
from estimator.workflow.job_states import held_job
from estimator.workflow.jobs import revision_number
from estimator.workflow.varying import as_variation

_COUNTED: Mapping[str, Table] = {
    "lines of hours": TIME_LINE, "lines of bills": INVOICE_LINE, "payments": CUSTOMER_PAYMENT,
    "readings": READING}


@dataclass(frozen=True, slots=True)
class RevisionKept:
    """A revision; the plan is the sum of its plan lines, None where it was never accepted."""

    number: int
    prices_of: date
    kind: str
    net_minor: int
    plan_minor: int | None


@dataclass(frozen=True, slots=True)
class AnswerKept:
    """What became of a quote, or of an accepted job."""

    event: str
    revision: int
    at: datetime
    by: str
    why: str


@dataclass(frozen=True, slots=True)
class VariationKept:
    """A variation and what the customer said of it; `answer` "" while it is open."""

    variation: Variation
    answer: str = ""
    on: date | None = None
    writing: str = ""
    by: str = ""


@dataclass(frozen=True)
class JobRecord:
    """All that is kept of a job, each part in the order in which it was recorded.

    Attributes:
        accepted: the revision that stands accepted; None while none does.
        chain: the variations that led to it, oldest first; they begin at the revision that was
            accepted first.
        counts: what else is kept of the job -> how many.
    """

    job: str
    title: str
    stands: Stands
    currency: str
    accepted: int | None
    revisions: tuple[RevisionKept, ...]
    answers: tuple[AnswerKept, ...]
    days: tuple[DaySaid, ...]
    variations: tuple[VariationKept, ...]
    chain: tuple[Variation, ...]
    counts: Mapping[str, int]

    def net_of(self, number: int) -> int:
        """Return the net price of a revision."""
        return next(each.net_minor for each in self.revisions if each.number == number)


def job_record(database: str | None, job: str) -> JobRecord:
    """Return the whole record of a job.

    Raises:
        ProblemsFound: J001 if there is no such job.
    """
    with at_work(database) as work:
        revision_number(work, job)
        state = held_job(work, job)
        row = work.execute(
            select(JOB.c.title, REVISION.c.currency).join(REVISION, REVISION.c.job_id == JOB.c.id)
            .where(JOB.c.id == job).limit(1)).one()
        days, variations = _days(work, job), _variations(work, job)
        accepted = state.revision if state.state in ("accepted", "closed") else None
        return JobRecord(
            job, row.title, stands_of(state.state, {day.what for day in days}), row.currency,
            accepted, _revisions(work, job), _answers(work, job), days, variations,
            _chain(accepted, variations), _counts(work, job))


def _revisions(work: Connection, job: str) -> tuple[RevisionKept, ...]:
    r, p = REVISION.c, PLAN_LINE.c
    plan = (select(func.sum(p.amount_minor)).where(p.job_id == r.job_id, p.number == r.number)
            .scalar_subquery())
    return tuple(
        RevisionKept(row.number, row.on_date, row.kind, row.net_minor,
                     None if row.plan is None else int(row.plan))
        for row in work.execute(
            select(r.number, r.on_date, r.kind, r.net_minor, plan.label("plan"))
            .where(r.job_id == job).order_by(r.number)))


def _answers(work: Connection, job: str) -> tuple[AnswerKept, ...]:
    e = JOB_EVENT.c
    return tuple(
        AnswerKept(row.event, row.revision, row.at, row.by, row.why)
        for row in work.execute(select(JOB_EVENT).where(e.job_id == job).order_by(e.id)))


def _days(work: Connection, job: str) -> tuple[DaySaid, ...]:
    d = JOB_DAY.c
    return tuple(
        DaySaid(job, row.what, row.on_date, row.by, row.why, row.crew, row.chance_percent)
        for row in work.execute(select(JOB_DAY).where(d.job_id == job).order_by(d.id)))


def _variations(work: Connection, job: str) -> tuple[VariationKept, ...]:
    v, e = VARIATION.c, VARIATION_EVENT.c
    answers = {row.number: row for row in work.execute(
        select(VARIATION_EVENT).where(e.job_id == job).order_by(e.id))}
    kept = []
    for row in work.execute(select(VARIATION).where(v.job_id == job).order_by(v.number)):
        said = answers.get(row.number)
        kept.append(VariationKept(as_variation(row)) if said is None else VariationKept(
            as_variation(row), said.event, said.on_date, said.writing, said.by))
    return tuple(kept)


def _chain(accepted: int | None, variations: tuple[VariationKept, ...]) -> tuple[Variation, ...]:
    led_to = {each.variation.after: each.variation for each in variations
              if each.answer == "agreed"}
    found: list[Variation] = []
    at = accepted
    while at is not None and at in led_to:
        found.append(led_to[at])
        at = led_to[at].before
    return tuple(reversed(found))


def _counts(work: Connection, job: str) -> dict[str, int]:
    return {name: work.scalar(select(func.count()).select_from(table)
                              .where(table.c.job_id == job)) or 0
            for name, table in _COUNTED.items()}
