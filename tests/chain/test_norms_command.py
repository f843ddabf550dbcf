"""Norms learned from finished jobs, accepted and used: as typed, in a firm's folder."""

from __future__ import annotations

import json
import shutil
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from catalogue.toml_source import read_toml
from estimator.labour.norms import STANDARD_NORMS, read_norms
from tests.chain.desk import DAY, SURVEY, run
from tests.chain.finished_jobs import Finished, keep, keep_text

LATER = "2026-12-01"
NORMS = {"hang-module": ("storage", "1.44"), "link": ("storage", "0.40"),
         "mount-converter": ("electrical", "2.00")}


def finished(number: int, slow: float = 1.5, **more: Any) -> Finished:
    """One of a row of jobs that scatter evenly by 4 % round what hanging took them."""
    luck = 1 + 0.04 * (number % 3 - 1)
    times = {"hang-module": slow, "link": 1.0, "mount-converter": 1.0}
    fields: dict[str, Any] = {
        "job": f"F-{number:02}", "crew": "AB"[number % 2], "wall": "dense brick",
        "closed": date(2026, 6, 1) + timedelta(days=number),
        "planned": {(group, norm): hours for norm, (group, hours) in NORMS.items()},
        "minutes": {(group, norm): round(60 * float(hours) * times[norm] * luck)
                    for norm, (group, hours) in NORMS.items()} | {("waiting", ""): 90},
        **more}
    return Finished(**fields)


@pytest.fixture
def firm(tmp_path: Path, starter_template: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv("ESTIMATOR_DB", raising=False)
    monkeypatch.chdir(tmp_path)
    assert run("start", "firm").exit_code == 0
    shutil.copy(starter_template, tmp_path / "firm" / "estimator.db")
    shutil.copy(SURVEY, tmp_path / "firm" / "survey.toml")
    monkeypatch.chdir(tmp_path / "firm")
    return tmp_path / "firm"


def learn(*more: str) -> dict[str, Any]:
    result = run("norms", "learn", "--on", DAY, "--json", *more)
    assert result.exit_code == 0, result.output
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def by_id(found: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {each["id"]: each for each in found["norms"]}


def quoted(day: str) -> dict[str, Any]:
    result = run("quote", "survey.toml", "--on", day, "--no-papers", "--json")
    assert result.exit_code == 0, result.output
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def task(estimate: dict[str, Any], norm: str) -> dict[str, Any]:
    return next(each for each in estimate["tasks"] if each["task"] == norm)


def test_a_norm_is_learned_accepted_and_used_and_what_was_quoted_stays(firm: Path) -> None:
    before = quoted(DAY)
    keep(*(finished(number) for number in range(24)))
    found = learn("--out", "out/norms.toml")
    assert (found["closed"], found["jobs"], found["first"]) == (24, 24, "2026-06-01")
    hang = by_id(found)["hang-module"]
    assert (hang["verdict"], hang["by"], hang["jobs"]) == ("proposed", "task", 24)
    assert hang["measured"] == pytest.approx(1.5, abs=0.01)
    assert {each["verdict"] for name, each in by_id(found).items() if name != "hang-module"} == {
        "within chance"}
    assert found["crews"][0]["crew"] == "A"

    # What was proposed is 16 / 24 / 50 minutes times the likely ratio.
    done = run("norms", "accept", "out/norms.toml", "--name", "R. Owner", "--from", LATER, "--json")
    assert done.exit_code == 0, done.output
    (accepted,) = json.loads(done.stdout)["norms"]
    assert accepted["was"] == [16, 24, 50]
    assert accepted["minutes"] == [round(each * hang["likely"]) for each in (16, 24, 50)]
    text = (firm / "norms" / f"learned-{LATER}.toml").read_text(encoding="utf-8")
    assert "Accepted by R. Owner" in text

    # The day before it stays as it was, from that day on it is the new one.
    assert quoted("2026-11-30")["hours"] == before["hours"]
    after = quoted(LATER)
    low, _, _ = (3 * minutes for minutes in accepted["minutes"])  # three modules
    assert task(after, "hang-module")["low"] == low
    assert float(after["hours"]["mean"]) > float(before["hours"]["mean"])

    # The old revision, made again from what it was made with, costs what it cost: the only cause of
    # labour is the norm, and no step says that making it again changed anything.
    result = run("diff", "D-101", "1", str(after["revision"]), "--json")
    steps = json.loads(result.stdout)["steps"]
    causes = {change["cause"] for step in steps for change in step["changes"]}
    assert causes == {"day", "norm"}

    listed = json.loads(run("norms", "list", "hang", "--all", "--on", DAY, "--json").stdout)
    assert [(each["own"], each["holds"]) for each in listed] == [(False, True), (True, False)]
    held = json.loads(run("norms", "list", "hang", "--on", LATER, "--json").stdout)
    assert [(each["file"], each["from"]) for each in held] == [
        (f"norms/learned-{LATER}.toml", LATER)]

    # Jobs are held against the norms of the day: with the new ones nothing is left to learn.
    again = json.loads(run("norms", "learn", "--on", LATER, "--json").stdout)
    assert by_id(again)["hang-module"]["verdict"] == "within chance"


def test_only_jobs_that_are_closed_in_the_period_count(firm: Path) -> None:
    keep(*(finished(number) for number in range(10)),
         finished(10, events=("accepted",)),
         finished(11, events=("accepted", "closed", "accepted")), finished(12, minutes={}))
    assert (learn()["closed"], learn()["jobs"]) == (11, 10)
    found = learn("--from", "2026-06-02", "--to", "2026-06-05")
    assert (found["jobs"], found["first"], found["last"]) == (4, "2026-06-02", "2026-06-05")
    assert {each["verdict"] for each in found["norms"]} == {"too few jobs"}
    shown = run("norms", "learn", "--on", DAY).stdout
    assert "PROPOSED" in shown
    assert "hang or stack a storage module" in shown


def test_jobs_planned_by_other_norms_are_held_against_those_of_today(firm: Path) -> None:
    # They were planned at a mean of (8 + 4 x 12 + 25) / 6 = 13.5 minutes, half of today's 27.
    then = STANDARD_NORMS.read_text(encoding="utf-8").replace(
        "low = 16\nlikely = 24\nhigh = 50", "low = 8\nlikely = 12\nhigh = 25")
    keep_text("d" * 64, json.dumps({"norms.toml": then}))
    keep(*(finished(number, slow=2.0, norms="d" * 64) for number in range(12)))
    found = by_id(learn())
    assert found["hang-module"]["measured"] == pytest.approx(1.0, abs=0.01)
    assert {each["verdict"] for each in found.values()} == {"within chance"}


def test_a_proposal_is_a_file_of_norms_but_for_the_table_of_what_it_was_learned_from(
    firm: Path
) -> None:
    keep(*(finished(number) for number in range(24)))
    learn("--out", "norms.toml")
    source = read_toml(Path("norms.toml"))
    assert source.data.pop("learned")["was"] == {"hang-module": [16, 24, 50]}
    source.data["from"] = date(2027, 1, 1)
    (norm,) = read_norms([source]).values()
    standard = read_norms([read_toml(STANDARD_NORMS)])["hang-module"]
    assert (norm.name, norm.per, norm.crew, norm.group, norm.note) == (
        standard.name, standard.per, standard.crew, standard.group, standard.note)
    assert norm.source.startswith("learned from 24 jobs, closed 2026-06-01 to 2026-06-24; ")


def test_without_finished_jobs_nothing_is_said_of_any_norm(firm: Path) -> None:
    assert learn()["norms"] == []
    assert "Nothing to learn from" in run("norms", "learn").stdout
