"""The couple of a bracket against an independent frame program, and what never happens."""

from __future__ import annotations

from decimal import Decimal as D

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.design.structure.bracket import Bracket, bracket_forces, fixing_duty
from tests.design.structure.frame_referee import bracket_reactions
from tests.design.structure.rules_in_force import G

MASSES = st.integers(1, 200)
REACHES = st.integers(1, 400)
HEIGHTS = st.integers(50, 1000)


@pytest.mark.parametrize("at", [0.2, 0.5, 0.8])
@pytest.mark.parametrize(("centre_mm", "couple_mm"), [(90, 400), (150, 300), (120, 400)])
def test_an_arm_moved_up_or_down_does_not_change_the_pull(
    centre_mm: int, couple_mm: int, at: float
) -> None:
    # Engineering question and answer "T-shaped shelf bracket". The frame is solved by a general
    # stiffness program; it is determinate, so only the program's rounding parts the two.
    pull, shear = bracket_reactions(60 * 9.81, centre_mm / 1000, couple_mm / 1000, at)
    ours = bracket_forces(60, Bracket(centre_mm, couple_mm, 4, 2), G)
    assert float(ours.pull_total_n) == pytest.approx(pull, rel=1e-6)
    assert float(ours.shear_each_n * 4) == pytest.approx(shear, rel=1e-6)


@settings(max_examples=40, deadline=None)
@given(MASSES, REACHES, HEIGHTS, st.floats(0.1, 0.9))
def test_the_frame_program_agrees_over_wide_ranges(
    mass_kg: int, centre_mm: int, couple_mm: int, at: float
) -> None:
    # Tolerance 1e-6: determinate statics, so nothing but rounding in the solver's matrix.
    pull, shear = bracket_reactions(mass_kg * 9.81, centre_mm / 1000, couple_mm / 1000, at)
    ours = bracket_forces(mass_kg, Bracket(centre_mm, couple_mm, 4, 2), G)
    assert float(ours.pull_total_n) == pytest.approx(pull, rel=1e-6)
    assert float(ours.shear_each_n * 4) == pytest.approx(shear, rel=1e-6)


@given(MASSES, REACHES, HEIGHTS, st.integers(1, 500))
def test_a_taller_bracket_pulls_less(mass: int, centre: int, couple: int, more: int) -> None:
    short = bracket_forces(mass, Bracket(centre, couple, 4, 2), G)
    tall = bracket_forces(mass, Bracket(centre, couple + more, 4, 2), G)
    assert tall.pull_each_n < short.pull_each_n
    assert tall.shear_each_n == short.shear_each_n


@given(MASSES, MASSES, REACHES, HEIGHTS)
def test_a_heavier_unit_pulls_and_shears_more(
    mass: int, more: int, centre: int, couple: int
) -> None:
    bracket = Bracket(centre, couple, 4, 2)
    light, heavy = (bracket_forces(each, bracket, G) for each in (mass, mass + more))
    assert heavy.pull_each_n > light.pull_each_n
    assert heavy.shear_each_n > light.shear_each_n


@given(MASSES, REACHES, HEIGHTS, st.integers(1, 6), st.integers(0, 6))
def test_the_fixings_together_carry_the_whole_weight_and_the_whole_pull(
    mass: int, centre: int, couple: int, top: int, others: int
) -> None:
    found = bracket_forces(mass, Bracket(centre, couple, top + others, top), G)
    assert found.shear_each_n * (top + others) == mass * D("9.81")
    assert found.pull_each_n * top == found.pull_total_n


@pytest.mark.parametrize(
    ("centre", "couple", "fixings", "top"),
    [(-1, 400, 4, 2), (90, 0, 4, 2), (90, 400, 4, 0), (90, 400, 2, 4)],
)
def test_a_bracket_that_cannot_be_is_refused(
    centre: int, couple: int, fixings: int, top: int
) -> None:
    with pytest.raises(ValueError, match=r"bracket has a height|top row"):
        Bracket(centre, couple, fixings, top)


def test_a_mass_below_zero_is_refused() -> None:
    with pytest.raises(ValueError, match="not below zero"):
        bracket_forces(-1, Bracket(90, 400, 4, 2), G)


def test_a_hung_unit_leaves_the_fixings_to_their_maker_or_an_engineer() -> None:
    found = fixing_duty("wall", 60, Bracket(90, 400, 4, 2), G)
    assert found.decides == "fixing maker, or structural engineer"
    assert fixing_duty("floor", 60, Bracket(90, 400, 2, 2), G).decides == "maker of the unit"
