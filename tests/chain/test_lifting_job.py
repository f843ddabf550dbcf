"""Lifts from survey and data sheet to bill, hours, price and papers."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from catalogue.price_book import PriceBook
from estimator.estimate import Basis, Estimate, make_estimate
from estimator.papers.contract import EstimateJson
from estimator.survey.fact import Evidence, Fact
from estimator.survey.model import Survey
from estimator.survey.toml import read_survey
from tests.chain.desk import SURVEY

MODULE, CONVERTER = "01505-WF", "01136-OU"


def weighing(basis: Basis, **masses: D | None) -> Basis:
    """Return the basis with other masses on the data sheets of storage and converter."""
    codes = {"storage": MODULE, "converter": CONVERTER}
    changed = {codes[slot]: mass for slot, mass in masses.items()}
    items = [replace(item, mass_kg=changed[item.code]) if item.code in changed else item
             for item in basis.prices.items.values()]
    offers = [offer for each in basis.prices.offers.values() for offer in each]
    return replace(basis, prices=PriceBook.of(basis.on, items, offers))


def with_way(survey: Survey, third_person: bool | None, steps: int | None = 0) -> Survey:
    hard: Fact[Any] = Fact() if third_person is None else Fact[bool](
        value=third_person, evidence=Evidence.SEEN)
    counted: Fact[Any] = Fact() if steps is None else Fact[int](
        value=steps, evidence=Evidence.SEEN)
    return survey.model_copy(update={
        "storage": survey.storage.model_copy(update={"third_person": hard}),
        "site": survey.site.model_copy(update={"carry_steps": counted}),
    })


@pytest.fixture(scope="module")
def survey() -> Survey:
    return read_survey(SURVEY)


def aids(estimate: Estimate) -> int:
    return sum("lifting aid" in line.item.roles for line in estimate.bill.lines)


def crew(estimate: Estimate, task: str) -> int:
    return next(each.crew for each in estimate.tasks if each.task == task)


def test_modules_of_60_kg_are_hung_by_two_with_an_aid(survey: Survey, basis: Basis) -> None:
    # Worked example, invented figures: two people, an aid, 25.00 of hire.
    found = make_estimate(survey, basis)
    assert (crew(found, "hang-module"), crew(found, "mount-converter"), aids(found)) == (2, 2, 1)
    assert found.kind == "firm"


def test_a_hard_way_in_takes_a_third_person_there_and_back(survey: Survey, basis: Basis) -> None:
    # Common practice, no source. By hand: 24 likely minutes a module for two are 36 for three;
    # three drive 40 minutes there and back, twice: 2 x 40 x 3 x 2 = 480 minutes.
    found = make_estimate(with_way(survey, third_person=True), basis)
    hang = next(each for each in found.tasks if each.task == "hang-module")
    travel = next(each for each in found.tasks if each.task == "travel")
    assert (hang.crew, hang.likely, found.hours.crew) == (3, 3 * 36, 3)
    assert (travel.likely, found.hours.trips) == (480, 2)
    assert aids(found) == 1


def test_a_way_in_nobody_walked_is_priced_hard_and_asked(survey: Survey, basis: Basis) -> None:
    found = make_estimate(with_way(survey, third_person=None), basis)
    hard = make_estimate(with_way(survey, third_person=True), basis)
    assert found.price.gross == hard.price.gross
    (question,) = [q for q in found.questions if q.fact == "storage.third_person"]
    assert (question.assumed, question.at_worst) == ("true", "caution")
    assert "lift-storage" in question.rules


def test_a_module_without_a_mass_is_asked_and_never_called_light(
    survey: Survey, basis: Basis
) -> None:
    found = make_estimate(survey, weighing(basis, storage=None))
    assert (crew(found, "hang-module"), aids(found)) == (2, 1)
    (question,) = [q for q in found.questions if q.fact == "kit.storage.mass_kg"]
    assert "lift-storage" in question.rules
    assert found.lifts[MODULE] == "two people and an aid; weigh it first"


def test_light_modules_need_no_aid_on_a_level_way(survey: Survey, basis: Basis) -> None:
    # HSE L23 (from memory): hands up to above the elbow 20 kg for one, 26.7 kg for two.
    light = make_estimate(survey, weighing(basis, storage=D("26.6")))
    heavy = make_estimate(survey, weighing(basis, storage=D("26.7")))
    assert (aids(light), aids(heavy)) == (0, 1)
    assert light.hours == heavy.hours
    assert heavy.price.net > light.price.net


@settings(max_examples=20, deadline=None,
          suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.sampled_from(["storage", "converter"]), st.decimals("1", "120", places=1),
       st.decimals("1", "120", places=1), st.sampled_from([True, False, None]),
       st.sampled_from([0, 3, None]))
def test_hours_and_price_never_fall_when_a_load_gets_heavier(
    survey: Survey, basis: Basis, slot: str, one: D, other: D, hard: bool | None, steps: int | None
) -> None:
    way = with_way(survey, hard, steps)
    light, heavy = (
        make_estimate(way, weighing(basis, **{slot: kg})) for kg in sorted((one, other)))
    assert light.hours.mean <= heavy.hours.mean
    assert light.hours.p80 <= heavy.hours.p80
    assert light.hours.crew <= heavy.hours.crew
    assert light.price.net <= heavy.price.net
    assert aids(light) <= aids(heavy)


def test_the_sheet_of_what_to_take_and_the_caution_rest_on_the_same_plan(
    survey: Survey, basis: Basis
) -> None:
    made = EstimateJson.of(make_estimate(survey, basis), 1)
    lifts = {line.item: line.lift for line in made.lines if line.lift}
    assert lifts == {MODULE: "two people and an aid", CONVERTER: "two people"}
    plans = {each.subject: each.says for each in made.worked if each.code == "lift-plan"}
    assert plans == {"storage module": lifts[MODULE], "converter": lifts[CONVERTER]}
