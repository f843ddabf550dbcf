"""Finished jobs as rows, without what made them: plan, hours, and that they were closed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import Connection, insert

from catalogue import db
from catalogue.tables import (
    JOB,
    JOB_EVENT,
    KEPT_TEXT,
    PLAN_LINE,
    QUOTED,
    REVISION,
    REVISION_BASIS,
    TIME_LINE,
)

NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
Key = tuple[str, str]


@dataclass(frozen=True)
class Finished:
    """One job: hours planned by (group, norm), minutes booked by (group, norm or "")."""

    job: str
    planned: Mapping[Key, str]
    minutes: Mapping[Key, int]
    crew: str = "A"
    covering: str = ""
    wall: str = ""
    closed: date = date(2026, 6, 1)
    events: tuple[str, ...] = ("accepted", "closed")
    norms: str = ""  # digest of the texts it was made with; "" = not kept
    about: Mapping[str, Any] = field(default_factory=dict)
    estimate: str = "{}"
    survey: str = "[job]\n"
    net_minor: int = 900_000


def keep(*jobs: Finished, database: str = "estimator.db") -> None:
    """Write jobs into a database that is there."""
    engine = db.open_database(database)
    with db.session(engine) as work:
        for job in jobs:
            _keep(work, job)
        work.commit()
    engine.dispose()


def keep_text(digest: str, text: str) -> None:
    """Keep a text that revisions were made with."""
    engine = db.open_database("estimator.db")
    with db.session(engine) as work:
        work.execute(insert(KEPT_TEXT).values(digest=digest, text=text))
        work.commit()
    engine.dispose()


def _keep(work: Connection, job: Finished) -> None:
    work.execute(insert(JOB).values(id=job.job, title=f"Job {job.job}", created_at=NOON))
    work.execute(insert(REVISION).values(
        job_id=job.job, number=1, on_date=NOON.date(), survey_text=job.survey,
        estimate_json=job.estimate, inputs_digest=job.job, made_at=NOON, kind="firm",
        net_minor=job.net_minor, currency="GBP"))
    about = {
        "kind_of_job": "panels and storage", "covering": job.covering, "wall": job.wall,
        "estimator": "E", "surveyor": "S", "lead_source": "", "area": "", "storeys": 2,
        "panels": 12, "modules": 2, "hours": Decimal(sum(map(Decimal, job.planned.values()))),
        "direct_minor": 700_000, "cost_minor": 760_000, "valid_until": job.closed, **job.about}
    work.execute(insert(QUOTED).values(job_id=job.job, number=1, **about))
    if job.norms:
        work.execute(insert(REVISION_BASIS).values(
            job_id=job.job, number=1, kind="norms", digest=job.norms))
    for at, ((group, norm), hours) in enumerate(job.planned.items(), start=1):
        work.execute(insert(PLAN_LINE).values(
            job_id=job.job, number=1, line=at, kind="labour", head="labour", code=norm,
            task_group=group, supplier="", quantity=Decimal(hours), amount_minor=1_000))
    for event in job.events:
        work.execute(insert(JOB_EVENT).values(
            job_id=job.job, revision=1, event=event, by="office", why="",
            at=datetime.combine(job.closed, NOON.timetz())))
    for (group, task), minutes in job.minutes.items():
        work.execute(insert(TIME_LINE).values(
            file_id=None, row=0, job_id=job.job, person="P", crew=job.crew, on_date=job.closed,
            begun="", ended="", minutes=minutes, task_group=group, task=task, cause="",
            rate_minor=4_398, amount_minor=minutes * 73, overhead_minor=minutes * 40,
            takes_back=None, at=NOON, by="office"))
