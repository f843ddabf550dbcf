"""The demo year, made once a run: the processes that share the tests wait for the first."""

from __future__ import annotations

import fcntl
import os
import pickle
import shutil
from dataclasses import dataclass
from pathlib import Path

import pytest

from demo_jobs.year.records import Year
from demo_jobs.year.writing import make_year
from estimator.review.report import Report
from estimator.workflow.review import ReviewRequest, review

SEED = 1


@dataclass(frozen=True)
class Made:
    """The firm's folder and the records it was written from."""

    folder: Path
    year: Year

    @property
    def database(self) -> str:
        return str(self.folder / "estimator.db")


@pytest.fixture(scope="session")
def demo_year(tmp_path_factory: pytest.TempPathFactory) -> Made:
    """The year of seed 1, to be read only."""
    base = tmp_path_factory.getbasetemp()
    run = base.parent if "PYTEST_XDIST_WORKER" in os.environ else base
    folder, records = run / "demo-year", run / "demo-year.pickle"
    with (run / "demo-year.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not records.exists():
            shutil.rmtree(folder, ignore_errors=True)  # of a process that was stopped
            records.write_bytes(pickle.dumps(make_year(SEED, folder)))
    return Made(folder, pickle.loads(records.read_bytes()))


@pytest.fixture(scope="session")
def reports(demo_year: Made) -> dict[str, Report]:
    """The reports on the whole year, seen from its last day."""
    year = demo_year.year
    made = review(ReviewRequest((year.first, year.last), year.last, demo_year.database),
                  lambda done, of: None)
    return {report.name: report for report in made.reports}
