"""The days of a job are kept, and where it stands follows from them and from its answers."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from sqlalchemy import select

from catalogue import db
from catalogue.problems import ProblemsFound
from catalogue.tables import JOB_DAY, QUOTED
from estimator.workflow.job_days import DaySaid, record_day, stands_of
from estimator.workflow.job_list import listed_jobs
from estimator.workflow.job_states import Event, Said, record
from tests.chain.desk import quote, run
from tests.closed_out import all_said

JOB = "D-101"
AT = datetime(2026, 11, 30, 12, tzinfo=UTC)
ACCEPTED = datetime(2026, 11, 12, 12, tzinfo=UTC)


@pytest.fixture
def quoted(desk: Path) -> Path:
    assert quote("--no-papers").exit_code == 0
    return desk


def day(
    what: str, on: str, crew: str = "", chance: int | None = None, by: str = "B. Office"
) -> str:
    said = DaySaid(JOB, what, date.fromisoformat(on), by, "", crew, chance)  # type: ignore[arg-type]
    return record_day("estimator.db", said, AT).stands


def codes(what: str, on: str, **more: object) -> list[str]:
    with pytest.raises(ProblemsFound) as caught:
        day(what, on, **more)  # type: ignore[arg-type]
    return [each.code for each in caught.value.problems]


def answer(event: Event) -> None:
    if event == "closed":
        all_said("estimator.db", JOB, ACCEPTED)
    record("estimator.db", event, Said(JOB, "R. Owner"), ACCEPTED)


def listed() -> str:
    return listed_jobs("estimator.db")[0].stands


def test_a_job_goes_from_open_to_closed_in_plain_words(quoted: Path) -> None:
    assert listed() == "open"
    assert day("sent", "2026-11-03") == "sent"
    assert day("contacted", "2026-11-05", chance=60) == "sent"
    answer("accepted")
    assert listed() == "accepted"
    assert day("planned", "2027-01-11", "North") == "planned"
    assert day("begun", "2026-11-20") == "on site"
    assert day("commissioned", "2026-11-21") == "commissioned"
    assert listed() == "commissioned"
    answer("closed")
    assert listed() == "closed"


def test_what_was_said_is_kept_and_the_crew_that_was_planned_begins(quoted: Path) -> None:
    day("contacted", "2026-11-05", chance=0)
    answer("accepted")
    day("planned", "2026-12-01", " North ")
    day("begun", "2026-11-20")
    engine = db.open_database("estimator.db")
    with db.session(engine, write=False) as work:
        d = JOB_DAY.c
        rows = [tuple(row) for row in work.execute(
            select(d.what, d.on_date, d.crew, d.chance_percent, d.at, d.by).order_by(d.id))]
        assert work.execute(select(QUOTED.c.number)).scalar_one() == 1
    engine.dispose()
    assert rows == [
        ("contacted", date(2026, 11, 5), "", 0, AT, "B. Office"),
        ("planned", date(2026, 12, 1), "North", None, AT, "B. Office"),
        ("begun", date(2026, 11, 20), "North", None, AT, "B. Office")]


def test_days_that_make_no_sense_are_refused_all_at_once(quoted: Path) -> None:
    assert codes("begun", "2026-12-01", by=" ") == ["Z101", "Z102", "Z104", "Z108"]
    assert codes("contacted", "2026-11-01", chance=101) == ["Z103", "Z109"]
    assert codes("planned", "2027-01-01") == ["Z104"]
    answer("accepted")
    assert codes("contacted", "2026-11-13") == ["Z104"]
    assert codes("commissioned", "2026-11-20") == ["Z105"]
    day("begun", "2026-11-20", "North")
    assert codes("commissioned", "2026-11-19") == ["Z106"]
    assert codes("planned", "2026-12-20", crew="North") == ["Z107"]
    day("commissioned", "2026-11-21")
    assert codes("begun", "2026-11-22") == ["Z106"]
    answer("closed")
    assert codes("begun", "2026-11-20") == ["Z104"]


def test_of_days_that_are_told_again_the_newest_holds(quoted: Path) -> None:
    answer("accepted")
    day("begun", "2026-11-20", "North")
    day("begun", "2026-11-18", "South")
    assert day("commissioned", "2026-11-19") == "commissioned"


@pytest.mark.parametrize(("state", "days", "words"), [
    ("open", {"contacted"}, "open"), ("open", {"sent", "begun"}, "sent"),
    ("accepted", {"sent"}, "accepted"), ("accepted", {"planned", "begun"}, "on site"),
    ("declined", {"sent"}, "declined"), ("closed", {"commissioned"}, "closed")])
def test_where_a_job_stands_follows_from_answers_and_days(
    state: str, days: set[str], words: str
) -> None:
    assert stands_of(state, days) == words  # type: ignore[arg-type]


def test_an_accepted_job_is_listed_by_what_was_accepted(quoted: Path) -> None:
    answer("accepted")
    quote("--no-papers", "--discount", "100", "--reason", "two jobs", "--name", "R. Owner")
    listed_, = listed_jobs("estimator.db")
    assert (listed_.revision, listed_.state) == (1, "accepted")


def test_the_commands_say_where_the_job_stands(quoted: Path) -> None:
    answer("accepted")
    typed = ("jobs", "plan", JOB, "--on", "2999-01-11", "--name", "B. Office", "--crew")
    assert run(*typed, "North").stdout == (
        "Job D-101: planned on 2999-01-11 by crew North, says B. Office; it is planned now\n")
    said = json.loads(run(*typed, "=South", "--json").stdout)
    assert (said["what"], said["on"], said["crew"], said["stands"]) == (
        "planned", "2999-01-11", "=South", "planned")
    assert "planned" in run("jobs", "list").stdout
    assert json.loads(run("jobs", "list", "--json").stdout)[0]["stands"] == "planned"
