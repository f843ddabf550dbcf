"""Strings on trackers: windows, currents, and which layouts of N panels are lawful."""

from __future__ import annotations

from decimal import Decimal as D
from fractions import Fraction as F
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.design.electrical.layouts import Load, judge, lawful, layouts
from estimator.design.electrical.strings import (
    Temperatures,
    current_checks,
    panel_volts,
    string_checks,
    voltage_at,
    window,
)
from estimator.design.strings import voc_at
from tests.design.electrical.packs import GB, converter, panel

PANEL = panel(voc_v=40, vmp_v=34, voc_pct_per_k="-0.25", vmp_pct_per_k="-0.30", isc_a=14,
              imp_a=13)
# At -10 and 70 degrees: Voc 43.5 V, Vmp 37.57 V cold and 29.41 V hot (by hand).
VOLTS = panel_volts(GB, PANEL, Temperatures(-10, 70), "coefficient")
SITE = {"dc_max_v": 600, "mppt_low_v": 90, "mppt_high_v": 550, "start_v": 120, "trackers": 2,
        "strings_per_tracker": 1, "tracker_a": 16, "tracker_isc_a": 20}


def conv(**fields: Any) -> Any:
    return converter(**{**SITE, **fields})


def test_the_window_is_worked_by_hand() -> None:
    # 600 / 43.5 = 13.79 -> 13; 120 / 29.41 = 4.08 -> 5 (the start voltage is above the range's
    # low end of 90 V); 550 / 37.57 = 14.64 -> 14.
    found = window(PANEL, conv(), VOLTS)
    assert (VOLTS.voc_cold_v, VOLTS.vmp_cold_v, VOLTS.vmp_hot_v) == (
        F("43.5"), F("37.57"), F("29.41"))
    assert (found.least, found.most, found.most_working) == (5, 13, 14)


def test_the_panels_own_system_voltage_limits_too() -> None:
    assert window(panel(max_system_v=435, voc_v=40, voc_pct_per_k="-0.25"), conv(),
                  VOLTS).most == 10


def test_a_converter_with_a_blank_range_has_no_window() -> None:
    with pytest.raises(ValueError, match="data sheet"):
        window(PANEL, conv(mppt_low_v=None), VOLTS)


@pytest.mark.parametrize(
    ("count", "failed"),
    [
        (13, set()), (14, {"string-cold-voltage"}), (5, set()), (4, {"string-start"}),
        (3, {"string-start", "string-working-low"}),
    ],
)
def test_a_string_off_the_window_fails_by_name(count: int, failed: set[str]) -> None:
    checks = string_checks(PANEL, conv(), VOLTS, count, "south")
    assert {check.code for check in checks if check.level == "stop"} == failed
    cold = next(check for check in checks if check.code == "string-cold-voltage")
    assert "by coefficient" in cold.says
    assert cold.value == count * F("43.5")


def test_working_voltage_above_the_range_is_a_caution() -> None:
    checks = string_checks(PANEL, conv(mppt_high_v=400), VOLTS, 11, "south")
    assert {check.code for check in checks if check.level == "caution"} == {"string-working-high"}


@pytest.mark.parametrize(
    ("strings", "stops", "cautions"),
    [
        (1, set(), set()),                                       # 13 <= 16; 14 and 17.5 <= 20
        (2, {"tracker-short-circuit"}, {"tracker-current", "tracker-short-circuit-bright"}),
    ],
)
def test_currents_of_strings_in_parallel(
    strings: int, stops: set[str], cautions: set[str]
) -> None:
    checks = current_checks(GB, PANEL, conv(), strings, "south")
    assert {check.code for check in checks if check.level == "stop"} == stops
    assert {check.code for check in checks if check.level == "caution"} == cautions


def test_short_circuit_current_within_its_limit_only_without_the_factor_is_a_caution() -> None:
    # 14 A x 1.25 = 17.5 A against 17 A.
    checks = current_checks(GB, PANEL, conv(tracker_isc_a=17), 1, "south")
    assert [check.code for check in checks if check.level != "fine"] == [
        "tracker-short-circuit-bright"]


def test_blank_limits_are_not_passed_but_left_out() -> None:
    assert current_checks(GB, PANEL, conv(tracker_a=None, tracker_isc_a=None), 1, "south") == ()


