"""Mistakes of `estimator orders split`, each with its whole message, all told at once."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from sqlalchemy import update

from catalogue.db import open_database, session
from catalogue.tables import OFFER
from tests.chain.desk import DAY, SURVEY, quote, run
from tests.errors.test_commands import snapshot

TOLD = Path(__file__).parent / "orders"
# Name of the file with the message -> what is typed after the job.
CASES = {
    "locks": (
        "--lock", "01136-OX=Storage Depot", "--lock", "07105-SB=Sign Workshop",
        "--lock", "01136-OU=General Wholesale", "--lock", "01136-OU=Storage Depot",
        "--lock", "01505-WF=Storage Depo", "--without", "Counter Nord"),
    "left-out": (
        "--without", "Storage Depot", "--without", "General Wholesale",
        "--lock", "03551-SE=Storage Depot"),
    "all-left-out": ("--without", "Storage Depot", "--without", "General Wholesale"),
    "too-late": ("--needed", "2026-11-04", "--hard"),
}


@pytest.fixture
def firm(tmp_path: Path, starter_template: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    shutil.copy(starter_template, tmp_path / "estimator.db")
    shutil.copy(SURVEY, tmp_path / "survey.toml")
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ESTIMATOR_DB", raising=False)
    assert quote().exit_code == 0
    return tmp_path


def told(*typed: str) -> str:
    result = run("orders", "split", "D-101", "--on", DAY, *typed)
    assert result.exit_code == 1, result.output
    return result.stderr


@pytest.mark.parametrize("name", CASES)
def test_mistakes_are_told_in_these_words_and_change_nothing(firm: Path, name: str) -> None:
    before = snapshot(firm)
    assert told(*CASES[name]) == (TOLD / f"{name}.txt").read_text(encoding="utf-8")
    after = snapshot(firm)
    for side in ("-wal", "-shm"):
        after.pop(f"estimator.db{side}", None)
        before.pop(f"estimator.db{side}", None)
    assert after == before


def test_a_line_that_nobody_sells_any_more_is_told(firm: Path) -> None:
    with session(open_database("estimator.db")) as work:
        work.execute(update(OFFER).where(OFFER.c.item_code == "07105-SB").values(
            withdrawn_at=OFFER.c.entered_at))
        work.commit()
    assert told() == (TOLD / "nobody-sells.txt").read_text(encoding="utf-8")


def test_a_job_without_goods_is_told(firm: Path) -> None:
    with session(open_database("estimator.db")) as work:
        work.exec_driver_sql(  # past the guard that a revision is written once
            """update revision set estimate_json
               = replace(estimate_json, '"held": "job"', '"held": "stock"')""")
        work.commit()
    assert told() == (TOLD / "no-goods.txt").read_text(encoding="utf-8")


def test_every_code_has_its_words() -> None:
    texts = "".join(path.read_text(encoding="utf-8") for path in TOLD.glob("*.txt"))
    assert [code for code in ("E201", "E202", "E203", "E204", "E205", "E206", "E207", "E208")
            if f" error {code}: " not in texts] == []
