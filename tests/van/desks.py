"""The storekeeper's desk as fixtures; each database is made once and copied."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from pathlib import Path

import pytest

from estimator.workflow.picked import read_picked
from estimator.workflow.stock_sheet import SheetMade
from tests.van.desk import NOON, all_picked, fill, issued, make_desk


@dataclass(frozen=True)
class Desk:
    """A database, and the newest sheet that was issued from it with its workbook."""

    database: Path
    made: SheetMade
    book: bytes


@pytest.fixture(scope="session")
def stocked_template(starter_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database with job D-101 accepted and its goods on the shelves."""
    path = tmp_path_factory.mktemp("stocked") / "estimator.db"
    shutil.copy(starter_template, path)
    make_desk(str(path))
    return path


@pytest.fixture(scope="session")
def issued_template(stocked_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Desk:
    """The same with the pick sheet issued."""
    folder = tmp_path_factory.mktemp("issued")
    shutil.copy(stocked_template, folder / "estimator.db")
    made = issued(str(folder / "estimator.db"), folder)
    assert made.file is not None
    return Desk(folder / "estimator.db", made, made.file.read_bytes())


@pytest.fixture(scope="session")
def picked_template(issued_template: Desk, tmp_path_factory: pytest.TempPathFactory) -> Desk:
    """The same with all picked, and the sheet for what comes back issued."""
    folder = tmp_path_factory.mktemp("picked")
    database = folder / "estimator.db"
    shutil.copy(issued_template.database, database)
    (folder / "filled.xlsx").write_bytes(
        fill(issued_template.book, {"Pick": all_picked(issued_template.made)}))
    read_picked(str(database), folder / "filled.xlsx", NOON, write=True)
    made = issued(str(database), folder, back=True)
    assert made.file is not None
    return Desk(database, made, made.file.read_bytes())


@pytest.fixture
def desk(stocked_template: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with the stocked database in it."""
    return _copied(stocked_template, tmp_path, monkeypatch)


@pytest.fixture
def made(desk: Path) -> SheetMade:
    """The pick sheet of the job, as it was issued just now."""
    return issued("estimator.db", desk / "out")


@pytest.fixture
def out(issued_template: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Desk:
    """A folder of one's own in which the pick sheet has been issued."""
    _copied(issued_template.database, tmp_path, monkeypatch)
    return issued_template


@pytest.fixture
def on_site(picked_template: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Desk:
    """A folder of one's own in which all is picked and the sheet to bring back is issued."""
    _copied(picked_template.database, tmp_path, monkeypatch)
    return picked_template


def _copied(template: Path, folder: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    shutil.copy(template, folder / "estimator.db")
    monkeypatch.chdir(folder)
    monkeypatch.delenv("ESTIMATOR_DB", raising=False)
    return folder
