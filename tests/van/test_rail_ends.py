"""Ends of rails: taken in, cut for a job, named on its pick sheet, brought back, worth their share.

The job is D-102: its bill asks for 6 sticks of 3.3 m and 2 of 4.4 m. By its cut list the sticks of
4.4 m and four of 3.3 m stay whole, and two of 3.3 m are sawn into 2704 + 504 mm with 3 mm for the
saw. A stick of 3.3 m costs 15.80; a metre of an end is reckoned at half of that a metre, 2.39.
"""

from __future__ import annotations

import json
import shutil
from datetime import UTC, date, datetime
from decimal import Decimal as D
from pathlib import Path
from typing import Any

import pytest

from catalogue.db import open_database, session
from catalogue.stock_reserving import reserved
from estimator.workflow.job_states import Said, record
from estimator.workflow.picked import read_picked
from estimator.workflow.quote import QuoteRequest, quote
from estimator.workflow.returned import read_returned
from estimator.workflow.stock_sheet import SheetAsked, SheetMade, issue_sheet
from tests.chain.desk import run
from tests.van.desk import ROOT, all_picked, all_used, books, fill, key_of, problems_of

JOB, RAIL, LONG = "D-102", "02203-RL", "02204-RL"
SITE = f"site {JOB}"
NOON, DAY = datetime(2026, 11, 12, 12, tzinfo=UTC), date(2026, 12, 4)
SURVEY = ROOT / "demo_jobs" / "panels-and-storage" / "survey.toml"
GOOD, OFFCUTS = "Back, good", "Offcuts in m"


