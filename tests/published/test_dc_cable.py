"""Panel cable against EN 50618, IEC 60228 and worked figures."""

from __future__ import annotations

from decimal import Decimal as D
from fractions import Fraction as F

import pytest

from estimator.design.electrical.catalogue_rating import rating_check
from estimator.design.electrical.dc_cable import (
    StringRun,
    check_run,
    dc_drop_v,
    design_run,
    least_bend_mm,
    rated_a,
    resistance_ohm_km,
)
from estimator.design.electrical.figures import OutsideTableError
from tests.design.electrical.packs import GB, cable


def run(**fields: object) -> StringRun:
    """Return the run of the worked example: 10 panels at 33 V, 13.5 A, 25 m one way."""
    return StringRun(**{  # type: ignore[arg-type]
        "name": "string", "current_a": D("13.5"), "most_a": 18, "working_v": 330, "cold_v": 450,
        "length_m": 25, "conductor_c": 20, **fields})


@pytest.mark.parametrize(
    ("size", "free", "surface", "adjacent"),
    [("2.5", 41, 39, 33), ("4", 55, 52, 44), ("6", 70, 67, 57), ("10", 98, 93, 79),
     ("16", 132, 125, 107)],
)
def test_panel_cable_carries_what_en_50618_says(
    size: str, free: int, surface: int, adjacent: int
) -> None:
    # EN 50618 Annex A, 60 degrees air, 120 degrees conductor (from memory).
    assert rated_a(GB, D(size), "free", 60).value == free
    assert rated_a(GB, D(size), "surface", 60).value == surface
    assert rated_a(GB, D(size), "adjacent", 60).value == adjacent


@pytest.mark.parametrize(
    ("air_c", "factor"), [(70, "0.91"), (80, "0.82"), (90, "0.71"), (71, "0.82"), (30, "1")]
)
def test_hotter_air_has_the_factor_of_en_50618(air_c: int, factor: str) -> None:
    # EN 50618 Annex A (from memory); between steps the hotter one, below 60 degrees no gain.
    assert rated_a(GB, 4, "free", air_c).value == 55 * F(factor)


def test_in_air_over_90_degrees_the_cable_has_no_rating() -> None:
    with pytest.raises(OutsideTableError):
        rated_a(GB, 4, "free", 91)


@pytest.mark.parametrize(
    ("air_c", "factor"), [(70, "0.91"), (80, "0.82"), (90, "0.71")]
)
def test_the_factors_are_the_root_law_for_a_conductor_of_120_degrees(
    air_c: int, factor: str
) -> None:
    # Heat balance root((120 - Ta) / (120 - 60)): 0.913, 0.816, 0.707.
    assert ((120 - air_c) / 60) ** 0.5 == pytest.approx(float(F(factor)), abs=0.005)
    assert rated_a(GB, 10, "adjacent", air_c).value == 79 * F(factor)


@pytest.mark.parametrize(
    ("size", "ohm_km"),
    [("2.5", "8.21"), ("4", "5.09"), ("6", "3.39"), ("10", "1.95"), ("16", "1.24")],
)
def test_tinned_class_5_copper_has_the_resistance_of_iec_60228(size: str, ohm_km: str) -> None:
    # IEC 60228 (from memory).
    assert resistance_ohm_km(GB, D(size)) == F(ohm_km)


def test_plain_class_1_copper_is_not_taken_for_class_5() -> None:
    # A cable seller's guide: 4 mm² plain class 1 has 4.61 ohm/km; panel cable has 5.09.
    assert resistance_ohm_km(GB, 4, conductor="class 1") == F("4.61")
    assert resistance_ohm_km(GB, 4) == F("5.09")


@pytest.mark.parametrize(("conductor_c", "ohm_km"), [(70, 6.09), (90, 6.49)])
def test_warm_copper_has_more_resistance(conductor_c: int, ohm_km: float) -> None:
    # Textbook: R20 (1 + 0.00393 (T - 20)); 4 mm²: 6.09 and 6.49 ohm/km (by hand).
    assert round(float(resistance_ohm_km(GB, 4, conductor_c)), 2) == ohm_km


@pytest.mark.parametrize(("drop_share", "level"), [("0.03", "fine"), ("0.0301", "stop")])
def test_the_design_limit_is_three_percent(drop_share: str, level: str) -> None:
    # Guide to the installation of photovoltaic systems, two editions: under 3 % from array to
    # converter at the maximum-power point. The length is chosen to reach the share exactly.
    length = F(drop_share) * 330 * 1000 / (2 * F("13.5") * F("5.09"))
    checks = check_run(GB, run(length_m=length), 4)
    assert [check.level for check in checks if check.code == "dc-volt-drop"] == [level]


@pytest.mark.parametrize(
    ("cold_v", "rated", "most"),
    [(1500, "fine", "fine"), (1501, "caution", "fine"), (1800, "caution", "fine"),
     (1801, "caution", "stop")],
)
def test_the_cables_voltages_are_1_5_and_1_8_kv(cold_v: int, rated: str, most: str) -> None:
    # Data pages of H1Z2Z2-K cable: U0/U 1.5/1.5 kV d.c., at most 1.8 kV d.c.
    levels = {check.code: check.level for check in check_run(GB, run(cold_v=cold_v), 4)}
    assert (levels["dc-cable-rated-voltage"], levels["dc-cable-voltage"]) == (rated, most)


@pytest.mark.parametrize(("size", "diameter", "kg_km"), [(4, "5.6", 56), (6, "6.1", 75)])
def test_diameter_and_mass_are_those_of_a_data_page(
    size: int, diameter: str, kg_km: int
) -> None:
    # H1Z2Z2-K data page: 4 mm² about 5.6 mm and 56 kg/km; 6 mm² 6.1 mm and 75 kg/km; it is bent
    # to four diameters at least where it is fixed, to five where it moves.
    assert least_bend_mm(GB, size) == 4 * F(diameter)
    assert least_bend_mm(GB, size, moves=True) == 5 * F(diameter)
    assert GB.cell("dc_cable_sheath", size, "diameter_mm").value == F(diameter)
    assert GB.cell("dc_cable_sheath", size, "kg_km").value == kg_km


def test_the_worked_string_drops_3_44_v_out_and_back() -> None:
    # By hand: 2 x 25 x 13.5 x 5.09 / 1000 = 3.43575 V, 1.04 % of 330 V. One way only, the trap,
    # would be half of it.
    drop = dc_drop_v(D("13.5"), 25, resistance_ohm_km(GB, 4))
    assert drop == F("3.43575")
    assert round(float(drop / 330 * 100), 2) == 1.04
    design = design_run(GB, run(), [4, 6, 10])
    assert (design.size_mm2, design.drop_v, design.level) == (4, drop, "fine")


@pytest.mark.parametrize(("stated", "level"), [(32, "fine"), (55, "fine"), (57, "stop")])
def test_trap_pages_give_one_cable_32_55_or_57_a(stated: int, level: str) -> None:
    # 4 mm² panel cable: 32 A on one page, 57 A on another, 55 A in EN 50618 (single, free in air).
    spec = cable(kind="pv d.c.", size_mm2=4, clipped_a=stated, capacity_source="a seller's page")
    check = rating_check(GB, "pv d.c.", "free", spec)
    assert check is not None
    assert (check.level, check.limit) == (level, 55)
    assert "EN 50618" in check.source
    assert "a seller's page" in check.says
