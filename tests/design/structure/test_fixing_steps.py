"""Fixings against uplift at whole rafter steps: worked by hand, and what never happens.

Two rows of six upright panels of 1.134 x 1.762 m, rails of 7.104 m, rafters at 0.6 m, span 1.2 m,
overhang 0.3 m: worked example, invented figures. Fixings on a line: ceil((L - 2 C + p) / s) + 1.
"""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.design.rails import RailRule, area_m2, rails_of
from estimator.design.roof import Field, Layout, block
from estimator.design.structure.fixing_steps import Held, fixings_by_uplift
from estimator.design.structure.roof_load import fixings_for
from tests.design.structure.rules_in_force import ROOF


def panels(rows: int = 2, columns: int = 6, height_m: str = "1.762") -> Layout:
    open_field = Field(F(0), F(0), F(0), F("0.02"))
    return block(rows, columns, (F("1.134"), F(height_m)), True, open_field)


def rails(rafters_m: str = "0.6", overhang_m: str = "0.3", span_m: str = "1.2") -> RailRule:
    return RailRule(
        F(rafters_m), F(span_m), F(overhang_m), F("0.1"))


def held(net_kpa: str, resistance_kn: str = "1.1", **changes: str) -> Held:
    return fixings_by_uplift(panels(), rails(**changes), F(net_kpa), F(resistance_kn), ROOF)


def test_little_wind_leaves_the_fixings_as_far_apart_as_the_span_allows() -> None:
    # 0.8 kPa x 1.762 m / 2 = 0.7048 kN/m; x 1.2 m x 10/8 = 1.0572 kN, under 1.1 kN. Seven on each
    # of four lines: ceil(7.104 / 1.2) + 1.
    found = held("0.8")
    assert (found.fixings, found.step_m, found.holds) == (28, F("1.2"), True)
    assert found.worst_kn == F("1.0572")


def test_more_wind_brings_the_fixings_one_rafter_closer() -> None:
    # 1.2 kPa: 1.0572 kN/m x 1.2 x 10/8 = 1.5858 kN, over 1.1; at 0.6 m half of it. Thirteen on
    # each line: ceil(7.104 / 0.6) + 1, the rail's reach now held to half a step, which is 0.3 m.
    found = held("1.2")
    assert (found.fixings, found.step_m, found.holds) == (52, F("0.6"), True)
    assert found.worst_kn == F("0.7929")


def test_the_whole_uplift_alone_would_ask_for_33() -> None:
    # 23.98 m2 x 1.2 kPa = 28.77 kN, x 10/8 / 1.1 kN = 32.7. Thirty-three cannot stand at equal
    # whole steps on rafters at 0.6 m: 28 do at 1.2 m and 52 at 0.6 m.
    assert held("1.2").least == 33
    assert fixings_for(F("1.2") * area_m2(panels()), F("1.1"), ROOF) == 33


def test_exactly_what_a_fixing_holds_is_enough_and_a_whisker_more_is_not() -> None:
    # 1.1 kN / (1.2 m x 10/8) = 0.7333 kN/m, over 0.881 m of panel: 2200/2643 kPa.
    edge = F(2200, 2643)
    at, above = (fixings_by_uplift(panels(), rails(), kpa, F("1.1"), ROOF)
                 for kpa in (edge, edge + F(1, 10**9)))
    assert (at.worst_kn, at.fixings) == (F("1.1"), 28)
    assert above.fixings == 52


def test_three_rafters_a_step_fall_to_two_before_they_fall_to_one() -> None:
    # Rafters at 0.4 m. 1 kPa: 0.881 kN/m x 10/8 = 1.10125 kN/m, so that steps of 1.2, 0.8 and
    # 0.4 m load a fixing with 1.3215, 0.881 and 0.4405 kN (0.55 kN where the rail reaches 0.3 m).
    # At 0.8 m: ceil((7.104 - 0.6 + 0.4) / 0.8) + 1 = 10 a line.
    assert (held("1", rafters_m="0.4").step_m, held("1", rafters_m="0.4").fixings) == (F("0.8"), 40)
    # At 0.4 m and 0.3 m of reach: ceil(6.904 / 0.4) + 1 = 19 a line. The end fixing has
    # 0.2 + 0.3 = 0.5 m of rail.
    close = held("1", "0.6", rafters_m="0.4")
    assert (close.step_m, close.overhang_m, close.fixings) == (F("0.4"), F("0.3"), 76)
    assert close.worst_kn == F("0.550625")


