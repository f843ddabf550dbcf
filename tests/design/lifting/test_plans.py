"""Plans for lifts: what makes them harder, what is never rounded, what never happens."""

from __future__ import annotations

from decimal import Decimal as D
from fractions import Fraction as F
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.design.lifting.filter import Box, Lift, Person, Reach, Zone, filter_kg, person_kg
from estimator.design.lifting.niosh import NioshLift, lifting_index, multipliers, recommended_kg
from estimator.design.lifting.team import team_kg
from tests.design.lifting.rules_in_force import EQUATION, GUIDE, TEAM, plan, rank

BOXES: st.SearchStrategy[Box] = st.tuples(
    st.sampled_from(get_args(Zone)), st.sampled_from(get_args(Reach)))
PEOPLE: st.SearchStrategy[Person] = st.sampled_from(get_args(Person))
MASSES = st.decimals("0.1", "200", places=2)
LIFTS = st.builds(
    Lift, st.lists(BOXES, min_size=1, max_size=4).map(tuple), st.integers(0, 180),
    st.decimals("0", "20", places=1), st.integers(0, 50), st.booleans(),
)


@pytest.mark.parametrize(
    ("mass_kg", "by_hand"),
    # Two men: two thirds of 50 kg is 33.333... kg; rounded to 33.3 both would be the same.
    [("33.33", 2), ("33.34", 3), ("37.5", 3), ("37.51", None)],
)
def test_a_load_is_compared_with_a_team_before_anything_is_rounded(
    mass_kg: str, by_hand: int | None
) -> None:
    assert plan(D(mass_kg)).by_hand == by_hand


def test_a_panel_is_lifted_by_two_for_wind_and_size_whatever_its_mass() -> None:
    # Common practice, no source.
    found = plan(D("21.3"), least=2)
    assert found.by_hand == 2
    assert "not lifted alone" in found.judged().says


def test_stairs_take_one_person_more_who_carries_nothing_of_the_guide() -> None:
    # Common practice, no source: one person more, or a stair device.
    assert plan(20, stairs=True).by_hand == 2
    assert plan(30, stairs=True).by_hand == 3
    heavy = plan(36, stairs=True)  # three carry 37.5 kg, but no fourth may help
    assert heavy.needs_aid
    assert heavy.limit_kg == F(100, 3)
    assert "over the guide of 33.3 kg" in heavy.judged().says


def test_the_text_of_a_plan_names_mass_guide_and_people() -> None:
    assert plan(30).judged().says.startswith(
        "30 kg is within the guide of 33.3 kg for two people (over 25 kg for one): assess")
    assert plan(20).judged().says.startswith("20 kg is within the guide of 25 kg for one person;")
    found = plan(60, carry_m=14).judged()
    assert "use an aid, with two people at the least" in found.says
    assert "assess the carry: 14 m" in found.says
    assert (found.passes, found.decides) == (False, "site manager")
    assert "L23" in found.source


@pytest.mark.parametrize("mass_kg", [0, -5])
def test_a_load_without_mass_is_refused(mass_kg: int) -> None:
    with pytest.raises(ValueError, match="has a mass"):
        plan(mass_kg)


def test_a_team_beyond_the_published_shares_cannot_be_asked_for() -> None:
    with pytest.raises(ValueError, match="team of 4"):
        plan(20, least=4)


def test_a_lift_through_no_box_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one box"):
        filter_kg(GUIDE, "man", [])


@given(MASSES, MASSES, LIFTS, PEOPLE)
def test_more_load_never_lowers_the_people(one: D, other: D, lift: Lift, person: Person) -> None:
    light, heavy = sorted((one, other))
    few, many = (
        plan(mass, person, boxes=lift.boxes, turn_deg=lift.turn_deg, per_minute=lift.per_minute,
             stairs=lift.stairs)
        for mass in (light, heavy)
    )
    assert rank(few) <= rank(many)
    assert few.needs_aid <= many.needs_aid


@given(LIFTS, BOXES, PEOPLE)
def test_one_box_more_never_raises_the_guide(lift: Lift, box: Box, person: Person) -> None:
    more = Lift((*lift.boxes, box), lift.turn_deg, lift.per_minute)
    assert person_kg(GUIDE, person, more) <= person_kg(GUIDE, person, lift)


@given(LIFTS, st.integers(0, 90), st.decimals("0", "10", places=1), PEOPLE)
def test_more_turning_and_repeating_never_raise_the_guide(
    lift: Lift, turn: int, rate: D, person: Person
) -> None:
    harder = Lift(lift.boxes, lift.turn_deg + turn, lift.per_minute + rate)
    assert person_kg(GUIDE, person, harder) <= person_kg(GUIDE, person, lift)


@given(MASSES, LIFTS, PEOPLE)
def test_a_plan_by_hand_is_within_the_guide_of_its_team(
    mass: D, lift: Lift, person: Person
) -> None:
    found = plan(mass, person, boxes=lift.boxes, stairs=lift.stairs)
    if found.by_hand is None:
        assert F(mass) > found.limit_kg
    else:
        assert F(mass) <= found.limit_kg
        bearing = found.by_hand - (1 if lift.stairs else 0)
        assert found.limit_kg == team_kg([found.one_kg] * bearing, TEAM)


@given(
    st.integers(0, 80), st.integers(0, 200), st.integers(0, 200), st.integers(0, 180),
    st.decimals("0", "1", places=2), st.sampled_from([D("0.9"), D("0.95"), D(1)]),
)
def test_no_multiplier_leaves_nought_to_one(
    reach: int, height: int, travel: int, turn: int, frequency: D, grip: D
) -> None:
    lift = NioshLift(reach, height, travel, turn, frequency, grip)
    found = multipliers(EQUATION, lift)
    for each in (found.reach, found.height, found.travel, found.turn):
        assert 0 <= each <= 1
    assert recommended_kg(EQUATION, lift) <= 23


@given(st.integers(25, 63), st.integers(0, 175), st.integers(25, 175), st.integers(0, 135),
       st.integers(1, 60), st.integers(1, 60))
def test_a_heavier_load_has_a_higher_lifting_index(
    reach: int, height: int, travel: int, turn: int, one: int, more: int
) -> None:
    lift = NioshLift(reach, height, travel, turn)
    assert lifting_index(EQUATION, one + more, lift) > lifting_index(EQUATION, one, lift)
