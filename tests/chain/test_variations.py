"""What is found on a job is priced by the rules of its quote, agreed in writing, and then holds."""

from __future__ import annotations

import json
import shutil
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal as D
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import func, insert, select

from catalogue import db
from catalogue.money import Money
from catalogue.problems import ProblemsFound
from catalogue.stock.ledger import Move
from catalogue.stock.posting import Posted
from catalogue.stock_books import post_moves
from catalogue.stock_reserving import reservation_faults, reserved
from catalogue.tables import JOB_EVENT, OFFER, PLAN_LINE, REVISION, VARIATION
from catalogue.tables import PLACE as PLACE_TABLE
from catalogue.tables.columns import UtcTime
from estimator.difference.inputs import Maker
from estimator.papers.contract import EstimateJson
from estimator.workflow.accepted import accepted_price, accepted_prices
from estimator.workflow.agreeing import Answered, VariationAnswered, answer_variation
from estimator.workflow.job_days import DaySaid, record_day
from estimator.workflow.job_list import listed_jobs, newest_revisions
from estimator.workflow.job_record import job_record
from estimator.workflow.job_states import Said, record
from estimator.workflow.jobs import kept_estimate, stored_estimate
from estimator.workflow.quote import QuoteRequest
from estimator.workflow.quote import quote as quote_job
from estimator.workflow.reserving import goods_of
from estimator.workflow.varying import VariationAsked, Varied, vary
from tests.chain.desk import SURVEY, codes, run

JOB, PLACE = "D-101", "estimator.db"
ACCEPTED = datetime(2026, 11, 12, 12, tzinfo=UTC)
AT = datetime(2026, 11, 20, 12, tzinfo=UTC)
WALL = "storage.wall=light block"
METER = "metering.route_m=22"


MAKER = Maker()  # it holds the rules of these quotes compiled


@pytest.fixture(scope="module")
def accepted_template(
    tmp_path_factory: pytest.TempPathFactory, starter_template: Path
) -> Path:
    """Return a database in which the job is quoted and accepted."""
    folder = tmp_path_factory.mktemp("accepted")
    place = folder / "estimator.db"
    shutil.copy(starter_template, place)
    quote_job(QuoteRequest(SURVEY, date(2026, 11, 2), str(place), write_papers=False))
    record(str(place), "accepted", Said(JOB, "R. Owner", needed_on=date(2026, 12, 7)), ACCEPTED)
    return place