def test_where_the_end_fixing_would_be_overloaded_the_rail_reaches_half_a_step() -> None:
    # As above with fixings of 0.5 kN: 0.5506 is too much, 0.4405 at half a step (0.2 m) is not:
    # ceil((7.104 - 0.4 + 0.4) / 0.4) + 1 = 19, the same count.
    found = held("1", "0.5", rafters_m="0.4")
    assert (found.overhang_m, found.fixings, found.holds) == (F("0.2"), 76, True)


def test_if_not_even_every_rafter_holds_it_is_said() -> None:
    # 0.6 m at 3 kPa: 2.643 kN/m x 0.6 x 10/8 = 1.98 kN on fixings of 1.1 kN; and 71.9 kN in all,
    # x 10/8 / 1.1 = 81.8.
    found = held("3")
    assert not found.holds
    assert found.worst_kn == F("1.98225")
    assert found.fixings == 82


def test_a_span_under_one_rafter_spacing_still_counts_every_rafter() -> None:
    # The count by span does so too, so that a budget is not too low.
    found = held("0.5", span_m="0.5")
    assert found.step_m == F("0.6")
    assert found.fixings == rails_of(panels(), rails(span_m="0.5")).fixings == 52


RAFTERS = st.sampled_from(["0.3", "0.4", "0.45", "0.5", "0.6", "0.9"])
OVERHANGS = st.sampled_from(["0", "0.15", "0.3", "0.4", "0.6"])
SPANS = st.sampled_from(["0.5", "1.0", "1.2", "1.6"])
UPLIFTS = st.fractions(0, 4, max_denominator=200)
RESISTANCES = st.fractions(F(3, 10), 3, max_denominator=20)
SMALL = st.integers(1, 4)


@given(SMALL, st.integers(1, 12), RAFTERS, OVERHANGS, SPANS, UPLIFTS, UPLIFTS, RESISTANCES)
def test_more_wind_never_takes_fewer_fixings(
    rows: int, columns: int, rafters: str, overhang: str, span: str, one: F, other: F,
    resistance: F,
) -> None:
    calm, windy = sorted((one, other))
    counts = [
        fixings_by_uplift(panels(rows, columns), rails(rafters, overhang, span), kpa, resistance,
                          ROOF).fixings
        for kpa in (calm, windy)
    ]
    assert counts[0] <= counts[1]


@given(SMALL, st.integers(1, 12), SMALL, SMALL, RAFTERS, OVERHANGS, SPANS, UPLIFTS, RESISTANCES)
def test_more_panels_never_take_fewer_fixings(
    rows: int, columns: int, more_rows: int, more_columns: int, rafters: str, overhang: str,
    span: str, kpa: F, resistance: F,
) -> None:
    rule = rails(rafters, overhang, span)
    few, many = (
        fixings_by_uplift(panels(r, c), rule, kpa, resistance, ROOF).fixings
        for r, c in ((rows, columns), (rows + more_rows, columns + more_columns)))
    assert few <= many


@given(SMALL, st.integers(1, 12), RAFTERS, OVERHANGS, SPANS, UPLIFTS, RESISTANCES, RESISTANCES)
def test_a_stronger_fixing_never_takes_more(
    rows: int, columns: int, rafters: str, overhang: str, span: str, kpa: F, one: F, other: F
) -> None:
    weak, strong = sorted((one, other))
    counts = [
        fixings_by_uplift(panels(rows, columns), rails(rafters, overhang, span), kpa, each,
                          ROOF).fixings
        for each in (strong, weak)
    ]
    assert counts[0] <= counts[1]


@given(SMALL, st.integers(1, 12), RAFTERS, OVERHANGS, SPANS, UPLIFTS, RESISTANCES)
def test_steps_are_whole_rafter_spacings_and_never_fewer_than_the_span_asks_for(
    rows: int, columns: int, rafters: str, overhang: str, span: str, kpa: F, resistance: F
) -> None:
    layout, rule = panels(rows, columns), rails(rafters, overhang, span)
    found = fixings_by_uplift(layout, rule, kpa, resistance, ROOF)
    assert (found.step_m / F(rafters)).denominator == 1
    assert found.step_m <= max(F(span), F(rafters))
    assert found.overhang_m <= F(overhang)
    assert found.fixings >= rails_of(layout, rule).fixings
    assert found.holds is (found.worst_kn <= resistance)


def test_a_fixing_without_resistance_is_refused() -> None:
    with pytest.raises(ValueError, match="has a resistance"):
        held("1", "0")
