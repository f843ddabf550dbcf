"""What was reckoned is kept beside a revision, once, as rows that the database adds up."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import delete, func, insert, select

from catalogue import db
from catalogue.tables import JOB_EVENT, PLAN_LINE, QUOTED, REVISION
from estimator.papers.contract import EstimateJson
from estimator.workflow.job_states import Said, record
from estimator.workflow.recording import fill_plans, fill_quoted
from tests.chain.desk import quote, run

JOB = "D-101"
NOON = datetime(2026, 11, 12, 12, tzinfo=UTC)
OWNER = Said(JOB, "R. Owner")


@pytest.fixture
def quoted(desk: Path) -> Path:
    assert quote("--no-papers").exit_code == 0
    return desk


def kept_cost(work: db.Connection) -> int:
    text = work.scalar(select(REVISION.c.estimate_json))
    return EstimateJson.loads(str(text)).cost.total


def test_an_accepted_revision_has_its_plan_lines_once(quoted: Path) -> None:
    record("estimator.db", "accepted", OWNER, NOON)
    record("estimator.db", "reopened", OWNER, NOON)
    record("estimator.db", "accepted", OWNER, NOON)
    engine = db.open_database("estimator.db")
    with db.session(engine) as work:
        assert work.scalar(select(func.sum(PLAN_LINE.c.amount_minor))) == kept_cost(work)
        row = work.execute(select(QUOTED)).one()
        assert (row.kind_of_job, row.wall, row.modules) == ("storage", "dense brick", 3)
        assert (fill_quoted(work), fill_plans(work)) == (0, 0)
    engine.dispose()


def test_what_is_missing_is_written_for_every_revision_that_needs_it(quoted: Path) -> None:
    quote("--no-papers", "--discount", "100", "--reason", "two jobs", "--name", "R. Owner")
    engine = db.open_database("estimator.db")
    told: list[tuple[int, int]] = []
    with db.session(engine) as work:
        work.execute(insert(JOB_EVENT).values(
            job_id=JOB, revision=2, event="accepted", at=NOON, by="R. Owner", why=""))
        assert fill_quoted(work, lambda done, of: told.append((done, of))) == 2
        assert told == [(1, 2), (2, 2)]
        assert fill_plans(work) == 1
        assert work.scalars(select(PLAN_LINE.c.number).distinct()).all() == [2]
        assert [row.number for row in work.execute(select(QUOTED))] == [1, 2]
        assert (fill_quoted(work), fill_plans(work)) == (0, 0)
        with pytest.raises(ValueError, match="written once"):
            work.execute(delete(PLAN_LINE))
    engine.dispose()


def test_a_revision_that_this_program_cannot_read_is_left_out(quoted: Path) -> None:
    engine = db.open_database("estimator.db")
    with db.session(engine) as work:
        row = work.execute(select(REVISION)).mappings().one()
        work.execute(insert(REVISION).values({**row, "number": 2, "estimate_json": "{}"}))
        assert fill_quoted(work) == 1
        assert work.scalars(select(QUOTED.c.number)).all() == [1]
    engine.dispose()


def test_a_review_writes_what_is_missing_first(quoted: Path) -> None:
    engine = db.open_database("estimator.db")
    with db.session(engine, write=False) as work:
        assert work.execute(select(QUOTED)).first() is None
    assert run("review", "--json").exit_code == 0
    with db.session(engine, write=False) as work:
        assert work.execute(select(QUOTED.c.job_id)).scalar_one() == JOB
    engine.dispose()
