"""Strings on trackers: windows, currents, and which layouts of N panels are lawful."""

from __future__ import annotations

from decimal import Decimal as D
from fractions import Fraction as F
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.design.electrical.comparing import telling
from estimator.design.electrical.layouts import (
    Load,
    every_load,
    judge_load,
    lawful_loads,
    layouts,
    refusals,
)
from estimator.design.electrical.strings import (
    Temperatures,
    current_checks,
    panel_volts,
    string_checks,
    voltage_at,
    window,
)
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


def test_of_limits_that_pass_only_the_nearest_is_told_and_what_fails_always() -> None:
    # Cold string of 12 panels 522 V: 78 V under 600 V and 13 V under a system voltage of 535 V.
    sheet = panel(voc_v=40, vmp_v=34, voc_pct_per_k="-0.25", vmp_pct_per_k="-0.30",
                  max_system_v=535)
    cold = ("string-cold-voltage", "string-system-voltage")
    told = telling(string_checks(sheet, conv(), VOLTS, 12, "south"), cold)
    assert [each.code for each in told if each.code in cold] == ["string-system-voltage"]
    assert {"string-start", "string-working-low"} <= {each.code for each in told}
    told = telling(string_checks(sheet, conv(), VOLTS, 14, "south"), cold)  # 609 V is over both
    assert [each.code for each in told if each.code in cold] == list(cold)


def totals(count: int, trackers: int, parallel: int) -> list[tuple[int, ...]]:
    return [tuple(load.panels for load in each)
            for each in layouts(count, trackers, every_load(count, parallel))]


def test_seven_panels_on_two_trackers_are_laid_out_in_four_ways() -> None:
    # By hand: 7; 6 + 1; 5 + 2; 4 + 3.
    assert totals(7, 2, 1) == [(7,), (6, 1), (5, 2), (4, 3)]


def test_parallel_strings_have_one_length() -> None:
    # By hand, 4 panels, one tracker, two strings at most: 1 x 4 and 2 x 2, never 3 + 1.
    assert set(layouts(4, 1, every_load(4, 2))) == {(Load(4, 1),), (Load(2, 2),)}


def test_sixteen_panels_have_four_lawful_layouts_and_the_others_say_why() -> None:
    # By hand from the window of 5 to 13: 8 + 8, 9 + 7, 10 + 6, 11 + 5; 16 is too long, 12 + 4 and
    # shorter ones do not start.
    loads = lawful_loads(GB, PANEL, conv(), VOLTS, 16)
    assert [tuple(load.panels for load in each) for each in layouts(16, 2, tuple(loads))] == [
        (11, 5), (10, 6), (9, 7), (8, 8)]
    (too_long,) = refusals(judge_load(GB, PANEL, conv(), VOLTS, Load(16, 1), "south"))
    assert "open circuit in the cold" in too_long
    assert "696 V is over 600 V" in too_long
    (no_start,) = refusals(judge_load(GB, PANEL, conv(), VOLTS, Load(4, 1), "south"))
    assert "117.64 V is under 120 V" in no_start


def test_a_lawful_load_is_counted_with_its_cautions() -> None:
    # 14 A x 1.25 = 17.5 A over 17 A: one caution on each of the loads of 5 to 7 panels.
    assert lawful_loads(GB, PANEL, conv(tracker_isc_a=17), VOLTS, 7) == {
        Load(7, 1): 1, Load(6, 1): 1, Load(5, 1): 1}


@settings(max_examples=100, deadline=None)
@given(st.integers(1, 30), st.integers(1, 3), st.integers(1, 2))
def test_every_layout_holds_all_panels_once_and_none_is_given_twice(
    count: int, trackers: int, parallel: int
) -> None:
    found = list(layouts(count, trackers, every_load(count, parallel)))
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
    assert len(totals(count, trackers, 1)) == expected


@given(st.integers(1, 40))
def test_a_load_is_lawful_if_and_only_if_its_string_is_within_the_window(count: int) -> None:
    found = window(PANEL, conv(), VOLTS)
    loads = lawful_loads(GB, PANEL, conv(), VOLTS, count)
    assert {load.panels for load in loads} == set(
        range(found.least, min(found.most, count) + 1))


@given(st.integers(1, 40), st.integers(1, 40))
def test_more_panels_never_lower_a_voltage_of_the_string(a: int, b: int) -> None:
    few, many = sorted((a, b))
    low, high = (string_checks(PANEL, conv(), VOLTS, n, "south") for n in (few, many))
    assert low
    for less, more in zip(low, high, strict=True):
        assert less.code == more.code
        assert more.value >= less.value  # type: ignore[operator]


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
