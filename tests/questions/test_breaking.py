"""Each fact a step otherwise, at the price as quoted."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal as D
from fractions import Fraction
from pathlib import Path

import pytest

from estimator.estimate import Basis, make_estimate
from estimator.questions.answers import Answers
from estimator.questions.breaking import Broken, break_quote, other_values
from estimator.survey.model import Survey
from estimator.survey.setting import with_fact
from estimator.survey.toml import read_survey

DEMO = Path(__file__).parents[2] / "demo_jobs" / "storage-outside" / "survey.toml"


@pytest.fixture(scope="module")
def house() -> Survey:
    return read_survey(DEMO)


@pytest.fixture(scope="module")
def broken(house: Survey, basis: Basis, answers: Mapping[str, Answers]) -> Broken:
    return break_quote(house, basis, answers)


def test_the_margin_left_is_that_of_the_changed_house_at_the_old_price(
    house: Survey, basis: Basis, broken: Broken
) -> None:
    more = next(each for each in broken.changes
                if (each.fact, each.was, each.now) == ("storage.modules", 3, 4))
    quoted = make_estimate(house, basis)
    changed = make_estimate(with_fact(house, "storage.modules", 4), basis)
    net = Fraction(quoted.price.net.minor)
    assert more.margin == (net - changed.cost.total.minor) / net
    assert more.cost_more == changed.cost.total - quoted.cost.total


def test_a_change_breaks_the_quote_under_the_minimum_or_by_a_new_stop_and_then_only(
    broken: Broken
) -> None:
    assert {each.breaks for each in broken.changes} == {True, False}
    for each in broken.changes:
        assert each.breaks == (each.margin < broken.minimum or bool(each.new_stops)), each.fact


def test_storage_moved_under_the_stairs_breaks_the_quote_by_a_stop(broken: Broken) -> None:
    (moved,) = (each for each in broken.changes
                if (each.fact, each.now) == ("storage.place", "under stairs"))
    assert moved.breaks
    assert moved.new_stops


def test_what_breaks_comes_first_and_the_dearest_of_it(broken: Broken) -> None:
    order = [(not each.breaks, -each.cost_more.minor) for each in broken.changes]
    assert order == sorted(order)


def test_every_known_fact_is_also_taken_away(house: Survey, broken: Broken) -> None:
    taken = {each.fact for each in broken.changes if each.now is None}
    assert {"storage.modules", "storage.place", "supply.phases", "leg[0].length_m"} <= taken


def test_steps_are_one_up_and_down_a_tenth_either_way_and_every_other_word(
    house: Survey, answers: Mapping[str, Answers]
) -> None:
    two = with_fact(house, "storage.modules", 2)
    assert other_values("storage.modules", two, answers) == (1, 3, None)
    ten = with_fact(house, "metering.route_m", D(10))
    assert other_values("metering.route_m", ten, answers) == (D("9.0"), D("11.0"), None)
    floor = with_fact(house, "storage.mount", "floor")
    assert other_values("storage.mount", floor, answers) == ("wall", None)
    yes = with_fact(house, "supply.looped", True)
    assert other_values("supply.looped", yes, answers) == (False, None)


def test_a_step_outside_what_a_survey_may_say_is_not_tried(
    house: Survey, answers: Mapping[str, Answers]
) -> None:
    one = with_fact(house, "storage.modules", 1)  # at least one: there is no step down
    assert other_values("storage.modules", one, answers) == (2, None)
    flat = with_fact(house, "supply.existing_generation_w", D(0))
    assert other_values("supply.existing_generation_w", flat, answers) == (D(3600), None)
