"""Added load, uplift and fixings on a roof: edges of the sums and what never happens."""

from __future__ import annotations

from decimal import Decimal as D
from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.design.structure.roof_load import (
    ballast_kg,
    fixings_for,
    judge_added_load,
    uplift,
)
from estimator.design.structure.wind import altitude_factor, peak_pressure
from tests.design.structure.rules_in_force import ROOF, WIND

AREAS = st.floats(0.5, 80)
PRESSURES = st.floats(0.1, 3)
MASSES = st.floats(0, 500)
RESISTANCES = st.decimals("0.3", "3", places=2)


def test_fixings_are_rounded_up_and_exactly_enough_is_enough() -> None:
    # By hand: 4.4 kN x 1.25 / 1.1 kN = 5 exactly; a whisker more takes a sixth.
    assert fixings_for(4.4, D("1.1"), ROOF) in (5, 6)  # 4.4 is no exact binary number
    assert fixings_for(4, D("1"), ROOF) == 5
    assert fixings_for(4.0001, D("1"), ROOF) == 6
    assert fixings_for(0, D("1"), ROOF) == 0


def test_a_heavy_array_in_little_wind_needs_nothing_to_hold_it() -> None:
    # 1 m2 x 0.1 x 1.3 x 1.5 = 0.195 kN against 0.9 x 100 kg x 9.81 = 0.883 kN.
    assert uplift(1, 100, 0.1, ROOF).net_kn == 0


def test_ballast_weighs_as_much_as_the_uplift_over_its_factor() -> None:
    # By hand: 1 kN / (0.9 x 9.81 m/s2) = 113.3 kg.
    assert ballast_kg(1, ROOF) == pytest.approx(113.26, abs=0.005)


@pytest.mark.parametrize("resistance", [0, -1])
def test_a_fixing_without_resistance_is_refused(resistance: int) -> None:
    with pytest.raises(ValueError, match="has a resistance"):
        fixings_for(1, resistance, ROOF)


def test_sums_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match="load of its own"):
        judge_added_load(D("0.1"), 0, ROOF)
    with pytest.raises(ValueError, match="not below zero"):
        uplift(-1, 0, 1, ROOF)
    with pytest.raises(ValueError, match="above zero"):
        peak_pressure(0, 8, WIND.terrains["town"], WIND)
    with pytest.raises(ValueError, match="above the ground"):
        altitude_factor(66, 0, WIND)


def test_the_added_load_is_compared_before_it_is_rounded() -> None:
    # 0.11996 / 0.8 = 14.995 %, shown as 15 %, and below the limit of 15 %.
    found = judge_added_load(D("0.11996"), D("0.8"), ROOF)
    assert found.value == F("0.14995")
    assert found.passes


@given(AREAS, st.floats(0, 40), PRESSURES, MASSES, RESISTANCES)
def test_more_panels_never_lower_the_fixings(
    area: float, more: float, pressure: float, mass_kg_m2: float, resistance: D
) -> None:
    each = mass_kg_m2 / 80  # up to about 6 kg/m2, so that wind wins as often as it loses
    few = uplift(area, area * each, pressure, ROOF)
    many = uplift(area + more, (area + more) * each, pressure, ROOF)
    assert many.wind_kn >= few.wind_kn
    assert fixings_for(many.net_kn, resistance, ROOF) >= fixings_for(few.net_kn, resistance, ROOF)


@given(AREAS, PRESSURES, st.floats(0, 2), MASSES, RESISTANCES)
def test_more_wind_never_lowers_the_fixings(
    area: float, pressure: float, more: float, mass: float, resistance: D
) -> None:
    calm, windy = (uplift(area, mass, each, ROOF) for each in (pressure, pressure + more))
    assert fixings_for(windy.net_kn, resistance, ROOF) >= fixings_for(
        calm.net_kn, resistance, ROOF)


@given(st.floats(0.01, 60), RESISTANCES, RESISTANCES)
def test_a_stronger_fixing_never_takes_more(net_kn: float, one: D, other: D) -> None:
    weak, strong = sorted((one, other))
    assert fixings_for(net_kn, strong, ROOF) <= fixings_for(net_kn, weak, ROOF)


@given(st.sampled_from(sorted(WIND.terrains)), st.floats(15, 40), st.floats(1, 50),
       st.floats(0, 20), st.floats(0, 10))
def test_the_pressure_rises_with_height_and_velocity(
    kind: str, velocity: float, height: float, higher: float, faster: float
) -> None:
    terrain = WIND.terrains[kind]
    low = peak_pressure(velocity, height, terrain, WIND).peak_kpa
    assert peak_pressure(velocity, height + higher, terrain, WIND).peak_kpa >= low
    assert peak_pressure(velocity + faster, height, terrain, WIND).peak_kpa >= low


@given(st.floats(15, 40), st.floats(10, 50))
def test_rougher_ground_never_raises_the_pressure(velocity: float, height: float) -> None:
    # From the least height of a town up, so that no category is held at its own.
    smooth_first = [
        peak_pressure(velocity, height, WIND.terrains[kind], WIND).peak_kpa
        for kind in ("sea", "open", "farmland", "suburb", "town")
    ]
    assert smooth_first == sorted(smooth_first, reverse=True)


@given(st.decimals("0", "1", places=3), st.decimals("0", "1", places=3),
       st.decimals("0.3", "2", places=2))
def test_a_heavier_array_never_passes_where_a_lighter_fails(one: D, other: D, roof: D) -> None:
    light, heavy = sorted((one, other))
    assert judge_added_load(light, roof, ROOF).passes >= judge_added_load(
        heavy, roof, ROOF).passes
