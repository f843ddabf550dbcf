"""Mistakes about the stock, each with its whole message, all told at once; nothing is changed.

`stock/NAME.txt` is the whole message; each was gone through by hand.
"""

from __future__ import annotations

import shutil
from datetime import UTC, datetime
from decimal import Decimal as D
from pathlib import Path

import pytest
from sqlalchemy import insert, update

from catalogue.db import open_database, session
from catalogue.stock.posting import Posted
from catalogue.stock_books import load_stock, stored_moves
from catalogue.stock_reserving import reserved
from catalogue.tables import LEVEL, PLACE, RESERVATION
from tests.chain.desk import quote, run

TOLD = Path(__file__).parent / "stock"
CLIP, CABLE, MODULE, SEALANT, RAIL = "02902-MC", "03025-TE", "01505-WF", "15010", "02203-RL"
POSTED = Posted("storekeeper", datetime(2026, 11, 2, 9, tzinfo=UTC))
# Name of the file with the message -> what is typed after `estimator stock`.
CASES = {
    "place-twice": ("places", "--add", "store", "--kind", "van"),
    "place-of-a-job": ("places", "--add", "site D-102", "--kind", "store"),
    "receive": ("receive", "02902-MX", "0", "--into", "stor", "--cost", "1"),
    "receive-half": ("receive", CLIP, "0.5", "--into", "site D-101", "--cost", "1"),
    "receive-pieces": ("receive", CABLE, "100", "--into", "store", "--cost", "1", "--length", "60",
                       "--batch", "B-1", "--expires", "2027-01-31"),
    "receive-unnamed": ("receive", MODULE, "2", "--into", "store", "--cost", "1"),
    "receive-serials": ("receive", MODULE, "2", "--into", "store", "--cost", "1",
                        "--serial", "S1", "--serial", "S1", "--expires", "2027-01-31"),
    "receive-batch": ("receive", SEALANT, "1", "--into", "store", "--cost", "1", "--batch", "B-77",
                      "--expires", "2027-06-30"),
    "receive-ends": ("receive", RAIL, "3", "--into", "store", "--cost", "1", "--length", "1.35",
                     "--length", "3.3"),
    "move": ("move", "02902-MX", "0", "--from", "stor", "--to", "site D-101"),
    "move-nowhere": ("move", CLIP, "1", "--from", "store", "--to", "store"),
    "move-short": ("move", CLIP, "12", "--from", "store", "--to", "van 1"),
    "move-none": ("move", CLIP, "2", "--from", "van 1", "--to", "store"),
    "move-which": ("move", CABLE, "10", "--from", "store", "--to", "van 1"),
    "move-part": ("move", RAIL, "2", "--from", "store", "--to", "van 1", "--lot", f"{RAIL}/1"),
    "move-no-lot": ("move", CABLE, "10", "--from", "store", "--to", "van 1", "--lot", "drum"),
    "count": ("count", "--file", "count.csv"),
    "count-columns": ("count", "--file", "count-columns.csv"),
    "count-cells": ("count", "--file", "count-cells.csv"),
    "count-ends": ("count", "--file", "count-ends.csv"),
    "count-worth": ("count", "15040", "5", "--place", "store"),
    "count-serial": ("count", MODULE, "1", "--place", "van 1", "--lot", "S1"),
    "count-site": ("count", CLIP, "5", "--place", "site D-101"),
    "shelf": ("shelf", CLIP, "--least", "2.5", "--order", "0"),
    "shelf-item": ("shelf", "02902-MX", "--least", "2", "--order", "3"),
    "shelf-costs": ("shelf", CLIP, "--order-cost", "0", "--holding", "0.2"),
    "shelf-unsold": ("shelf", "03501-CP", "--order-cost", "1", "--holding", "0.2", "--demand", "0"),
    "show": ("show", "02902-MX", "--place", "stor"),
    "reserve": ("reserve", "D-101",),
}


@pytest.fixture
def store(tmp_path: Path, starter_template: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    shutil.copy(starter_template, tmp_path / "estimator.db")
    for path in TOLD.glob("*.csv"):
        shutil.copy(path, tmp_path)
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ESTIMATOR_DB", raising=False)
    with session(open_database("estimator.db")) as work:
        work.execute(insert(PLACE), [
            {"name": name, "kind": kind, "note": ""} for name, kind in (
                ("store", "store"), ("van 1", "van"), ("site D-101", "site"))])
        work.commit()
    for typed in (
        (CLIP, "10", "--cost", "5.80"),
        (CABLE, "150", "--cost", "192", "--length", "100", "--length", "50"),
        (MODULE, "1", "--cost", "1450", "--serial", "S1"),
        (RAIL, "1", "--cost", "6", "--length", "1.35"),
        (SEALANT, "6", "--cost", "51", "--batch", "B-77", "--expires", "2027-05-31"),
    ):
        assert run("stock", "receive", *typed, "--into", "store").exit_code == 0
    return tmp_path


def told(*typed: str) -> str:
    result = run("stock", *typed)
    assert result.exit_code == 1, result.output
    return result.stderr


def books() -> tuple[object, ...]:
    with session(open_database("estimator.db"), write=False) as work:
        stock = load_stock(work)
        return stock.levels, stock.worth, stored_moves(work), reserved(work)


@pytest.mark.parametrize("name", CASES)
def test_mistakes_are_told_in_these_words_and_change_nothing(store: Path, name: str) -> None:
    if name == "reserve":
        shutil.copy(TOLD.parents[2] / "demo_jobs" / "storage-outside" / "survey.toml", store)
        assert quote("--no-papers").exit_code == 0
    before = books()
    assert told(*CASES[name]) == (TOLD / f"{name}.txt").read_text(encoding="utf-8")
    assert books() == before


def test_books_that_are_not_sound_are_told_in_these_words(store: Path) -> None:
    shutil.copy(TOLD.parents[2] / "demo_jobs" / "storage-outside" / "survey.toml", store)
    assert quote("--no-papers").exit_code == 0
    with session(open_database("estimator.db")) as work:
        work.execute(update(LEVEL).where(LEVEL.c.item_code == CLIP).values(quantity=D(11)))
        work.execute(insert(RESERVATION).values(
            job_id="D-101", revision=1, item_code=CLIP, quantity=D(2),
            needed_on=POSTED.at.date(), at=POSTED.at, by="", why=""))
        work.commit()
    message = told("check").replace(str(store), "FOLDER")
    assert message == (TOLD / "check.txt").read_text(encoding="utf-8")


def test_every_case_has_its_message_and_every_code_a_case() -> None:
    names = {path.stem for path in TOLD.glob("*.txt")}
    assert names == {*CASES, "check"}
    texts = "".join(path.read_text(encoding="utf-8") for path in TOLD.glob("*.txt"))
    codes = [f"Y{number}" for number in (*range(101, 113), *range(115, 122))]
    assert [code for code in codes if f" error {code}: " not in texts] == []
