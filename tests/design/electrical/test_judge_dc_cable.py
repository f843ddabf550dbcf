"""Panel cable of a whole job: size, reason, checks, and what is asked."""

from __future__ import annotations

from decimal import Decimal as D
from fractions import Fraction as F
from typing import Any

import pytest

from estimator.design.sheet import Unknown
from tests.design.electrical.strung import answer, check, job, judged, question, stops, sums

# 10 panels of 33 V and 13.5 A; conductors at 90 degrees have 5.09 x 1.2751 = 6.4903 ohm/km, and
# 3 % of 330 V is 9.9 V (by hand).
PANEL = {"vmp_v": 33, "imp_a": "13.5"}


def sized(panel: dict[str, Any] | None = None, **plane: Any) -> Any:
    return judged(job({"panels": 10, "strings": 1, **plane}, panel=panel or PANEL))


@pytest.mark.parametrize(
    ("loft_m", "size", "drop_v"),
    [
        # One metre of end is added. 56 m of 4 mm²: 2 x 56 x 13.5 x 6.490259 / 1000 = 9.813 V.
        (55, 4, "9.813271608"),
        # 57 m of 4 mm² would drop 9.989 V; 6 mm² has 3.39 x 1.2751 = 4.322589: 6.653 V.
        (56, 6, "6.652464471"),
        # 85 m of 6 mm² would drop 9.920 V; 10 mm² has 1.95 x 1.2751 = 2.486445: 5.706 V.
        (84, 10, "5.706391275"),
    ],
)
def test_the_smallest_size_that_keeps_three_percent_is_taken(
    loft_m: int, size: int, drop_v: str
) -> None:
    outcome = sized(dc_loft_m=loft_m)
    assert outcome.planes[0]["plane.dc_mm2"] == size
    drop = check(outcome, "dc-volt-drop")
    assert (drop.level, drop.value, drop.limit) == ("fine", F(drop_v), F("9.9"))
    kept = answer(outcome, "dc-cable", "plane 1")
    assert sums(kept)["volt drop out and back"] == F(drop_v)
    assert kept.says == outcome.because["plane[0].dc_mm2"]
    assert kept.says.startswith(f"{size} mm²: ")


def test_the_reason_names_what_the_next_smaller_size_fails() -> None:
    says = answer(sized(dc_loft_m=56), "dc-cable").says
    assert "4 mm² fails" in says
    assert "volt drop" in says
    assert "9.9885 V is over 9.9 V" in says


def test_a_drop_of_three_percent_to_the_hair_passes_and_a_hair_more_does_not() -> None:
    # Guide to the installation of photovoltaic systems, 2012: 3 %. The current is chosen so that
    # 100 m drop just 3 % of 330 V: 9.9 x 1000 / (2 x 100 x 6.490259) A, rounded down and up.
    least, most = "7.62681", "7.62682"
    assert sized({**PANEL, "imp_a": least}, dc_loft_m=99).planes[0]["plane.dc_mm2"] == 4
    assert sized({**PANEL, "imp_a": most}, dc_loft_m=99).planes[0]["plane.dc_mm2"] == 6


def test_the_shortest_string_of_a_plane_rules_the_drop_and_the_longest_the_voltage() -> None:
    # 11 panels in 6 + 5: 3 % of 5 x 33 V = 4.95 V; 6 x 40 V x 1.0875 = 261 V.
    outcome = judged(job({"panels": 11, "strings": 2}, panel=PANEL))
    assert check(outcome, "dc-volt-drop").limit == F("4.95")
    assert check(outcome, "dc-cable-rated-voltage").value == 261


def test_only_sizes_on_offer_are_taken() -> None:
    outcome = judged(job({"panels": 10, "strings": 1}, panel=PANEL, sizes_mm2=("6",)))
    assert outcome.planes[0]["plane.dc_mm2"] == 6
    nothing = judged(job({"panels": 10, "strings": 1}, panel=PANEL, sizes_mm2=()))
    assert nothing.planes[0]["plane.dc_mm2"] == D("2.5")  # the smallest of the table; a gap


def test_where_no_size_keeps_the_drop_it_is_a_stop() -> None:
    # 200 m of 10 mm²: 2 x 200 x 13.5 x 2.486445 / 1000 = 13.4 V over 9.9 V.
    outcome = sized(dc_loft_m=199)
    assert outcome.planes[0]["plane.dc_mm2"] == 10
    assert "dc-volt-drop" in stops(outcome)


def test_the_trench_of_a_ground_array_is_part_of_its_route() -> None:
    # 3 + 2 + 38 + 1 = 44 m.
    ground = {"kind": "ground", "covering": "ground", "dc_loft_m": 3, "dc_outside_m": 2,
              "trench_m": 38, "rafter_spacing_m": None}
    assert sums(answer(sized(**ground), "dc-cable"))["route one way, with an end"] == 44
    asked = question(sized(**{**ground, "trench_m": None}), "dc-volt-drop")
    assert asked.facts == ("plane[0].trench_m",)


def test_a_route_nobody_has_measured_is_asked_for_and_its_cable_waits() -> None:
    outcome = sized(dc_loft_m=None)
    asked = question(outcome, "dc-volt-drop")
    assert asked.facts == ("plane[0].dc_loft_m",)
    size = outcome.planes[0]["plane.dc_mm2"]
    assert isinstance(size, Unknown)
    assert size.facts == {"plane[0].dc_loft_m"}
    assert outcome.planes[0]["plane.strings_used"] == 1


def test_the_worked_string_drops_3_44_v_through_the_whole_check() -> None:
    # By hand: 10 panels of 33 V, 13.5 A, 25 m one way in 4 mm² at 20 degrees:
    # 2 x 25 x 13.5 x 5.09 / 1000 = 3.43575 V, 1.04 % of 330 V.
    outcome = judged(job({"panels": 10, "strings": 1, "dc_loft_m": 24}, panel=PANEL,
                         practice={"dc_conductor_c": "20"}))
    drop = check(outcome, "dc-volt-drop")
    assert drop.value == F("3.43575")
    assert round(float(drop.value) / 330 * 100, 2) == 1.04
    assert outcome.planes[0]["plane.dc_mm2"] == 4


def test_air_hotter_than_the_table_stops_with_its_reason() -> None:
    outcome = judged(job({"panels": 10, "strings": 1}, panel=PANEL,
                         practice={"dc_cable_air_c": "95"}))
    assert stops(outcome) == {"string-window"}
    assert "95 is beyond 90" in check(outcome, "string-window").says
    assert isinstance(outcome.planes[0]["plane.dc_mm2"], Unknown)
