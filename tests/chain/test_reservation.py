"""An accepted job reserves its goods, and lets them go again; a quote reserves nothing."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, date, datetime
from decimal import Decimal as D
from pathlib import Path
from threading import Thread

import pytest
from sqlalchemy import Connection, insert

from catalogue import db
from catalogue.problems import ProblemsFound
from catalogue.stock.ledger import Move
from catalogue.stock.posting import Posted
from catalogue.stock_books import post_moves
from catalogue.stock_reserving import reservation_faults, reserved
from catalogue.tables import PLACE, RESERVATION
from estimator.workflow.job_states import Said, record
from estimator.workflow.jobs import stored_estimate
from estimator.workflow.reserving import goods_of, reserve_again
from tests.chain.desk import quote, run

JOB = "D-101"
NOON = datetime(2026, 11, 12, 12, tzinfo=UTC)
POSTED = Posted("storekeeper", NOON)
MODULE = "01505-WF"


@pytest.fixture
def quoted(desk: Path) -> Path:
    assert quote("--no-papers").exit_code == 0
    return desk


@pytest.fixture
def work(quoted: Path) -> Iterator[Connection]:
    engine = db.open_database("estimator.db")
    with db.session(engine, write=False) as connection:
        yield connection
    engine.dispose()


def said(event: str, job: str = JOB, on: date | None = None) -> None:
    record("estimator.db", event, Said(job, "R. Owner", needed_on=on), NOON)  # type: ignore[arg-type]


def held() -> dict[str, D]:
    engine = db.open_database("estimator.db")
    with db.session(engine, write=False) as connection:
        assert reservation_faults(connection) == []
        found = {each.item: each.quantity for each in reserved(connection)}
    engine.dispose()
    return found


def test_a_quote_reserves_nothing_and_an_accepted_one_all_that_it_buys(quoted: Path) -> None:
    assert held() == {}
    said("accepted")
    found = held()
    # The bill of the demo job, as its paper shows it: three modules; 18.5 m of data cable, and
    # what its rule allows for waste; brackets lie in the modules' boxes and are not reserved.
    assert found[MODULE] == 3
    bill = stored_estimate("estimator.db", JOB)
    assert {line.item for line in bill.lines
            if line.buy > 0 and line.head not in ("plant hire", "scaffold", "subcontract",
                                                  "preliminaries", "paperwork")} == set(found)
    assert not {line.item for line in bill.lines if line.boxed and not line.buy} & set(found)


def test_an_accepted_job_is_reserved_for_another_day_and_keeps_its_place_in_the_row(
    quoted: Path, work: Connection
) -> None:
    said("accepted", on=date(2026, 11, 30))
    assert {each.needed_on for each in reserved(work)} == {date(2026, 11, 30)}
    work.rollback()
    reserve_again("estimator.db", JOB, date(2026, 12, 1), "R. Owner", NOON)
    claims = reserved(work)
    assert {each.needed_on for each in claims} == {date(2026, 12, 1)}
    assert {each.accepted_at for each in claims} == {NOON}


@pytest.mark.parametrize(("work_on", "needed_on"), [
    ("supply_date = 2026-11-30", date(2026, 11, 30)),
    ("supply_date = 2026-11-11", NOON.date()),  # passed meanwhile
    ("", NOON.date()),
])
def test_without_a_day_the_goods_are_needed_on_that_of_the_survey_or_today(
    desk: Path, work_on: str, needed_on: date
) -> None:
    survey = desk / "survey.toml"
    text = survey.read_text(encoding="utf-8")
    survey.write_text(re.sub("(?m)^supply_date = .*", work_on, text), "utf-8")
    assert run("quote", "survey.toml", "--on", "2026-11-10", "--no-papers").exit_code == 0
    said("accepted")
    engine = db.open_database("estimator.db")
    with db.session(engine, write=False) as connection:
        assert {each.needed_on for each in reserved(connection)} == {needed_on}
    engine.dispose()


def test_a_job_that_is_reopened_lets_everything_go_and_may_be_accepted_again(quoted: Path) -> None:
    said("accepted")
    before = held()
    said("reopened")
    assert held() == {}
    said("declined")
    assert held() == {}
    said("reopened")
    said("accepted")
    assert held() == before


def test_what_is_picked_is_not_reserved_any_more_nor_again_while_it_is_on_site(
    quoted: Path
) -> None:
    said("accepted")
    engine = db.open_database("estimator.db")
    with db.session(engine) as connection:
        connection.execute(insert(PLACE), [
            {"name": name, "kind": name.split()[0], "note": ""}
            for name in ("store", "site D-101")])
        post_moves(connection, [
            Move("receive", MODULE, D(5), to_place="store", value_minor=500_000),
            Move("receive", MODULE, D(3), to_place="store", job=JOB, value_minor=300_000),
            Move("receive", MODULE, D(1), to_place="site D-101", job=JOB, value_minor=100_000),
            Move("pick", MODULE, D(1), "store", "site D-101", job=JOB)], POSTED)
        connection.commit()
    assert held()[MODULE] == 1
    said("reopened")
    said("accepted")
    assert held()[MODULE] == 1
    with db.session(engine) as connection:  # one comes back, and two go out: one more than reserved
        post_moves(connection, [
            Move("return", MODULE, D(1), "site D-101", "store", job=JOB),
            Move("pick", MODULE, D(2), "store", "site D-101", job=JOB)], POSTED)
        connection.commit()
    engine.dispose()
    assert MODULE not in held()


def test_two_desks_that_accept_at_once_reserve_once(quoted: Path) -> None:
    told: list[str] = []

    def accept() -> None:
        try:
            said("accepted")
        except ProblemsFound as found:
            told.extend(each.code for each in found.problems)

    desks = [Thread(target=accept) for _ in range(2)]
    for each in desks:
        each.start()
    for each in desks:
        each.join()
    assert told == ["H102"]
    assert held()[MODULE] == 3


def test_only_an_accepted_job_is_reserved_for_another_day(quoted: Path) -> None:
    with pytest.raises(ProblemsFound) as caught:
        reserve_again("estimator.db", JOB, None, "R. Owner", NOON)
    assert [each.code for each in caught.value.problems] == ["Y117"]


def test_reservations_that_were_tampered_with_are_found_out(quoted: Path) -> None:
    engine = db.open_database("estimator.db")
    row = {"job_id": JOB, "revision": 1, "item_code": MODULE, "needed_on": NOON.date(),
           "at": NOON, "by": "", "why": ""}
    with db.session(engine) as connection:
        connection.execute(insert(RESERVATION).values(**row, quantity=D(2)))
        assert reservation_faults(connection) == [
            f"2 {MODULE} for job '{JOB}' are reserved, and it is not accepted"]
        connection.execute(insert(RESERVATION).values(**row, quantity=D(-5)))
        assert reservation_faults(connection) == [
            f"-3 {MODULE} for job '{JOB}' are reserved, which is below zero"]
    engine.dispose()


def test_the_command_takes_the_day_on_which_the_goods_are_needed(
    quoted: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    today = datetime.now(UTC).date()
    quote_today = run("quote", "survey.toml", "--on", today.isoformat(), "--no-papers")
    assert quote_today.exit_code == 0
    assert run("jobs", "accept", JOB, "--name", "R. Owner", "--on", "2027-01-05").exit_code == 0
    engine = db.open_database("estimator.db")
    with db.session(engine, write=False) as connection:
        assert {each.needed_on for each in reserved(connection)} == {date(2027, 1, 5)}
    engine.dispose()


def test_quantities_are_raised_to_whole_pieces_and_to_thousandths(quoted: Path) -> None:
    bill = stored_estimate("estimator.db", JOB)
    line = next(each for each in bill.lines if each.unit == "m" and each.buy)
    metres = line.model_copy(update={"buy": D("1.00041"), "allowance": D(0)})
    pieces = line.model_copy(update={"unit": "each", "buy": D("2"), "allowance": D("0.1")})
    assert goods_of(bill.model_copy(update={"lines": (metres,)})) == {line.item: D("1.001")}
    assert goods_of(bill.model_copy(update={"lines": (pieces,)})) == {line.item: D("3")}
