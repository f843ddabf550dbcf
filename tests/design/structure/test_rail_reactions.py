"""Fixings under a continuous rail: the share by length against a general frame program.

A rail runs over fixings at equal steps with equal overhangs, under an even line load. The load of
the worst fixing is not its share of the length: over three fixings the middle one takes 10/8 of
it (textbook beam formulas). The program raises the share by that factor.
"""

from __future__ import annotations

from functools import cache
from itertools import pairwise

import pytest
from anastruct import SystemElements
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.design.structure.roof_load import (
    OVERHANG_MOST,
    fixing_share_kn,
    fixing_worst_kn,
)
from tests.design.structure.rules_in_force import ROOF

# The solver lets supports and rail give a little (axial and bending stiffness are finite), which
# moves reactions by less than a hundred-thousandth; the rest is its rounding.
SOLVER = 1e-5
OVERHANGS = st.floats(0.02, float(OVERHANG_MOST))  # of the step


@cache
def reactions_kn(fixings: int, step_m: float, overhang_m: float, line_kn_m: float) -> list[float]:
    """Return the reaction of each fixing [kN], from the left."""
    rail = SystemElements(EI=1e4, EA=1e9)
    points = [at * step_m for at in range(fixings)]
    ends = [-overhang_m, *points, points[-1] + overhang_m] if overhang_m else points
    for left, right in pairwise(ends):
        rail.add_element(location=[[left, 0], [right, 0]])
    nodes = [rail.find_node_id([at, 0]) for at in points]
    rail.add_support_hinged(nodes[0])
    for node in nodes[1:]:
        rail.add_support_roll(node)
    rail.q_load(q=-line_kn_m, element_id=list(range(1, len(ends))))
    rail.solve()
    return [-float(rail.get_node_results_system(node_id=node)["Fy"]) for node in nodes]


@pytest.mark.parametrize(
    ("fixings", "shares"),
    [
        # Textbook beam formulas, reactions over w L: one span 1/2; two spans 3/8, 10/8, 3/8;
        # three 4/10, 11/10; four 11/28, 32/28, 26/28.
        (2, [0.5, 0.5]), (3, [0.375, 1.25, 0.375]), (4, [0.4, 1.1, 1.1, 0.4]),
        (5, [11 / 28, 32 / 28, 26 / 28, 32 / 28, 11 / 28]),
    ],
)
def test_the_frame_program_gives_the_reactions_of_the_textbook(
    fixings: int, shares: list[float]
) -> None:
    # Guards the referee: if its signs or loads were wrong, the tests below would say nothing.
    assert reactions_kn(fixings, 1.0, 0.0, 1.0) == pytest.approx(shares, rel=SOLVER)


def test_the_share_by_length_is_too_low_for_the_middle_of_three_fixings() -> None:
    # 1 kN/m, fixings 1.2 m apart: share 1.2 kN, textbook 10/8 x 1.2 = 1.5 kN.
    worst = max(reactions_kn(3, 1.2, 0.0, 1.0))
    assert worst == pytest.approx(1.5, rel=SOLVER)
    assert worst > fixing_share_kn(1.0, 1.2, 0.0)
    assert fixing_worst_kn(1.0, 1.2, 0.0, ROOF) == pytest.approx(1.5)


@settings(max_examples=150, deadline=None)
@given(
    st.integers(2, 12), st.sampled_from([0.4, 0.6, 0.9, 1.2, 1.6]), OVERHANGS,
    st.sampled_from([0.3, 1.0, 2.5]),
)
def test_no_fixing_of_a_continuous_rail_is_loaded_more_than_the_program_says(
    fixings: int, step_m: float, overhang: float, line_kn_m: float
) -> None:
    worst = max(reactions_kn(fixings, step_m, overhang * step_m, line_kn_m))
    said = fixing_worst_kn(line_kn_m, step_m, overhang * step_m, ROOF)
    assert worst <= said * (1 + SOLVER)


@settings(max_examples=150, deadline=None)
@given(
    st.integers(3, 12), st.sampled_from([0.4, 0.6, 0.9, 1.2, 1.6]), OVERHANGS,
)
def test_what_the_program_says_is_at_most_a_third_too_much(
    fixings: int, step_m: float, overhang: float
) -> None:
    # From three fixings on. By hand for three, w = L = 1, overhang a: the middle takes
    # 1.25 - 1.5 a^2 and the end 0.375 + a + 0.75 a^2; alike at a = 0.4398, where both take 0.9599
    # of a share of 1, the least there is. So the figure is at most 1.25 / 0.9599 = 1.3022 times
    # the true one.
    worst = max(reactions_kn(fixings, step_m, overhang * step_m, 1.0))
    assert fixing_worst_kn(1.0, step_m, overhang * step_m, ROOF) <= 1.3023 * worst


@pytest.mark.parametrize("overhang", [0.1, 0.3, 0.4398, 0.6])
def test_three_fixings_with_overhangs_take_what_was_worked_by_hand(overhang: float) -> None:
    # The formulas above, from the propped span: slope nought at the middle fixing.
    end, middle, _ = reactions_kn(3, 1.0, overhang, 1.0)
    assert middle == pytest.approx(1.25 - 1.5 * overhang**2, rel=SOLVER)
    assert end == pytest.approx(0.375 + overhang + 0.75 * overhang**2, rel=SOLVER)


def test_two_fixings_share_the_rail_exactly_by_length_once_the_overhang_passes_half() -> None:
    # Determinate: each takes w (L / 2 + a) whatever the stiffness; 1.2 / 2 + 0.72 = 1.32 kN.
    assert max(reactions_kn(2, 1.2, 0.72, 1.0)) == pytest.approx(1.32, rel=SOLVER)
    assert fixing_share_kn(1.0, 1.2, 0.72) == pytest.approx(1.32)


def test_a_rail_that_reaches_too_far_is_for_an_engineer() -> None:
    # At 0.8 of the step the end fixing of three takes 1.273 of its share, past the factor.
    worst = max(reactions_kn(3, 1.0, 0.8, 1.0))
    assert worst > 1.25 * fixing_share_kn(1.0, 1.0, 0.8)
    with pytest.raises(ValueError, match="an engineer works it out"):
        fixing_worst_kn(1.0, 1.0, 0.8, ROOF)