def test_seven_panels_on_two_trackers_are_laid_out_in_four_ways() -> None:
    # By hand: 7; 6 + 1; 5 + 2; 4 + 3.
    assert [tuple(load.panels for load in each) for each in layouts(7, 2, 1)] == [
        (7,), (6, 1), (5, 2), (4, 3)]


def test_parallel_strings_have_one_length() -> None:
    # By hand, 4 panels, one tracker, two strings at most: 1 x 4 and 2 x 2, never 3 + 1.
    assert set(layouts(4, 1, 2)) == {(Load(4, 1),), (Load(2, 2),)}


def test_sixteen_panels_have_four_lawful_layouts_and_the_others_say_why() -> None:
    # By hand from the window of 5 to 13: 8 + 8, 9 + 7, 10 + 6, 11 + 5; 16 is too long, 12 + 4 and
    # shorter ones do not start.
    judged = judge(GB, PANEL, conv(), VOLTS, 16)
    assert [tuple(load.panels for load in each) for each in lawful(judged)] == [
        (8, 8), (9, 7), (10, 6), (11, 5)]
    why = {tuple(load.panels for load in each.layout): each.refused for each in judged}
    assert len(why) == 9
    assert why[(8, 8)] == ()
    (too_long,) = why[(16,)]
    assert "open circuit in the cold" in too_long
    assert "696 V is over 600 V" in too_long
    (no_start,) = why[(12, 4)]
    assert "117.64 V is under 120 V" in no_start


@pytest.mark.parametrize("count", [0, 61])
def test_a_count_that_no_home_has_is_refused(count: int) -> None:
    with pytest.raises(ValueError, match="1 to 60"):
        list(layouts(count, 2, 1))


@settings(max_examples=100, deadline=None)
@given(st.integers(1, 30), st.integers(1, 3), st.integers(1, 2))
def test_every_layout_holds_all_panels_once_and_none_is_given_twice(
    count: int, trackers: int, parallel: int
) -> None:
    found = list(layouts(count, trackers, parallel))
    assert len(set(found)) == len(found)
    for layout in found:
        assert sum(load.total for load in layout) == count
        assert len(layout) <= trackers
        assert all(1 <= load.strings <= parallel for load in layout)
        assert list(layout) == sorted(layout, reverse=True)


@given(st.integers(1, 40), st.integers(1, 4))
def test_the_number_of_layouts_is_the_number_of_partitions(count: int, trackers: int) -> None:
    # Euler's recurrence: p(n, k) = p(n - 1, k - 1) + p(n - k, k), partitions into k parts.
    def parts(n: int, k: int) -> int:
        if k == 0 or n < k:
            return int(n == 0 and k == 0)
        return parts(n - 1, k - 1) + parts(n - k, k)

    expected = sum(parts(count, k) for k in range(1, trackers + 1))
    assert sum(1 for _ in layouts(count, trackers, 1)) == expected


@settings(max_examples=100, deadline=None)
@given(st.integers(1, 40))
def test_a_lawful_layout_has_every_string_within_the_window(count: int) -> None:
    found = window(PANEL, conv(), VOLTS)
    judged = judge(GB, PANEL, conv(), VOLTS, count)
    assert judged
    for each in judged:
        inside = all(found.least <= load.panels <= found.most for load in each.layout)
        assert inside == (not each.refused)


temperatures = st.decimals("-40", "90", places=1)


@given(temperatures, temperatures, st.decimals("-0.60", "-0.15", places=2))
def test_colder_never_lowers_the_open_circuit_voltage(a: D, b: D, coefficient: D) -> None:
    cold, warm = min(a, b), max(a, b)
    assert voltage_at(40, coefficient, cold) >= voltage_at(40, coefficient, warm)


@given(temperatures, temperatures)
def test_a_colder_site_never_allows_a_longer_string(a: D, b: D) -> None:
    cold, warm = min(a, b), max(a, b)

    def most(coldest: D) -> int:
        volts = panel_volts(GB, PANEL, Temperatures(coldest, 70), "coefficient")
        return window(PANEL, conv(), volts).most

    assert most(cold) <= most(warm)


@given(temperatures, st.decimals("-0.60", "-0.15", places=2))
def test_both_functions_for_the_cold_voltage_agree(cell: D, coefficient: D) -> None:
    assert voltage_at(D(40), coefficient, cell) == voc_at(D(40), coefficient, cell)
