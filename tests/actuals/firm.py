"""A firm with four jobs, none of which needs an estimate: what was booked on them is looked at."""

from __future__ import annotations

import shutil
from datetime import UTC, date, datetime
from pathlib import Path

from sqlalchemy import insert

from catalogue.db import open_database, session
from catalogue.tables import JOB, JOB_EVENT, REVISION

TODAY = date(2026, 11, 20)
NOON = datetime(2026, 11, 2, 12, tzinfo=UTC)
# Job -> the steps it went through.
JOBS = {
    "00420": ("accepted",), "D-101": ("accepted",), "D-102": (), "D-103": ("accepted", "closed"),
    "D-104": ("accepted",), "D-105": ("declined",),
}


def make_firm(template: Path, folder: Path) -> str:
    """Lay a database with these jobs in a folder and return its path."""
    path = folder / "estimator.db"
    shutil.copy(template, path)
    engine = open_database(str(path))
    with session(engine) as work:
        for job, events in JOBS.items():
            work.execute(insert(JOB).values(id=job, title=f"job {job}", created_at=NOON))
            work.execute(insert(REVISION).values(
                job_id=job, number=1, on_date=NOON.date(), survey_text="", estimate_json="{}",
                inputs_digest=job, made_at=NOON, kind="firm", net_minor=898_500, currency="GBP"))
            for event in events:
                work.execute(insert(JOB_EVENT).values(
                    job_id=job, revision=1, event=event, at=NOON, by="R. Owner", why=""))
        work.commit()
    engine.dispose()
    return str(path)
