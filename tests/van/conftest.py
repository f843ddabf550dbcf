"""The storekeeper's desk as fixtures; the database is made once and copied."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from estimator.workflow.stock_sheet import SheetMade
from tests.van.desk import issued, make_desk


@pytest.fixture(scope="session")
def stocked_template(starter_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database with job D-101 accepted and its goods on the shelves."""
    path = tmp_path_factory.mktemp("stocked") / "estimator.db"
    shutil.copy(starter_template, path)
    make_desk(str(path))
    return path


@pytest.fixture
def desk(stocked_template: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with that database in it."""
    shutil.copy(stocked_template, tmp_path / "estimator.db")
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ESTIMATOR_DB", raising=False)
    return tmp_path


@pytest.fixture
def made(desk: Path) -> SheetMade:
    """The pick sheet of the job, as it was issued."""
    return issued("estimator.db", desk / "out")
