"""Two jobs whose rails are cut together: what is bought, and what their pick sheets say of it.

By hand, with sticks of 3.3 m alone: the first job, two rows of two panels, has four lines of
2488 mm and leaves 809 mm of each of four sticks. The second, two rows of three, has four lines of
3642 mm: four whole sticks, and 4 x 342 mm out of a fifth. An offcut of 809 mm holds two of these
with their saw cuts of 3 mm, so two offcuts spare the fifth stick.
"""

from __future__ import annotations

import json
import re
import shutil
from datetime import UTC, date, datetime
from decimal import Decimal as D
from pathlib import Path
from typing import Any

import pytest

from catalogue.db import open_database, session
from estimator.workflow.job_states import Said, record
from estimator.workflow.picked import read_picked
from estimator.workflow.quote import QuoteRequest, quote
from estimator.workflow.returned import read_returned
from estimator.workflow.stock_sheet import SheetAsked, SheetMade, issue_sheet
from tests.chain.desk import run
from tests.van.desk import ROOT, all_picked, all_used, books, fill, key_of

FIRST, SECOND, RAIL = "D-201", "D-202", "02203-RL"
NOON = datetime(2026, 11, 12, 12, tzinfo=UTC)
DAYS = {FIRST: date(2026, 12, 4), SECOND: date(2026, 12, 9)}
SURVEY = ROOT / "demo_jobs" / "panels-and-storage" / "survey.toml"


def survey(job: str, columns: int) -> str:
    """Return the demo survey with two rows of so many panels."""
    text = SURVEY.read_text(encoding="utf-8").replace('id = "D-102"', f'id = "{job}"')
    for name, was, now in (("columns", 6, columns), ("panels", 12, 2 * columns)):
        text, found = re.subn(
            rf"(?m)^{name} = {{ value = {was},", f"{name} = {{ value = {now},", text)
        assert found == 1
    return text