@pytest.fixture
def accepted(
    accepted_template: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Path:
    """A desk whose job is quoted and accepted."""
    shutil.copy(accepted_template, tmp_path / PLACE)
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ESTIMATOR_DB", raising=False)
    monkeypatch.setattr("estimator.workflow.varying.Maker", lambda: MAKER)
    return tmp_path


def found(*changes: str, reason: str = "hidden", chargeable: bool = True) -> Varied:
    asked = VariationAsked(JOB, changes or (WALL,), "block behind plaster", reason, "S. Fitter",
                           "IMG_0012", chargeable)
    return vary(PLACE, asked, AT)


def said(number: int = 1, answer: str = "agreed", writing: str = "e-mail of 19 Nov") -> Answered:
    return answer_variation(PLACE, VariationAnswered(
        JOB, number, answer, date(2026, 11, 19), "B. Office", writing), AT)  # type: ignore[arg-type]


def kept(number: int) -> EstimateJson:
    return stored_estimate(PLACE, JOB, number)


def asked_of(question: Any) -> list[tuple[Any, ...]]:
    engine = db.open_database(PLACE)
    with db.session(engine, write=False) as work:
        rows = [tuple(row) for row in work.execute(question)]
    engine.dispose()
    return rows


def test_a_job_goes_from_quote_to_an_agreed_variation_and_its_record(accepted: Path) -> None:
    record_day(PLACE, DaySaid(JOB, "begun", date(2026, 11, 18), "S. Fitter", "", "North"), AT)
    assert run("stock", "places", "--add", "store", "--kind", "store").exit_code == 0
    run("stock", "receive", "02902-MC", "100", "--into", "store", "--cost", "58")
    assert run("stock", "sheet", JOB).exit_code == 0

    varied = found()
    assert (varied.was.revision, varied.now.revision) == (1, 2)
    assert varied.variation.changes == ("storage.wall = light block",)
    # Until it is agreed the first revision stands, and is what is listed and shown.
    assert (listed_jobs(PLACE)[0].revision, stored_estimate(PLACE, JOB).revision) == (1, 1)

    done = said()
    assert done.accepted.revision == 2
    assert listed_jobs(PLACE)[0].revision == 2
    assert asked_of(select(JOB_EVENT.c.event, JOB_EVENT.c.revision)) == [
        ("accepted", 1), ("accepted", 2)]
    assert asked_of(select(PLAN_LINE.c.number, func.sum(PLAN_LINE.c.amount_minor))
                    .group_by(PLAN_LINE.c.number)) == [
        (1, varied.was.cost.total), (2, varied.now.cost.total)]
    # The sheet that is out names the revision before.
    assert codes(run("stock", "picked", f"out/{JOB}-sheet-1.xlsx", "--json")) == {"Y207"}

    told = run("jobs", "record", JOB).stdout
    for words in ("it is on site", "accepted         2", "begun  18 November 2026  North",
                  "VARIATION 1: revision 1 -> 2, hidden", "(photo IMG_0012)",
                  "agreed on 19 November 2026, says B. Office (e-mail of 19 Nov)",
                  "PRICE NOW, net"):
        assert words in told
    data = json.loads(run("jobs", "record", JOB, "--json").stdout)
    assert (data["stands"], data["accepted_revision"]) == ("on site", 2)
    assert data["net_minor"] == varied.now.price.net
    assert data["variations"][0]["answer"] == "agreed"
    assert data["counts"] == {
        "lines of hours": 0, "lines of bills": 0, "payments": 0, "readings": 0}


def test_the_extra_is_what_the_rules_ask_for_in_that_wall(accepted: Path) -> None:
    """By hand: 12 anchors of the boxes give way to 12 resin studs at £3.60, a cartridge and a day
    of the pull tester, and resin in 3 brackets takes longer than a bolt."""
    varied = found()
    new = {line.item: line for line in varied.now.lines}
    old = {line.item: line for line in varied.was.lines}
    assert (new["09032"].buy, new["09032"].cost) == (D(12), 4320)
    assert set(new) - set(old) == {"09032", "15030", "16040"}
    assert varied.variation.cost_minor == varied.now.cost.total - varied.was.cost.total > 0
    assert varied.variation.price_minor == varied.now.price.net - varied.was.price.net > 0
    assert (varied.now.on, varied.now.price.valid_until) == (
        varied.was.on, varied.was.price.valid_until)


def test_prices_are_those_known_when_the_job_was_quoted_whatever_came_since(
    accepted: Path
) -> None:
    before = found(METER).now.cost
    said(1, "refused", "")
    engine = db.open_database(PLACE)
    with db.session(engine) as work:
        offer = work.execute(select(OFFER).where(
            OFFER.c.item_code == "03901-SP").limit(1)).mappings().one()
        dearer = {**offer, "id": None, "price_minor": offer["price_minor"] * 9,
                  "from_date": date(2026, 11, 1)}
        # In half an hour a price is entered that would have held already, and in an hour the
        # variation is found.
        half, hour = (datetime.now(UTC) + timedelta(minutes=each) for each in (30, 60))
        work.execute(insert(OFFER).values({**dearer, "entered_at": half}))
        work.exec_driver_sql("UPDATE revision SET made_at = ? WHERE number = 2",
                             (UtcTime().process_bind_param(hour, work.dialect),))
        work.commit()
    engine.dispose()
    assert found(METER).now.cost == before
    said(2)
    found("metering.route_m=21")
    told = json.loads(run("diff", JOB, "2", "3", "--json").stdout)
    assert [each["cause"] for each in told["causes"]] == ["fact"]


def test_what_is_not_charged_leaves_the_price_and_all_adds_up_to_the_penny(accepted: Path) -> None:
    first = kept(1).price.net
    charged = found(WALL).variation.price_minor
    said(1)
    free = found(METER, reason="missed at survey", chargeable=False)
    assert free.variation.price_minor == 0
    assert free.variation.cost_minor > 0
    assert free.now.price.net == first + charged
    off = free.now.price.discount
    assert off is not None
    assert off.amount == free.now.price.list_net - free.now.price.net > 0
    assert (off.reason, off.name) == (
        "variation 2 is not charged (missed at survey)", "S. Fitter")
    said(2)
    # A module less makes it cheaper: the customer is paid back the change, on what was agreed.
    less = found("storage.modules=2", reason="customer change")
    assert less.variation.price_minor < 0
    said(3)
    engine = db.open_database(PLACE)
    with db.session(engine, write=False) as work:
        now = accepted_price(work, JOB)
        assert now == Money(first + charged + less.variation.price_minor)
        row, = work.execute(accepted_prices())
        assert (row.job_id, row.number, Money(row.net_minor)) == (JOB, 4, now)
        sums = work.execute(select(func.sum(VARIATION.c.price_minor))).scalar_one()
        assert now.minor == first + sums
    engine.dispose()
    told = job_record(PLACE, JOB)
    assert [each.number for each in told.chain] == [1, 2, 3]


def test_a_saving_that_is_not_passed_on_leaves_the_price_too(accepted: Path) -> None:
    less = found("storage.modules=2", reason="supplier", chargeable=False)
    assert less.now.price.net == less.was.price.net == less.now.price.list_net
    assert less.now.price.discount is None
    assert less.now.price.gross == less.was.price.gross


def test_goods_are_reserved_for_the_new_revision_less_what_is_on_site(accepted: Path) -> None:
    engine = db.open_database(PLACE)
    with db.session(engine) as work:
        work.execute(insert(PLACE_TABLE).values(name=f"site {JOB}", kind="site", note=""))
        post_moves(work, [Move("receive", "09032", D(5), to_place=f"site {JOB}", job=JOB,
                               value_minor=1800)], Posted("S. Fitter", AT))
        work.commit()
    engine.dispose()
    found()
    said()
    engine = db.open_database(PLACE)
    with db.session(engine, write=False) as work:
        claims = {claim.item: claim for claim in reserved(work)}
        assert reservation_faults(work) == []
        wanted = goods_of(kept_estimate(work, JOB, 2))
    engine.dispose()
    assert (wanted["09032"], claims["09032"].quantity) == (D(12), D(7))
    assert {item: claim.quantity for item, claim in claims.items()} == {
        item: quantity - (5 if item == "09032" else 0) for item, quantity in wanted.items()}
    assert {claim.needed_on for claim in claims.values()} == {date(2026, 12, 7)}


def test_a_stop_stays_a_stop_and_is_not_agreed(accepted: Path) -> None:
    told = run("jobs", "vary", JOB, "--set", "storage.place=bedroom", "--found", "garage is let",
               "--reason", "customer change", "--name", "S. Fitter")
    assert told.exit_code == 3
    assert "no firm price: stop: " in told.stdout
    with pytest.raises(ProblemsFound) as caught:
        said()
    assert [each.code for each in caught.value.problems] == ["Z125"]


def test_a_refused_variation_changes_nothing_and_the_same_may_be_found_again(
    accepted: Path
) -> None:
    found()
    with pytest.raises(ProblemsFound) as caught:
        found()
    assert [each.code for each in caught.value.problems] == ["Z118"]
    assert said(1, "refused", "").accepted.revision == 1
    assert stored_estimate(PLACE, JOB).revision == 1
    assert asked_of(newest_revisions()) == [(JOB, 1)]
    again = found()
    assert (again.variation.number, again.now.revision) == (2, 2)
    assert said(2).accepted.revision == 2
    assert asked_of(newest_revisions()) == [(JOB, 2)]


def test_the_fact_keeps_how_it_is_known_and_the_rest_of_the_survey_its_words(
    accepted: Path
) -> None:
    found(WALL, METER)
    text, = (row[0] for row in asked_of(
        select(REVISION.c.survey_text).where(REVISION.c.number == 2)))
    assert ('wall = {value = "light block", evidence = "seen", words = "block behind plaster", '
            'photo = "IMG_0012"}') in text
    assert ('route_m = {value = 22, evidence = "measured", words = "block behind plaster", '
            'photo = "IMG_0012"}') in text
    first, = (row[0] for row in asked_of(
        select(REVISION.c.survey_text).where(REVISION.c.number == 1)))
    assert len(set(first.splitlines()) - set(text.splitlines())) == 2


def test_a_variation_told_to_a_machine_says_what_changes(accepted: Path) -> None:
    data = json.loads(run(
        "jobs", "vary", JOB, "--set", WALL, "--found", "=block", "--reason", "hidden", "--name",
        "S. Fitter", "--json").stdout)
    assert (data["found"], data["reason"], data["chargeable"]) == ("=block", "hidden", True)
    assert data["price_minor"] == data["now"]["net"] - data["was"]["net"]
    assert {line["item"] for line in data["lines"]} == {"09020", "09032", "15030", "16040"}


def test_planes_and_legs_are_named_and_short_forms_are_read(accepted: Path) -> None:
    leg = kept(1).facts
    assert any(fact.path == "leg[0].length_m" for fact in leg)
    varied = found("leg[0].length_m=9.5", "storage.place=cellar")
    assert varied.variation.changes == ("leg[0].length_m = 9.5", "storage.place = cellar")
    assert D("9.5") == next(
        D(str(fact.value)) for fact in varied.now.facts if fact.path == "leg[0].length_m")
