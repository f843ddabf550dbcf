"""Mistakes of `orders place`, `show`, `receive` and `cancel`, each with its whole message."""

from __future__ import annotations

import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import insert

from catalogue.db import open_database, session
from catalogue.tables import PLACE
from estimator.workflow.job_states import Said, record
from tests.chain.desk import DAY, SURVEY, quote, run
from tests.errors.test_commands import snapshot

TOLD = Path(__file__).parent / "orders_kept"
NOON = datetime(2026, 11, 2, 12, tzinfo=UTC)
SITE = ("--to-site", "--receiver", "R. Site")
SERIALS = ("--serial", "1=CV-1", "--serial", "2=MD-1", "--serial", "2=MD-2", "--serial", "2=MD-3")
# Name of the file with the message -> what is typed after `orders`, where the job is accepted,
# order 1 (sub-board) is placed, and order 2 (converter, three modules, lead) as well.
CASES = {
    "no-such-order": ("show", "7"),
    "all-on-order": ("place", "D-101", "--on", DAY),
    "no-place": ("place", "--item", "03025-TE=100", "--to", "stroe"),
    "quarantine": ("place", "--item", "03025-TE=100", "--to", "aside"),
    "no-receiver": ("place", "D-101", "--on", DAY, "--to-site"),  # and all is on order
    "shelf-to-site": ("place", "--item", "03025-TE=100", *SITE),
    "items": ("place", "--item", "03025-TX=100", "--item", "02902-MC=1.5",
              "--item", "03025-TE=1.0005"),
    "nobody-sells": ("place", "--item", "03025-TE=100", "--on", "2026-08-01"),
    "came-wrong": (
        "receive", "2", "--line", "1=2", "--line", "9=1", "--damaged", "3=0.5", "--price", "2=10",
        "--serial", "1=CV-1", "--serial", "3=PL-1"),
    "nothing-came": ("receive", "2"),
    "known-serial": ("receive", "2", "--line", "1=1", "--serial", "1=SB-1"),
    "batches": (
        "receive", "2", "--line", "3=1", "--batch", "1=B-1", "--batch", "3=SB-1", "--batch",
        "3=B-2", "--batch", "8=B-3", "--batch", "2=B-4"),
    "batch-without-goods": ("receive", "4", "--damaged", "1=1", "--batch", "1=B-5"),
    "another-last-day": ("receive", "4", "--line", "1=1", "--batch", "1=B-77@2027-04-01"),
    "finer-than-a-thousandth": ("receive", "3", "--line", "1=0.0001"),
}


@pytest.fixture
def firm(tmp_path: Path, starter_template: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    shutil.copy(starter_template, tmp_path / "estimator.db")
    shutil.copy(SURVEY, tmp_path / "survey.toml")
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ESTIMATOR_DB", raising=False)
    assert quote("--no-papers").exit_code == 0
    engine = open_database("estimator.db")
    with session(engine) as work:
        work.execute(insert(PLACE), [{"name": "store", "kind": "store", "note": ""},
                                     {"name": "aside", "kind": "quarantine", "note": ""}])
        work.commit()
    engine.dispose()
    return tmp_path


@pytest.fixture
def ordered(firm: Path) -> Path:
    record("estimator.db", "accepted", Said("D-101", "R. Owner"), NOON)
    done("place", "D-101", "--on", DAY, "--write")
    done("place", "--item", "03025-TE=100", "--on", DAY, "--write")
    done("place", "--item", "15010=12", "--on", DAY, "--write")
    done("receive", "4", "--line", "1=6", "--batch", "1=B-77@2027-03-31", "--write")
    with session(open_database("estimator.db")) as work:
        work.exec_driver_sql(
            "insert into lot (id, item_code, kind, made_at) "
            "values ('SB-1', '07105-SB', 'serial', '2026-11-02')")
        work.commit()
    return firm


def done(*typed: str) -> None:
    result = run("orders", *typed)
    assert result.exit_code == 0, result.output


def told(*typed: str) -> str:
    result = run("orders", *typed)
    assert result.exit_code == 1, result.output
    return result.stderr


def said(name: str) -> str:
    return (TOLD / f"{name}.txt").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", CASES)
def test_mistakes_are_told_in_these_words_and_change_nothing(ordered: Path, name: str) -> None:
    before = snapshot(ordered)
    write = ("--write",) if CASES[name][0] in ("place", "receive") else ()
    assert told(*CASES[name], *write) == said(name)
    after = snapshot(ordered)
    for side in ("-wal", "-shm"):
        after.pop(f"estimator.db{side}", None)
        before.pop(f"estimator.db{side}", None)
    assert after == before


def test_goods_of_a_job_that_is_not_accepted_are_not_ordered(firm: Path) -> None:
    assert told("place", "D-101", "--on", DAY) == said("open-job")
    record("estimator.db", "declined", Said("D-101", "R. Owner"), NOON)
    assert told("place", "D-101", "--on", DAY) == said("declined-job")


def test_nothing_comes_of_an_order_that_is_over_and_nothing_of_it_is_cancelled(
    ordered: Path,
) -> None:
    done("receive", "2", "--all", *SERIALS, "--write")
    done("cancel", "1", "--why", "not needed")
    assert told("receive", "2", "--all") == said("received")
    assert told("receive", "1", "--line", "1=1") == said("cancelled")
    assert told("cancel", "2") == said("cancel-received")


def test_without_any_order_the_way_to_the_first_is_told(firm: Path) -> None:
    assert told("show", "1") == said("no-order-yet")


def test_every_code_has_its_words() -> None:
    texts = "".join(path.read_text(encoding="utf-8") for path in TOLD.glob("*.txt"))
    every = ["Y301", "Y302", "Y303", "Y304", "Y305", "Y306", "Y307",
             "Y311", "Y312", "Y313", "Y314", "Y315", "Y316", "Y317", "Y318", "Y321"]
    assert [code for code in every if f" error {code}: " not in texts] == []
