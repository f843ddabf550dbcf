"""The strings of a whole job: window, lawful layouts, what is asked and what is priced."""

from __future__ import annotations

from fractions import Fraction as F
from typing import Any

import pytest

from estimator.design.sheet import Unknown
from estimator.findings import finding_of
from tests.design.electrical.strung import (
    answer,
    check,
    job,
    judged,
    question,
    stops,
    sums,
)

WEST = {"azimuth_deg": 270}


def facts(outcome: Any, name: str) -> list[Any]:
    """Return a fact of each plane."""
    return [plane[f"plane.{name}"] for plane in outcome.planes]


def test_the_window_of_a_plane_is_kept_with_its_method_and_its_sums() -> None:
    # By hand: 600 / 43.5 = 13.79 -> 13; 120 / 29.41 = 4.08 -> 5; d.c. parts 12 x 40 x 1.15 = 552 V.
    found = answer(judged(job({"panels": 12})), "string-window", "plane 1")
    assert found.says.startswith("a string takes 5 to 13 panels;")
    assert (found.method, found.source) == (
        "by coefficient", "panel's data sheet; IEC 62548, Voc (1 + b (T - 25))")
    told = sums(found)
    assert told["open circuit of a panel in the cold"] == F("43.5")
    assert told["working voltage of a panel in the heat"] == F("29.41")
    assert (told["fewest panels in series"], told["most panels in series"]) == (5, 13)
    assert told["least rated voltage of d.c. parts"] == 552


def test_a_panel_without_a_coefficient_is_judged_by_the_factor() -> None:
    # 40 V x 1.15 = 46 V; 600 / 46 = 13.04 -> 13; 13 x 46 = 598 V.
    outcome = judged(job({"panels": 13}, panel={"voc_pct_per_k": None}))
    found = answer(outcome, "string-window")
    assert found.method == "by factor"
    assert sums(found)["open circuit of a panel in the cold"] == 46
    cold = check(outcome, "string-cold-voltage")
    assert (cold.level, cold.value, cold.limit) == ("fine", 598, 600)
    assert "by factor" in cold.says


def test_strings_left_to_the_design_are_the_fewest_and_most_even_lawful_ones() -> None:
    # By hand: 13 panels fit one string; 16 make 8 + 8, 9 + 7, 10 + 6 and 11 + 5.
    assert facts(judged(job({"panels": 13})), "strings_used") == [1]
    outcome = judged(job({"panels": 16}))
    assert (facts(outcome, "strings_used"), facts(outcome, "panels_per_string")) == ([2], [8])
    kept = sums(answer(outcome, "string-layouts"))
    assert kept == {
        "lawful layouts": 4, "lawful layout 1": "plane 1: 8 + 8",
        "lawful layout 2": "plane 1: 9 + 7", "lawful layout 3": "plane 1: 10 + 6",
        "lawful layout 4": "plane 1: 11 + 5"}
    assert check(outcome, "string-layout").level == "fine"


def test_strings_as_surveyed_are_kept_where_they_are_lawful() -> None:
    outcome = judged(job({"panels": 12, "strings": 2}))
    assert (facts(outcome, "strings_used"), facts(outcome, "panels_per_string")) == ([2], [6])
    assert answer(outcome, "string-layouts").says == "plane 1: 6 + 6, as surveyed"


@pytest.mark.parametrize(
    ("strings", "also"),
    [(1, {"string-cold-voltage"}), (3, {"string-inputs"}), (4, {"string-inputs", "string-start"})],
)
def test_surveyed_strings_that_are_unlawful_stop_and_the_lawful_ones_are_named(
    strings: int, also: set[str]
) -> None:
    # 16 panels: one string has 696 V; three have no input; four of 4 have 117.64 V, under 120 V.
    outcome = judged(job({"panels": 16, "strings": strings}))
    assert {"string-layout"} <= stops(outcome)
    assert also <= stops(outcome)
    stop = check(outcome, "string-layout")
    assert f"plane 1: 16 panels in {strings}" in stop.says
    assert "plane 1: 8 + 8, or plane 1: 9 + 7" in stop.says
    assert stop.source
    assert stop.decides == "designer"
    assert facts(outcome, "strings_used") == [strings]  # priced as surveyed


def test_planes_that_face_differently_have_a_tracker_each() -> None:
    outcome = judged(job({"panels": 6}, {"panels": 7, **WEST}))
    assert facts(outcome, "strings_used") == [1, 1]
    assert facts(outcome, "panels_per_string") == [6, 7]
    assert check(outcome, "string-layout").says.endswith("(plane 1: 6; plane 2: 7)")


