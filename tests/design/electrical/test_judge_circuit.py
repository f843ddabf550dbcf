"""The converter's circuit from the survey to its cable, the questions and the stops."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D
from fractions import Fraction as F
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.design.electrical.judge_circuit import judge_circuit
from estimator.design.sheet import Unknown
from tests.design.electrical.jobs import (
    PRACTICE,
    asked,
    cable_item,
    case_of,
    codes,
    judged,
    leg,
    prices_of,
    survey_of,
    told,
    worked,
)

RUN = "converter circuit"


def test_each_leg_is_held_against_what_its_way_of_laying_carries() -> None:
    # BS 7671, Tables 4D5 and 4D2A: the 25 A device of a 5 kW converter. 6 + 10 m at 21.7 A: for
    # 2.3 V the mV/A/m may be 6.6, so 10 mm² (4.4): clipped it carries 64 A, in trunking 52.
    found = judged(leg("clipped", 6), leg("trunking", 10), converter={
        "ac_w": 5000, "ac_a": D("21.7"), "device_a": 25})
    assert found.facts["circuit.flat_mm2"] == 10
    assert told(found, "cable-capacity", f"{RUN}, leg 1").value == 64
    trunking = told(found, "cable-capacity", f"{RUN}, leg 2")
    assert (trunking.value, trunking.limit, trunking.level) == (52, 25, "fine")
    assert "Table 4D2A" in trunking.source
    load = told(found, "circuit-load")
    assert (load.value, load.limit, load.level) == (F("21.7"), 25, "fine")
    assert found.facts["circuit.rating_a"] == 25
    drop = told(found, "volt-drop")
    assert drop.value == F("4.4") * F("21.7") * 16 / 1000


def test_what_the_item_must_carry_clipped_follows_from_the_hardest_leg() -> None:
    # 20 A in trunking: 2.5 mm² carries 23 A there and 27 clipped (Tables 4D2A and 4D5), so an item
    # must state 20 x 27 / 23 A clipped. In a loft the air of 40 degrees gives 0.87 (Table 4B1) and
    # method 100 21 A, 18.3 A in all; 4 mm² has 27 A there and 37 clipped.
    trunking = judged(leg("trunking", 5))
    assert trunking.facts["circuit.flat_mm2"] == D("2.5")
    assert trunking.facts["circuit.flat_clipped_a"] == F(20 * 27, 23)
    both = judged(leg("trunking", 5), leg("loft", 5))
    assert both.facts["circuit.flat_mm2"] == 4
    assert both.facts["circuit.flat_clipped_a"] == F(20) / F("0.87") * F(37, 27)


def test_an_item_that_states_too_little_for_the_leg_is_no_size_on_offer() -> None:
    # In trunking 4 mm² must carry 24.7 A clipped; one that states 24 A does not serve.
    weak = cable_item("4", clipped_a=24)
    found = judged(leg("trunking", 5), cables=[weak, cable_item("6")])
    assert found.facts["circuit.flat_mm2"] == 6
    found = judged(leg("trunking", 5), cables=[cable_item("4", clipped_a=25), cable_item("6")])
    assert found.facts["circuit.flat_mm2"] == 4


def test_an_item_without_a_rating_is_not_taken() -> None:
    unrated = cable_item("4", clipped_a=None)
    assert judged(leg(), cables=[unrated, cable_item("6")]).facts["circuit.flat_mm2"] == 6


def test_a_rating_over_the_table_is_told_and_not_reckoned_with() -> None:
    # A web table gives 6 mm² flat cable 57 A; Table 4D5 gives 47.
    found = judged(leg(), cables=[cable_item("6", clipped_a=57, capacity_source="a web page")])
    check = told(found, "catalogue-rating")
    assert (check.level, check.value, check.limit) == ("caution", 57, 47)
    assert "a web page" in check.says
    assert told(found, "cable-capacity").value == 47


def test_a_leg_that_nobody_looked_at_is_taken_as_in_insulation_and_marked() -> None:
    # BS 7671, Table 52.2: half the current. 25 A needs 50 A clipped: 10 mm² (64), not 6 (47).
    # In the air of a loft 25 / (0.5 x 0.87) = 57.5 A, also 10 mm².
    five = {"ac_w": 5000, "ac_a": D("21.7"), "device_a": 25}
    for method, needs in (("under floor", F(50)), ("loft", F(50) / F("0.87"))):
        unseen = judged(leg(method, 4, insulation_contact=None), converter=five)
        seen = judged(leg(method, 4, insulation_contact=True), converter=five)
        assert unseen.facts == seen.facts
        assert unseen.facts["circuit.flat_mm2"] == 10
        assert told(unseen, "cable-capacity").limit == needs
        assert "circuit.flat_mm2" in unseen.assumed
        assert not seen.assumed
        assert "nobody knows: leg 1" in worked(unseen, "circuit-cable", RUN).says
    clear = judged(leg("under floor", 4), converter=five)
    assert clear.facts["circuit.flat_mm2"] == 4  # method 100: 27 A


@pytest.mark.parametrize(
    ("change", "missing"),
    [({"method": None}, "leg[1].method"), ({"length_m": None}, "leg[1].length_m"),
     ({"run": None}, "leg[1].run")],
)
def test_a_leg_with_a_gap_is_a_question_and_no_pass(
    change: dict[str, Any], missing: str
) -> None:
    found = judged(leg(), {**leg("trunking", 3), **change})
    question = asked(found, "circuit-cable")
    assert question.facts == (missing,)
    assert question.worst.level == "stop"
    assert not codes(found) & {"volt-drop", "cable-capacity", "circuit-load"}
    size = found.facts["circuit.flat_mm2"]
    assert isinstance(size, Unknown)
    assert size.facts == {missing}
    assert found.facts["circuit.rating_a"] == 20  # the device is known all the same
    assert found.facts["circuit.over_to_armoured"] is False


def test_a_converter_that_is_not_chosen_leaves_its_circuit_open() -> None:
    found = judged(leg(), wishes={"converter": None}, converter_facts={"place": None})
    assert asked(found, "circuit-cable").facts == ("converter.place",)
    for fact in ("circuit.flat_mm2", "circuit.rating_a"):
        assert isinstance(found.facts[fact], Unknown)


def test_a_route_without_legs_is_one_leg_under_a_floor_in_insulation() -> None:
    # 10 m: 16 A x 10 m = 160; 2.3 V gives 14.4 mV/A/m, so 4 mm² by the rise; 20 A in insulation
    # needs 40 A clipped: 6 mm² (47 A).
    found = judged(converter_facts={"circuit_m": 10})
    assert found.facts["circuit.flat_mm2"] == 6
    assert found.facts["circuit.flat_lengths"] == 1
    assert told(found, "cable-capacity").limit == 40
    assert "No leg is listed" in worked(found, "circuit-cable", RUN).says


def test_a_route_that_nobody_measured_is_a_question() -> None:
    found = judged()
    assert asked(found, "circuit-cable").facts == ("converter.circuit_m",)


def test_where_no_flat_size_serves_the_circuit_is_armoured_all_the_way() -> None:
    # 80 m at 16 A: flat 16 mm² rises 2.8 x 16 x 80 / 1000 = 3.58 V of 2.3; armoured 25 mm² (1.75,
    # Table 4D4B) 2.24 V.
    found = judged(leg("clipped", 70), leg("loft", 10))
    facts = found.facts
    assert facts["circuit.over_to_armoured"] is True
    assert (facts["circuit.flat_mm2"], facts["circuit.armoured_mm2"]) == (0, 25)
    assert (facts["circuit.flat_lengths"], facts["circuit.armoured_lengths"]) == (0, 1)
    assert told(found, "volt-rise-aim").value == F("2.24")
    assert told(found, "over-to-armoured").level == "caution"
    assert "no flat size on offer keeps: voltage rise" in found.because["circuit.armoured_mm2"]


def test_a_shorter_run_stays_in_flat_cable() -> None:
    # 51 m: 2.8 x 16 x 51 / 1000 = 2.2848 V keeps the 2.3 V aim; 51.4 m would be 2.30272 V.
    assert judged(leg("clipped", 51)).facts["circuit.flat_mm2"] == 16
    assert judged(leg("clipped", "51.4")).facts["circuit.over_to_armoured"] is True


def test_flat_cable_that_misses_the_aim_is_kept_where_armoured_does_no_better() -> None:
    found = judged(leg("clipped", 30), cables=[cable_item("6")])
    # 7.3 x 16 x 30 / 1000 = 3.504 V: over the aim, within the limit, and nothing else on offer.
    assert found.facts["circuit.flat_mm2"] == 6
    assert told(found, "volt-rise-aim").level == "caution"
    assert "over-to-armoured" not in codes(found)


def test_where_nothing_carries_the_device_it_stops() -> None:
    # 63 A in insulation needs 126 A clipped; flat 16 mm² has 85, armoured 25 mm² 118.
    large = {"ac_w": 13000, "ac_a": 60, "device_a": 63}
    steel = cable_item("25", "armoured", clipped_a=118)
    for cables, size in (([cable_item("16")], 85), ([cable_item("16"), steel], 118)):
        found = judged(leg("under floor", 5, insulation_contact=True), converter=large,
                       cables=cables)
        capacity = told(found, "cable-capacity")
        assert (capacity.level, capacity.value, capacity.limit) == ("stop", size, 126)


def test_a_converter_over_its_device_stops() -> None:
    # Ib <= In (BS 7671, Regulation 433.1): 21.7 A behind 20 A. 12 m may have 8.8 mV/A/m: 6 mm².
    found = judged(leg(), converter={"ac_w": 5000, "ac_a": D("21.7"), "device_a": 20})
    load = told(found, "circuit-load")
    assert (load.level, load.value, load.limit) == ("stop", F("21.7"), 20)
    assert found.facts["circuit.flat_mm2"] == 6  # no thicker cable mends that
    assert found.facts["circuit.over_to_armoured"] is False


def test_a_cable_that_nobody_sells_has_the_size_of_the_tables_and_says_so() -> None:
    # The bill then names the size that the catalogue lacks, and that bars a firm price.
    found = judged(leg(), cables=[])
    assert found.facts["circuit.flat_mm2"] == 4  # 2.5 mm² rises 3.456 V of 2.3
    assert "Nobody offers flat twin and earth" in worked(found, "circuit-cable", RUN).says


def test_where_only_armoured_cable_is_sold_the_circuit_is_armoured() -> None:
    found = judged(leg(), cables=[cable_item("4", "armoured", clipped_a=38)])
    assert found.facts["circuit.over_to_armoured"] is True
    assert found.facts["circuit.armoured_mm2"] == 4
    assert told(found, "over-to-armoured").says.startswith("no flat cable is on offer")


def test_a_place_beyond_the_table_stops_and_names_the_table() -> None:
    # Practice values of a firm may take a loft as 65 degrees; Table 4B1 ends at 60 for this cable.
    hot = replace(PRACTICE.values["loft_air_c"][0], value=D(65))
    case = case_of(survey_of([leg("loft", 5)]), prices_of())
    practice = replace(PRACTICE, values={**PRACTICE.values, "loft_air_c": (hot,)})
    stop = told(judge_circuit(replace(case, practice=practice)), "circuit-cable")
    assert stop.level == "stop"
    assert "Table 4B1" in stop.source
    assert "65 is beyond 60" in stop.says


@pytest.mark.parametrize(
    ("methods", "lengths"),
    [(["clipped", "loft"], (1, 0)), (["armoured outside", "buried soft"], (0, 1)),
     (["clipped", "armoured outside"], (1, 1)),
     (["clipped", "buried soft", "trunking"], (2, 1)),
     (["armoured outside", "clipped", "buried hard"], (1, 2))],
)
def test_lengths_of_cable_are_counted_where_they_change_along_the_route(
    methods: list[str], lengths: tuple[int, int]
) -> None:
    found = judged(*(leg(method, 3) for method in methods))
    assert (found.facts["circuit.flat_lengths"], found.facts["circuit.armoured_lengths"]) == lengths


def test_legs_of_other_runs_are_not_of_this_circuit() -> None:
    alone = judged(leg("clipped", 12))
    among = judged(leg("clipped", 12), leg("clipped", 90, run="data"),
                   leg("buried soft", 50, run="d.c."))
    assert among.facts == alone.facts


def test_a_three_phase_circuit_is_sized_between_lines() -> None:
    # Table 4D2B: 4 mm² 9.5 mV between lines, 14.5 A, 20 m = 2.755 V of 1 % of 400 V; 32 A clipped.
    found = judged(leg("clipped", 20), supply={"phases": 3}, converter={
        "phases": 3, "ac_w": 10000, "ac_a": D("14.5"), "device_a": 20})
    assert found.facts["circuit.flat_mm2"] == 4  # 2.5 mm²: 15 mV, 4.35 V
    rise = told(found, "volt-rise-aim")
    assert (rise.value, rise.limit) == (F("2.755"), 4)


def test_it_says_that_the_circuit_is_taken_alone_and_what_would_lower_it() -> None:
    # BS 7671, notes to Table 4C1: a gap over two diameters, and 30 % of the grouped rating.
    says = worked(judged(leg()), "circuit-cable", RUN).says
    assert "Taken as running alone" in says
    assert "within 2 cable diameters" in says
    assert "30 % or less" in says


def test_a_job_without_a_converter_has_no_circuit_to_judge() -> None:
    found = judged(leg(), parts=("storage",))
    assert not found.told
    assert found.facts == {"circuit.over_to_armoured": False, "backup.over_to_armoured": False}


METHODS = st.sampled_from(["clipped", "trunking", "loft", "under floor", "armoured outside",
                           "buried soft"])
LENGTHS = st.decimals("0.5", "60", places=1)
LEGS = st.lists(st.builds(leg, METHODS, LENGTHS, insulation_contact=st.booleans()), min_size=1,
                max_size=3)
CONVERTERS = st.sampled_from([
    {"ac_w": 3680, "ac_a": 16, "device_a": 20}, {"ac_w": 5000, "ac_a": D("21.7"), "device_a": 25},
    {"ac_w": 7360, "ac_a": 32, "device_a": 40}])
LEVELS = {"fine": 0, "caution": 1, "stop": 2}


def sizes(facts: Any) -> tuple[Any, Any]:
    return facts["circuit.flat_mm2"], facts["circuit.armoured_mm2"]


def copper(facts: Any, legs: list[dict[str, Any]]) -> Any:
    """Return size times length over all legs."""
    flat, steel = sizes(facts)
    over = facts["circuit.over_to_armoured"]
    return sum(F(each["length_m"]) * F(
        steel if over or "armoured" in each["method"] or "buried" in each["method"] else flat)
        for each in legs)


@settings(max_examples=40, deadline=None)
@given(LEGS, CONVERTERS, st.integers(0, 2), st.decimals("0.1", "40", places=1))
def test_a_longer_leg_never_gives_a_thinner_cable(
    legs: list[dict[str, Any]], converter: dict[str, Any], at: int, more: D
) -> None:
    longer = [dict(each) for each in legs]
    longer[at % len(legs)]["length_m"] += more
    before, after = (judged(*each, converter=converter) for each in (legs, longer))
    assert before.facts["circuit.over_to_armoured"] <= after.facts["circuit.over_to_armoured"]
    if before.facts["circuit.over_to_armoured"] == after.facts["circuit.over_to_armoured"]:
        # With two kinds of cable copper may move from one to the other, but their sum grows.
        assert copper(after.facts, longer) >= copper(before.facts, legs)
        if len({each for each in sizes(before.facts) if each}) == 1:
            assert max(sizes(after.facts)) >= max(sizes(before.facts))


@settings(max_examples=40, deadline=None)
@given(st.builds(leg, st.sampled_from(["clipped", "trunking", "loft", "under floor"]), LENGTHS,
                 insulation_contact=st.booleans()),
       CONVERTERS, st.sampled_from(["2.5", "4", "6", "10"]))
def test_a_thicker_cable_never_fails_where_a_thinner_one_passes(
    one: dict[str, Any], converter: dict[str, Any], size: str
) -> None:
    rising = ["2.5", "4", "6", "10", "16"]
    larger = rising[rising.index(size) + 1]
    thin, thick = (judged(one, converter=converter, cables=[cable_item(each)])
                   for each in (size, larger))
    for code in ("circuit-load", "cable-capacity", "volt-drop", "volt-rise-aim"):
        assert LEVELS[told(thick, code).level] <= LEVELS[told(thin, code).level]


@settings(max_examples=40, deadline=None)
@given(LEGS, CONVERTERS)
def test_a_fine_size_keeps_every_limit_and_what_is_told_has_a_source(
    legs: list[dict[str, Any]], converter: dict[str, Any]
) -> None:
    found = judged(*legs, converter=converter)
    for each in found.told:
        check = each if hasattr(each, "level") else each.worst
        assert check.source
        assert check.decides
        if check.level == "fine" and isinstance(check.value, F) and isinstance(check.limit, F):
            assert check.value >= check.limit if check.at_least else check.value <= check.limit
