"""A quoted job is accepted, declined, reopened; every step stays, with who, when and why."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path
from threading import Thread

import pytest
from sqlalchemy import insert, select

from catalogue import db
from catalogue.problems import ProblemsFound
from catalogue.tables import JOB_EVENT, REVISION
from estimator.workflow.job_states import JobState, Said, accept, record, states
from tests.chain.desk import quote, run

JOB = "D-101"
NOON = datetime(2026, 11, 12, 12, tzinfo=UTC)
LAST_DAY = datetime(2026, 12, 2, 12, tzinfo=UTC)  # 30 days from 2 November
TOO_LATE = datetime(2026, 12, 3, 12, tzinfo=UTC)
OWNER = Said(JOB, "R. Owner", "signed at the house")


@pytest.fixture
def quoted(desk: Path) -> Path:
    assert quote("--no-papers").exit_code == 0
    return desk


def said(event: str, said: Said = OWNER, at: datetime = NOON) -> JobState:
    return record("estimator.db", event, said, at)  # type: ignore[arg-type]


def codes(event: str, said_: Said = OWNER, at: datetime = NOON) -> list[str]:
    with pytest.raises(ProblemsFound) as caught:
        said(event, said_, at)
    return [each.code for each in caught.value.problems]


def rows() -> list[tuple[str, str, int, str, str]]:
    engine = db.open_database("estimator.db")
    with db.session(engine, write=False) as work:
        e = JOB_EVENT.c
        found = [tuple(row) for row in work.execute(
            select(e.job_id, e.event, e.revision, e.by, e.why).order_by(e.id))]
    engine.dispose()
    return found  # type: ignore[return-value]


def test_who_accepted_which_revision_when_and_why_is_kept(quoted: Path) -> None:
    assert said("accepted") == JobState(
        JOB, "accepted", 1, "R. Owner", NOON, "signed at the house")
    assert rows() == [(JOB, "accepted", 1, "R. Owner", "signed at the house")]


def test_a_quote_is_accepted_on_its_last_day_and_not_on_the_next(quoted: Path) -> None:
    assert codes("accepted", at=TOO_LATE) == ["H104"]
    assert rows() == []
    assert said("accepted", at=LAST_DAY).state == "accepted"


def test_an_older_revision_may_be_the_one_that_is_accepted(quoted: Path) -> None:
    quote("--no-papers", "--discount", "100", "--reason", "two jobs", "--name", "R. Owner")
    assert said("accepted", Said(JOB, "R. Owner", revision=1)).revision == 1
    assert codes("reopened", Said("D-10", "R. Owner")) == ["J001"]


def test_a_budget_is_not_accepted(quoted: Path) -> None:
    engine = db.open_database("estimator.db")
    with db.session(engine) as work:
        row = work.execute(select(REVISION)).mappings().one()
        kept = row["estimate_json"].replace('"kind": "firm"', '"kind": "budget"')
        work.execute(insert(REVISION).values(
            {**row, "number": 2, "kind": "budget", "estimate_json": kept}))
        work.commit()
    engine.dispose()
    assert codes("accepted") == ["H105"]
    assert codes("accepted", at=TOO_LATE) == ["H105", "H104"]
    assert said("declined").revision == 2


def test_what_is_answered_is_answered_once_until_it_is_reopened(quoted: Path) -> None:
    said("accepted")
    assert codes("accepted") == ["H102"]
    assert codes("declined") == ["H102"]
    assert said("reopened", Said(JOB, "B. Office")).state == "open"
    assert codes("reopened") == ["H103"]
    assert said("declined").state == "declined"
    assert [event for _, event, *_ in rows()] == ["accepted", "reopened", "declined"]


def test_nobody_answers_without_a_name_nor_for_what_is_not_there(quoted: Path) -> None:
    assert codes("accepted", Said(JOB, " ")) == ["H101"]
    assert codes("declined", Said("D-102", "R. Owner")) == ["J001"]
    assert codes("accepted", Said(JOB, "R. Owner", revision=2)) == ["J002"]
    assert rows() == []


def test_without_a_commit_nothing_is_accepted(quoted: Path) -> None:
    engine = db.open_database("estimator.db")
    with db.session(engine) as work:
        assert accept(work, OWNER, NOON).state == "accepted"
        assert states(work)[JOB].state == "accepted"
    with db.session(engine, write=False) as work:
        assert states(work) == {}
    engine.dispose()


def test_of_two_desks_that_accept_at_once_one_is_told_that_it_is_too_late(quoted: Path) -> None:
    told: list[str] = []

    def answer(name: str) -> None:
        try:
            said("accepted", Said(JOB, name))
            told.append("accepted")
        except ProblemsFound as found:
            told.extend(each.code for each in found.problems)

    desks = [Thread(target=answer, args=(name,)) for name in ("R. Owner", "B. Office")]
    for each in desks:
        each.start()
    for each in desks:
        each.join()
    assert sorted(told) == ["H102", "accepted"]
    assert len(rows()) == 1


def test_a_step_that_was_recorded_is_never_changed(quoted: Path) -> None:
    said("accepted")
    engine = db.open_database("estimator.db")
    with db.session(engine) as work, pytest.raises(ValueError, match="written once"):
        work.execute(JOB_EVENT.update().values(by="somebody else"))
    engine.dispose()


def test_the_list_and_the_commands_say_how_a_job_stands(quoted: Path) -> None:
    declined = run("jobs", "decline", JOB, "--name", "R. Owner", "--why", "=too dear")
    assert declined.exit_code == 0
    assert declined.stdout.startswith("Job D-101, revision 1: declined on ")
    assert declined.stdout.endswith("says R. Owner\n")
    assert "declined" in run("jobs", "list").stdout
    told = json.loads(run("jobs", "reopen", JOB, "--name", "B. Office", "--json").stdout)
    assert (told["state"], told["revision"], told["by"]) == ("open", 1, "B. Office")
    assert json.loads(run("jobs", "list", "--json").stdout)[0]["state"] == "open"
    assert run("jobs", "accept", JOB).exit_code == 1