def test_planes_that_face_alike_may_share_a_string_and_the_link_is_a_caution() -> None:
    # 4 panels alone reach 117.64 V of the 120 V they start at; 4 + 4 in one string 235.28 V.
    outcome = judged(job({"panels": 4}, {"panels": 4, "azimuth_deg": 184, "pitch_deg": 31}))
    assert facts(outcome, "strings_used") == [1, 0]
    assert facts(outcome, "panels_per_string") == [8, 0]
    assert check(outcome, "string-layout").says.endswith("(plane 1 and plane 2: 8)")
    assert check(outcome, "string-shared").level == "caution"
    assert not stops(outcome)


def test_planes_six_degrees_apart_may_not_share_a_string() -> None:
    # Common practice, no source: up to 5 degrees count as alike.
    outcome = judged(job({"panels": 4}, {"panels": 4, "azimuth_deg": 186}))
    assert "string-layout" in stops(outcome)


def test_north_counts_as_alike_on_either_side_of_nought() -> None:
    near = job({"panels": 4, "azimuth_deg": 358}, {"panels": 4, "azimuth_deg": 2})
    assert facts(judged(near), "panels_per_string") == [8, 0]


def test_planes_of_unknown_direction_are_asked_about_where_they_would_have_to_share() -> None:
    outcome = judged(job({"panels": 4}, {"panels": 4, "azimuth_deg": None}))
    asked = question(outcome, "string-layout")
    assert asked.facts == ("plane[1].azimuth_deg",)
    assert asked.worst.level == "stop"
    # With a tracker for each there is nothing to ask.
    assert check(judged(job({"panels": 6}, {"panels": 6, "azimuth_deg": None})),
                 "string-layout").level == "fine"


def test_more_directions_than_trackers_stop_and_a_converter_that_would_do_is_named() -> None:
    planes = [{"panels": 6}, {"panels": 6, **WEST}, {"panels": 6, "azimuth_deg": 90}]
    stop = check(judged(job(*planes)), "string-layout")
    assert "the panels face 3 ways, and the converter has 2 trackers" in stop.says
    assert stop.says.endswith("take another converter")
    stop = check(judged(job(*planes, converters=({}, {"trackers": 3}, {"trackers": 4}))),
                 "string-layout")
    assert stop.says.endswith("take another converter: converter C1 (C1) would do")


@pytest.mark.parametrize(
    ("planes", "converter", "why"),
    [
        ([{"panels": 3}], {}, "a string takes 5 to 13 panels (plane 1: 3 panels)"),
        ([{"panels": 6}], {"dc_max_v": 100}, "no string of this panel suits the converter"),
        # No string at all may be connected.
        ([{"panels": 6}], {"tracker_isc_a": 13}, "current (plane 1): 14 A is over 13 A"),
        ([{"panels": 14}, {"panels": 6, **WEST}], {}, "together need more than 2 trackers"),
    ],
)
def test_where_no_layout_is_lawful_it_says_why_and_how_to_mend_it(
    planes: list[dict[str, Any]], converter: dict[str, Any], why: str
) -> None:
    stop = check(judged(job(*planes, converters=(converter,))), "string-layout")
    assert stop.level == "stop"
    assert why in stop.says
    assert "Change the number of panels, or take another converter" in stop.says


def test_two_strings_in_parallel_are_held_against_the_current_of_their_tracker() -> None:
    # 2 x 14 A x 1.25 = 35 A, 2 x 13 A = 26 A.
    outcome = judged(job({"panels": 12, "strings": 2}, converters=(
        {"trackers": 1, "strings_per_tracker": 2, "tracker_isc_a": 40, "tracker_a": 26},)))
    assert check(outcome, "string-layout").says.endswith("(plane 1: 2 x 6)")
    bright = check(outcome, "tracker-short-circuit-bright")
    assert (bright.level, bright.value, bright.limit) == ("fine", 35, 40)
    assert (check(outcome, "tracker-current").value, check(outcome, "tracker-current").level) == (
        26, "fine")


def test_three_strings_in_parallel_ask_for_fuses() -> None:
    # 2 x 14 A back through one string, over its 25 A (IEC 62548, from memory).
    spec = {"trackers": 1, "strings_per_tracker": 3, "tracker_isc_a": 60, "tracker_a": 60}
    outcome = judged(job({"panels": 18, "strings": 3}, converters=(spec,)))
    assert check(outcome, "string-fuses").level == "caution"
    two = judged(job({"panels": 12, "strings": 2}, converters=(spec,)))
    assert "string-fuses" not in {each.code for each in two.told}


