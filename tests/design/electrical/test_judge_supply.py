"""The main fuse against the demand of the home: small fuse, charger, heat pump, each by itself.

Diversity: J. Whitfield, The Electricians Guide, Table 6.2. Usual loads (two rings of 32 A, a cooker
of 40 A with a socket, two lighting circuits of 6 A; a charger 32 A, a heat pump 20 A): common
practice, no source. By hand 0.66 x 12 + (10 + 0.3 x 30 + 5) + (32 + 0.4 x 32) = 76.72 A.
"""

from __future__ import annotations

from decimal import Decimal as D
from fractions import Fraction as F
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.design.electrical.jobs import asked, codes, judged, leg, told, worked

SPLIT = {"small-fuse", "main-fuse", "vehicle-charger", "heat-pump"}


def supply(**facts: Any) -> Any:
    return judged(leg(), supply=facts)


def test_usual_loads_pass_under_80_a_and_nothing_more_is_told() -> None:
    found = supply(fuse_a=80)
    check = told(found, "main-fuse")
    assert (check.value, check.limit, check.level) == (F("76.72"), 80, "fine")
    assert "Whitfield" in check.source
    assert "common practice, no source" in check.source
    assert codes(found) & SPLIT == {"main-fuse"}


@pytest.mark.parametrize(("fuse", "level"), [("76.72", "fine"), ("76.71", "caution")])
def test_the_demand_is_compared_before_rounding(fuse: str, level: str) -> None:
    assert told(supply(fuse_a=D(fuse)), "main-fuse").level == level


@pytest.mark.parametrize(("fuse", "small"), [(60, True), ("60.1", False), (100, False)])
def test_a_small_fuse_is_told_by_itself(fuse: Any, small: bool) -> None:
    # Common practice, no source: 60 A or less.
    found = supply(fuse_a=D(fuse))
    assert ("small-fuse" in codes(found)) is small
    if small:
        check = told(found, "small-fuse")
        assert (check.level, check.value, check.limit) == ("caution", 60, 60)


def test_a_charger_is_held_against_the_room_beside_the_other_loads() -> None:
    # 100 - 76.72 = 23.28 A of room for 32 A; the demand of 108.72 A is over the fuse as well.
    found = supply(fuse_a=100, electric_vehicle=True)
    charger = told(found, "vehicle-charger")
    assert (charger.value, charger.limit, charger.level) == (32, F("23.28"), "caution")
    demand = told(found, "main-fuse")
    assert (demand.value, demand.level) == (F("108.72"), "caution")
    assert "no usual main fuse carries it" in demand.says
    assert "heat-pump" not in codes(found)


def test_a_heat_pump_fits_under_100_a_and_not_under_80() -> None:
    # 76.72 + 20 = 96.72 A; 100 leaves 23.28 A, 80 leaves 3.28 A.
    fits, not_ = supply(fuse_a=100, heat_pump=True), supply(fuse_a=80, heat_pump=True)
    assert told(fits, "heat-pump").level == told(fits, "main-fuse").level == "fine"
    pump = told(not_, "heat-pump")
    assert (pump.value, pump.limit, pump.level) == (20, F("3.28"), "caution")
    assert "a main fuse of 100 A would carry it" in told(not_, "main-fuse").says


def test_storage_that_charges_from_the_grid_is_a_load_in_full() -> None:
    # 76.72 + 16 = 92.72 A.
    found = judged(leg(), parts=("converter", "storage"), storage={})
    assert told(found, "main-fuse").value == F("92.72")


def test_on_three_phases_usual_loads_are_spread_and_the_rest_is_on_one() -> None:
    # 76.72 / 3 + 32 + 20 = 77.57 A; the room for the charger is 100 - 45.57 A.
    found = judged(leg(), supply={"phases": 3, "electric_vehicle": True, "heat_pump": True},
                   converter={"phases": 3, "ac_a": D("14.5")})
    assert told(found, "main-fuse").value == F("76.72") / 3 + 52
    assert told(found, "vehicle-charger").limit == 100 - (F("76.72") / 3 + 20)


def test_a_fuse_that_was_not_read_is_a_question_with_the_smallest_as_worst() -> None:
    found = supply(fuse_a=None)
    question = asked(found, "main-fuse")
    assert question.facts == ("supply.fuse_a",)
    assert (question.worst.value, question.worst.limit) == (F("76.72"), 60)
    assert question.worst.level == "caution"
    assert not codes(found) & SPLIT


def test_a_charger_that_nobody_ruled_out_is_a_question_where_it_decides() -> None:
    found = supply(fuse_a=100, electric_vehicle=None)
    question = asked(found, "main-fuse")
    assert question.facts == ("supply.electric_vehicle",)
    assert question.worst.value == F("108.72")
    assert "main-fuse" not in codes(found)


def test_a_heat_pump_that_nobody_ruled_out_is_taken_as_there_where_the_fuse_carries_it() -> None:
    found = supply(fuse_a=100, heat_pump=None)
    check = told(found, "main-fuse")
    assert (check.value, check.level) == (F("96.72"), "fine")
    assert "nobody knows: heat pump" in worked(found, "maximum-demand", "supply").says


def test_an_open_load_is_not_asked_for_where_the_fuse_is_too_small_without_it() -> None:
    found = supply(fuse_a=60, heat_pump=None)
    check = told(found, "main-fuse")
    assert (check.value, check.level) == (F("76.72"), "caution")


def test_storage_behind_a_converter_that_is_not_chosen_is_no_pass() -> None:
    found = judged(leg(), parts=("converter", "storage"), storage={},
                   wishes={"converter": None}, converter_facts={"place": None})
    question = asked(found, "main-fuse")
    assert question.facts == ("converter.place",)
    assert question.worst.level == "caution"
    assert "main-fuse" not in codes(found)


@pytest.mark.parametrize(("watts", "level"), [(3680, "caution"), (4600, "fine"), (0, "caution")])
def test_a_heat_pump_is_held_against_the_backup_output(watts: int, level: str) -> None:
    # 3680 / 230 = 16 A and 4600 / 230 = 20 A against its usual 20 A.
    found = judged(leg(), leg(run="backup"), parts=("converter", "backup"),
                   supply={"heat_pump": True}, converter={"backup_w": watts})
    check = told(found, "backup-heat-pump")
    assert (check.value, check.limit, check.level) == (F(watts, 230), 20, level)
    assert "backup-heat-pump" not in codes(supply(heat_pump=True))


@settings(max_examples=30, deadline=None)
@given(st.integers(30, 150), st.sampled_from([True, False]), st.sampled_from([True, False]))
def test_more_load_never_mends_the_fuse_and_a_larger_fuse_never_breaks_it(
    fuse: int, charger: bool, pump: bool
) -> None:
    rank = {"fine": 0, "caution": 1}
    now = told(supply(fuse_a=fuse, electric_vehicle=charger, heat_pump=pump), "main-fuse")
    less = told(supply(fuse_a=fuse, electric_vehicle=False, heat_pump=pump), "main-fuse")
    larger = told(supply(fuse_a=fuse + 20, electric_vehicle=charger, heat_pump=pump), "main-fuse")
    assert rank[less.level] <= rank[now.level]
    assert rank[larger.level] <= rank[now.level]