@pytest.fixture(scope="module")
def accepted(starter_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database with the job accepted, its rails in the store, and a van."""
    path = tmp_path_factory.mktemp("rails") / "estimator.db"
    shutil.copy(starter_template, path)
    quote(QuoteRequest(SURVEY, date(2026, 11, 2), str(path), write_papers=False))
    record(str(path), "accepted", Said(JOB, "R. Owner", needed_on=DAY), NOON)
    for typed in (("places", "--add", "store", "--kind", "store"),
                  ("places", "--add", "van 1", "--kind", "van"),
                  ("receive", RAIL, "6", "--into", "store", "--cost", "94.80"),
                  ("receive", LONG, "2", "--into", "store", "--cost", "43.20")):
        done = run("stock", *typed, "--db", str(path))
        assert done.exit_code == 0, done.output
    return path


@pytest.fixture
def store(accepted: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of one's own with that database."""
    shutil.copy(accepted, tmp_path / "estimator.db")
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ESTIMATOR_DB", raising=False)
    return tmp_path


def told(*typed: str) -> Any:
    done = run("stock", *typed, "--json")
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


def take_in(*lengths: str, cost: str = "8.02") -> None:
    told("receive", RAIL, str(len(lengths)), "--into", "store", "--cost", cost,
         *(word for length in lengths for word in ("--length", length)))


def sheet(*, back: bool = False) -> SheetMade:
    return issue_sheet("estimator.db", SheetAsked(JOB, DAY, back), NOON, Path("out"))


def rails(made: SheetMade) -> list[tuple[str, str, str]]:
    """Return of each row of rails how many, of which lot, and what is said of a cut."""
    return [(f"{row.pick} {row.item}", row.lot, row.run) for row in made.sheet.rows
            if row.item in (RAIL, LONG) and not row.short]


def picked(made: SheetMade, more: dict[tuple[str, str], Any] | None = None) -> None:
    assert made.file is not None
    marks = all_picked(made) | (more or {})
    Path("filled.xlsx").write_bytes(fill(made.file.read_bytes(), {"Pick": marks}))
    read_picked("estimator.db", Path("filled.xlsx"), NOON, write=True)


def returned(made: SheetMade, more: dict[tuple[str, str], Any]) -> None:
    assert made.file is not None
    Path("back.xlsx").write_bytes(fill(
        made.file.read_bytes(), {"Comes back": all_used(made) | more}))
    read_returned("estimator.db", Path("back.xlsx"), NOON, write=True)


def still_reserved() -> dict[str, D]:
    engine = open_database("estimator.db")
    with session(engine, write=False) as work:
        found = {claim.item: claim.quantity for claim in reserved(work)}
    engine.dispose()
    return {item: found[item] for item in (RAIL, LONG) if item in found}


def test_an_end_is_no_stick_that_could_be_promised(store: Path) -> None:
    take_in("2.75", "0.6")
    (line,) = told("show", RAIL)["lines"]
    assert (line["on_hand"], line["reserved"], line["free"], line["ends"]) == ("6", "6", "0", 2)
    assert [(lot["lot"], lot["length_mm"], lot["free"]) for lot in line["lots"]] == [
        ("", None, "0"), (f"{RAIL}/1", 2750, "0"), (f"{RAIL}/2", 600, "0")]
    # By hand: 2750 / 3300 = 0.833 and 600 / 3300 = 0.181 of a stick, rounded down.
    assert books()[1][RAIL, "store", f"{RAIL}/1"] == D("0.833")
    assert books()[1][RAIL, "store", f"{RAIL}/2"] == D("0.181")


def test_an_end_is_counted_moved_and_lost_whole(store: Path) -> None:
    told("count", RAIL, "1", "--place", "store", "--lot", "end-7", "--length", "1.35", "--write")
    told("move", RAIL, "1", "--from", "store", "--to", "van 1", "--lot", "end-7")
    assert books()[1][RAIL, "van 1", "end-7"] == D("0.409")  # 1350 / 3300
    (line,) = told("count", RAIL, "0", "--place", "van 1", "--lot", "end-7", "--write")["lines"]
    # By hand: found at the average of the sticks, 15.80 x 0.409 = 6.46, and lost at the same.
    assert (line["difference"], line["value_minor"]) == ("-1", -646)
    _, levels, faults = books()
    assert faults == []
    assert (RAIL, "van 1", "end-7") not in levels


def test_the_pick_sheet_names_the_ends_and_what_is_cut_from_them(store: Path) -> None:
    assert rails(sheet()) == [(f"6 {RAIL}", "", ""), (f"2 {LONG}", "", "")]
    take_in("2.75", "0.6")
    made = sheet()
    # By hand: the end of 2.75 m holds 2704 + 3 mm, that of 0.6 m 504 + 3 mm: one stick less.
    first, second = (row.bar.partition(": ")[0] for row in made.sheet.saw  # type: ignore[union-attr]
                     if RAIL + "/" in row.bar)
    assert rails(made) == [
        (f"5 {RAIL}", "", ""),
        (f"1 {RAIL}", f"{RAIL}/1", f"end of 2.75 m, bar {first}: see Cuts"),
        (f"1 {RAIL}", f"{RAIL}/2", f"end of 0.6 m, bar {second}: see Cuts"), (f"2 {LONG}", "", "")]
    assert [(row.bar.partition(": ")[2], row.length_mm, row.mark_mm, row.rest)
            for row in made.sheet.saw if RAIL + "/" in row.bar] == [  # type: ignore[union-attr]
        (f"{RAIL}/1", 2704, 2704, "43 mm, scrap"), (f"{RAIL}/2", 504, 504, "93 mm, scrap")]
    picked(made)
    _, levels, faults = books()
    assert faults == []
    assert {spot: n for spot, n in levels.items() if spot[0] == RAIL} == {
        (RAIL, "store", ""): 1, (RAIL, SITE, ""): 5, (RAIL, SITE, f"{RAIL}/1"): D("0.833"),
        (RAIL, SITE, f"{RAIL}/2"): D("0.181")}
    assert still_reserved() == {}  # the stick in whose place the ends went is free again
    (line,) = told("show", RAIL)["lines"]
    assert (line["on_hand"], line["free"]) == ("1", "1")
    assert rails(sheet()) == []  # nothing of rails is left to be picked


def test_the_cut_list_uses_ends_that_lie_in_stock(store: Path) -> None:
    take_in("2.75", "0.6")
    found = json.loads(run("jobs", "cuts", JOB, "--from-stock", "--json").stdout)
    (line,) = [each for each in found["lines"] if RAIL in each["items"]]
    assert [(each["mark"], each["length_mm"]) for each in line["used"]] == [
        (f"{RAIL}/1 in store", 2750), (f"{RAIL}/2 in store", 600)]


def test_an_end_that_is_left_behind_leaves_its_stick_wanted(store: Path) -> None:
    take_in("2.75", "0.6")
    made = sheet()
    first, second = (key_of(made, RAIL, part) for part in (2, 3))
    picked(made, {(first, "Picked"): 0, (second, "Picked"): 0})
    assert still_reserved() == {RAIL: 1}
    assert rails(sheet())[0][:2] == (f"1 {RAIL}", f"{RAIL}/1")


def test_an_end_that_somebody_else_took_is_told_and_nothing_moves(store: Path) -> None:
    take_in("2.75", "0.6")
    made = sheet()
    told("count", RAIL, "0", "--place", "store", "--lot", f"{RAIL}/1", "--write")
    before = books()
    assert made.file is not None
    Path("filled.xlsx").write_bytes(fill(made.file.read_bytes(), {"Pick": all_picked(made) | {
        (key_of(made, RAIL), "Serial, batch or drum"): f"{RAIL}/2"}}))
    found = problems_of(
        lambda: read_picked("estimator.db", Path("filled.xlsx"), NOON, write=True))
    assert [(each.code, each.says) for each in found] == [
        ("Y227", f"'{RAIL}/2' is one end of {RAIL}, and 5 are written here"),
        ("Y223", f"the end '{RAIL}/1' of {RAIL} does not lie in 'store' any more")]
    assert books() == before


def test_offcuts_of_sticks_and_of_ends_come_back_as_ends_worth_their_share(store: Path) -> None:
    take_in("2.75", "0.6")
    picked(sheet())
    made = sheet(back=True)
    stick, end = key_of(made, RAIL), key_of(made, RAIL, 2)
    # One stick comes back whole, one is sawn and 1.9 m of it are kept, and 1 m of the long end.
    returned(made, {(stick, GOOD): 1, (stick, OFFCUTS): "1.9", (end, OFFCUTS): "1"})
    _, levels, faults = books()
    assert faults == []
    # By hand: 1900 / 3300 = 0.575, 1000 / 3300 = 0.303; 5 - 1 - 0.575 and 0.833 - 0.303 are used.
    assert {spot[1:]: n for spot, n in levels.items() if spot[0] == RAIL} == {
        ("store", ""): 2, ("store", f"{RAIL}/3"): D("0.575"), ("store", f"{RAIL}/4"): D("0.303"),
        (SITE, ""): D("3.425"), (SITE, f"{RAIL}/1"): D("0.53"), (SITE, f"{RAIL}/2"): D("0.181")}
    lots = {lot["lot"]: lot["length_mm"] for lot in told("show", RAIL)["lines"][0]["lots"]}
    assert (lots[f"{RAIL}/3"], lots[f"{RAIL}/4"]) == (1900, 1000)
    # 94.80 + 8.02 = 102.82 were paid for 7.014 sticks; 6.014 went out, 1.878 of them came back.
    (used,) = [line for line in told("used", JOB)["lines"] if line["item"] == RAIL]
    (held,) = [line for line in told("worth")["lines"] if line["item"] == RAIL]
    assert (used["used"], used["cost"] + held["average_minor"]) == ("4.136", 10_282)
    assert abs(used["cost"] - 10_282 * D("4.136") / D("7.014")) <= 1
    # What stayed of the end is used; the stick that came back is wanted again, an end instead.
    assert f"{RAIL}/1" not in [row.lot for row in sheet(back=True).sheet.rows]
    assert [(what, lot) for what, lot, _ in rails(sheet())] == [(f"1 {RAIL}", "")]


@pytest.mark.parametrize(("marks", "says"), [
    ({OFFCUTS: "3.3"}, "3.3 m is no offcut of 02203-RL"),
    ({OFFCUTS: "0.003"}, "0.003 m is no offcut of 02203-RL"),
    ({GOOD: 5, OFFCUTS: "1.2; 2.2"}, "3.4 m of offcuts are said to be back, and 1 of 3.3 m were "
     "sawn"),
    ({GOOD: 7}, "7 02203-RL are said to be back, and 6 were out"),
    ({OFFCUTS: "1,2"}, "'1,2' is not a length in metres"),
])
def test_offcuts_that_cannot_be_are_told(
    marks: dict[str, Any], says: str, store: Path
) -> None:
    picked(sheet())
    made, before = sheet(back=True), books()
    assert made.file is not None
    written = all_used(made) | {(key_of(made, RAIL), title): each for title, each in marks.items()}
    Path("back.xlsx").write_bytes(fill(made.file.read_bytes(), {"Comes back": written}))
    (problem,) = problems_of(
        lambda: read_returned("estimator.db", Path("back.xlsx"), NOON, write=True))
    assert problem.says == says
    assert books() == before