def test_a_limit_is_compared_before_it_is_rounded() -> None:
    # 12 x 41 V x (1 + 0.0026 x 35) = 536.772 V (worked example, invented figures): both sides
    # round to 536.8 V.
    sheet = {"voc_v": 41, "voc_pct_per_k": "-0.26"}
    under = judged(job({"panels": 12, "strings": 1}, panel=sheet,
                       converters=({"dc_max_v": "536.772"},)))
    assert check(under, "string-cold-voltage").level == "fine"
    over = judged(job({"panels": 12, "strings": 1}, panel=sheet,
                      converters=({"dc_max_v": "536.771"},)))
    told = finding_of(check(over, "string-cold-voltage"))
    assert (told.level, told.value, told.limit) == ("stop", "536.772", "536.771")


def test_panels_nobody_has_counted_are_a_question_never_a_pass() -> None:
    unsized = {"panels": None, "slope_length_m": None}
    outcome = judged(job({"panels": 6}, unsized))
    asked = question(outcome, "string-layout")
    assert asked.facts == ("plane[1].slope_length_m",)
    assert asked.worst.level == "stop"
    assert "string-layout" not in {
        each.code for each in outcome.told if getattr(each, "level", "") == "fine"}
    assert facts(outcome, "strings_used")[0] == 1
    missing = facts(outcome, "strings_used")[1]
    assert isinstance(missing, Unknown)
    assert missing.facts == {"plane[1].slope_length_m"}


@pytest.mark.parametrize(
    ("field", "code"),
    [("dc_max_v", "string-window"), ("mppt_low_v", "string-window"), ("start_v", "string-start"),
     ("tracker_isc_a", "tracker-short-circuit"), ("tracker_a", "tracker-current")],
)
def test_a_data_sheet_that_is_silent_is_a_question_never_a_pass(field: str, code: str) -> None:
    outcome = judged(job({"panels": 12, "strings": 1}, converters=({field: None},)))
    asked = question(outcome, code)
    assert asked.facts == (f"kit.converter.{field}",)
    assert asked.worst.level == ("caution" if field == "tracker_a" else "stop")
    assert facts(outcome, "strings_used") == [1]


def test_a_converter_without_a_panel_input_stops() -> None:
    blank = {"has_panel_input": False, "dc_max_v": None, "trackers": 0}
    outcome = judged(job({"panels": 12, "strings": 1}, converters=(blank,)))
    assert stops(outcome) == {"string-input"}


def test_without_a_converter_the_strings_are_a_question() -> None:
    outcome = judged(job({"panels": 12, "strings": 1}, {"panels": 6}, converters=(),
                         parts=("panels",)))
    assert question(outcome, "string-layout").facts == ("wishes.converter",)
    assert facts(outcome, "strings_used")[0] == 1
    assert isinstance(facts(outcome, "strings_used")[1], Unknown)


@pytest.mark.parametrize(
    ("panels", "ac_w", "parts", "level"),
    [
        (12, 5040, ("panels", "converter"), "fine"),  # 12 x 420 W / 5040 W = 1.0
        (12, 5041, ("panels", "converter"), "caution"),
        (12, 5041, ("panels", "converter", "storage"), "fine"),
        (27, 8400, ("panels", "converter"), "fine"),  # 11340 / 8400 = 1.35
        (27, 8399, ("panels", "converter", "storage"), "caution"),
    ],
)
def test_the_array_is_held_against_the_output_of_the_converter(
    panels: int, ac_w: int, parts: tuple[str, ...], level: str
) -> None:
    # Common practice, no source: 1.0 to 1.25 usual, up to 1.35 accepted.
    outcome = judged(job({"panels": panels}, converters=({"ac_w": ac_w, "trackers": 3},),
                         parts=parts))
    found = check(outcome, "power-ratio")
    assert found.level == level
    assert found.value == F(panels * 420, ac_w)


@pytest.mark.parametrize(
    ("shade", "wished", "told"),
    [("heavy", None, True), ("some", None, False), (None, None, False), ("none", True, True),
     ("heavy", False, False)],
)
def test_electronics_at_the_panels_send_to_their_makers_manual(
    shade: str | None, wished: bool | None, told: bool
) -> None:
    outcome = judged(job({"panels": 12, "shade": shade}, electronics=wished))
    assert ("string-electronics" in {each.code for each in outcome.told}) is told


def test_every_outcome_has_a_source_and_somebody_who_decides() -> None:
    outcome = judged(job({"panels": 16, "strings": 3}, {"panels": 4, **WEST}))
    assert len(outcome.told) > 10
    for each in outcome.told:
        told = getattr(each, "worst", each)
        assert told.source, told.code
        assert told.decides, told.code
