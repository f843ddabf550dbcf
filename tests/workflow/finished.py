"""Finished jobs written straight into the tables, as the record of a firm would leave them."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import Connection, insert

from catalogue import tables

NOON = datetime(2026, 6, 30, 12, tzinfo=UTC)
# A standard of one line: goods for all that the job was reckoned to cost.
ONE_LINE = (("goods", "storage", "", "", Decimal(1), 850_000),)
_BY = {"at": NOON, "by": "a test"}


@dataclass(frozen=True)
class Worked:
    """Hours of one group: minutes, their cost and the office's share."""

    task_group: str
    minutes: int
    amount_minor: int
    overhead_minor: int = 0
    task: str = ""
    cause: str = ""
    crew: str = "A"
    on_date: date = date(2026, 6, 1)


@dataclass(frozen=True)
class Finished:
    """A job; what a test does not name is plausible. `plan` are (kind, head, code, task group,
    quantity, amount in minor units), `bills` (kind, head, supplier, net, cost in minor units)."""

    job: str
    on: date | None = date(2026, 6, 10)
    state: str = "closed"
    net_minor: int = 1_000_000
    standard_minor: int = 850_000
    hours: Decimal = Decimal(20)
    kind: str = "storage"
    covering: str = ""
    wall: str = "dense brick"
    crew: str = "A"
    estimator: str = "Sam Sample"
    area: str = "ZZ1"
    source: str = ""
    currency: str = "GBP"
    plan: tuple[tuple[str, str, str, str, Decimal, int], ...] = ()
    worked: tuple[Worked, ...] = ()
    bills: tuple[tuple[str, str, str, int, int], ...] = ()
    more: dict[str, Any] = field(default_factory=dict)

    def with_(self, **changed: Any) -> Finished:
        return replace(self, **changed)


def write(work: Connection, *jobs: Finished) -> None:
    """Write jobs with one revision each, its plan, days, hours and bills; the caller commits."""
    for job in jobs:
        _quote(work, job)
        _record(work, job)
        _costs(work, job)


def _quote(work: Connection, job: Finished) -> None:
    work.execute(insert(tables.JOB).values(id=job.job, title=job.job, created_at=NOON))
    work.execute(insert(tables.REVISION).values(
        job_id=job.job, number=1, on_date=date(2026, 5, 1), survey_text="", estimate_json="{}",
        inputs_digest="0" * 64, made_at=NOON, kind="firm", net_minor=job.net_minor,
        currency=job.currency))
    work.execute(insert(tables.QUOTED).values(**{
        "job_id": job.job, "number": 1, "kind_of_job": job.kind, "covering": job.covering,
        "wall": job.wall, "estimator": job.estimator, "surveyor": "", "lead_source": job.source,
        "area": job.area, "storeys": 2, "panels": 0, "modules": 2, "hours": job.hours,
        "direct_minor": job.standard_minor, "cost_minor": job.standard_minor,
        "valid_until": date(2026, 5, 31), **job.more}))
    for line, (kind, head, code, group, quantity, amount) in enumerate(job.plan, start=1):
        work.execute(insert(tables.PLAN_LINE).values(
            job_id=job.job, number=1, line=line, kind=kind, head=head, code=code,
            task_group=group, supplier="", quantity=quantity, amount_minor=amount))


def _record(work: Connection, job: Finished) -> None:
    for event in {"open": (), "accepted": ("accepted",), "declined": ("declined",)}.get(
            job.state, ("accepted", "closed")):
        work.execute(insert(tables.JOB_EVENT).values(
            job_id=job.job, revision=1, event=event, why="", **_BY))
    day(work, job.job, "planned", date(2026, 6, 1), crew=job.crew)
    if job.on is not None:
        day(work, job.job, "commissioned", job.on)


def day(work: Connection, job: str, what: str, on: date, crew: str = "",
        chance: int | None = None) -> None:
    """Write one day of a job."""
    work.execute(insert(tables.JOB_DAY).values(
        job_id=job, what=what, on_date=on, crew=crew, chance_percent=chance, why="", **_BY))


def _costs(work: Connection, job: Finished) -> None:
    for each in job.worked:
        work.execute(insert(tables.TIME_LINE).values(
            file_id=None, row=0, job_id=job.job, person="Pat", begun="", ended="", rate_minor=4000,
            takes_back=None, crew=each.crew, on_date=each.on_date, minutes=each.minutes,
            task_group=each.task_group, task=each.task, cause=each.cause,
            amount_minor=each.amount_minor, overhead_minor=each.overhead_minor, **_BY))
    for number, (kind, head, supplier, net, cost) in enumerate(job.bills, start=1):
        bill = work.execute(insert(tables.INVOICE).values(
            kind="invoice", supplier=supplier, number=f"{job.job}-{number}",
            on_date=date(2026, 6, 5), due_on=None, currency=job.currency, net_minor=net,
            tax_minor=0, file_name="", digest="", **_BY)).inserted_primary_key
        work.execute(insert(tables.INVOICE_LINE).values(
            invoice_id=bill[0] if bill else 0, line=1, kind=kind, head=head, job_id=job.job,
            order_number=None, order_line=None, item_code=None, name=head, quantity=Decimal(1),
            net_minor=net, cost_minor=cost))