@pytest.fixture(scope="module")
def accepted(starter_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database with both jobs accepted, for 4 and 9 December, and a store without a stick."""
    folder = tmp_path_factory.mktemp("joint")
    database = str(folder / "estimator.db")
    shutil.copy(starter_template, database)
    engine = open_database(database)
    with session(engine) as work:  # sticks of 4.4 m are not sold, so that the sums are small
        work.exec_driver_sql("update item set sold_apart = 0 where code = '02204-RL'")
        work.commit()
    engine.dispose()
    for job, columns in ((FIRST, 2), (SECOND, 3)):
        (folder / f"{job}.toml").write_text(survey(job, columns), encoding="utf-8")
        quote(QuoteRequest(folder / f"{job}.toml", date(2026, 11, 2), database,
                           write_papers=False))
        record(database, "accepted", Said(job, "R. Owner", needed_on=DAYS[job]), NOON)
    for typed in (("places", "--add", "store", "--kind", "store"),
                  ("places", "--add", "quarantine", "--kind", "quarantine")):
        assert run("stock", *typed, "--db", database).exit_code == 0
    return folder


@pytest.fixture
def store(accepted: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of one's own with that database."""
    shutil.copy(accepted / "estimator.db", tmp_path)
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ESTIMATOR_DB", raising=False)
    return tmp_path


def told(*typed: str) -> Any:
    done = run("stock", *typed, "--json")
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


def short() -> list[tuple[str, list[str]]]:
    """Return what must be ordered of the rail: how many, for which jobs."""
    found = told("short", "--until", "2026-12-31", "--on", "2026-11-27")
    return [(each["quantity"], each["jobs"]) for each in found["shortages"] if each["item"] == RAIL]


def sheet(job: str, **more: Any) -> SheetMade:
    return issue_sheet("estimator.db", SheetAsked(job, DAYS[job], **more), NOON, Path("out"))


def rails(made: SheetMade) -> list[tuple[str, str, str, str]]:
    return [(f"{row.pick}", row.lot, row.run.partition(",")[0], row.short)
            for row in made.sheet.rows if row.item == RAIL]


def rest_of(made: SheetMade) -> list[str]:
    return [row.rest for row in made.sheet.saw  # type: ignore[union-attr]
            if row.item == RAIL and row.rest]


def picked(made: SheetMade) -> None:
    assert made.file is not None
    Path("filled.xlsx").write_bytes(fill(made.file.read_bytes(), {"Pick": all_picked(made)}))
    read_picked("estimator.db", Path("filled.xlsx"), NOON, write=True)


def test_offcuts_of_one_job_spare_the_next_a_stick_from_order_to_return(store: Path) -> None:
    # Four and five sticks job by job; the fifth of the second job is not ordered.
    assert short() == [("4", [FIRST]), ("4", [SECOND])]
    placed = json.loads(run("orders", "place", "--until", "2026-12-31", "--on", "2026-11-27",
                            "--json").stdout)
    (line,) = [line for order in placed["orders"] for line in order["lines"]
               if line["item"] == RAIL]
    assert line["quantity"] == "8"
    told("receive", RAIL, "8", "--into", "store", "--cost", "126.40")
    assert short() == []

    # The sheet of the first job keeps two offcuts for the second, whose sheet names them.
    first = sheet(FIRST)
    assert rails(first) == [("4", "", "", "")]
    assert sorted(rest_of(first)) == [
        "809 mm, KEEP for job D-202", "809 mm, KEEP for job D-202", "809 mm, scrap",
        "809 mm, scrap"]
    kept = [row.bar for row in first.sheet.saw if "KEEP" in row.rest]  # type: ignore[union-attr]
    second = sheet(SECOND)
    assert rails(second) == [
        *(("1", "", "end of 0.809 m", f"comes back: offcut of {FIRST}, bar {bar}")
          for bar in kept), ("4", "", "", "")]
    assert [row.length_mm for row in second.sheet.saw  # type: ignore[union-attr]
            if "offcut of D-201" in row.bar] == [342] * 4

    # While they are out nothing is short; the sheet for what comes back asks for them.
    picked(first)
    assert short() == []
    back = sheet(FIRST, back=True)
    assert [(each.length_mm, each.job) for each in back.sheet.leaves] == [
        (809, SECOND), (809, SECOND)]
    assert back.file is not None
    Path("back.xlsx").write_bytes(fill(back.file.read_bytes(), {"Comes back": all_used(back) | {
        (key_of(back, RAIL), "Offcuts in m"): "0.809; 0.809"}}))
    read_returned("estimator.db", Path("back.xlsx"), NOON, write=True)
    assert short() == []

    # They lie in the store as ends: the second job picks them and four sticks, and is done.
    second = sheet(SECOND)
    assert rails(second) == [("4", "", "", ""), ("1", f"{RAIL}/1", "end of 0.809 m", ""),
                             ("1", f"{RAIL}/2", "end of 0.809 m", "")]
    picked(second)
    _, levels, faults = books()
    assert faults == []
    # By hand: 809 / 3300 = 0.245 of a stick each; 4 - 2 x 0.245 are used by the first job.
    assert {spot[1:]: n for spot, n in levels.items() if spot[0] == RAIL} == {
        (f"site {FIRST}", ""): D("3.51"), (f"site {SECOND}", ""): 4,
        (f"site {SECOND}", f"{RAIL}/1"): D("0.245"), (f"site {SECOND}", f"{RAIL}/2"): D("0.245")}
    assert told("check")["moves"] == len(books()[0])
    assert [line for line in told("show")["lines"] if line["item"] == RAIL and (
        line["reserved"], line["short"]) != ("0", "0")] == []


def test_a_job_may_be_cut_alone_and_then_the_next_one_is_short(store: Path) -> None:
    told("receive", RAIL, "8", "--into", "store", "--cost", "126.40")
    alone = sheet(FIRST, alone=True)
    assert rest_of(alone) == ["809 mm, scrap"] * 4
    picked(alone)
    assert short() == [("1", [SECOND])]
    assert rails(sheet(SECOND)) == [("1", "", "", "no more lies there"), ("4", "", "", "")]
