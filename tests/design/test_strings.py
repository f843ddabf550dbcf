"""String length by temperature, against published worked cases."""

from __future__ import annotations

from decimal import Decimal as D
from fractions import Fraction as F

from hypothesis import given
from hypothesis import strategies as st

from estimator.design.strings import most_in_string, strings_for, voc_at


def test_twelve_panels_of_41_v_reach_537_v_at_minus_ten() -> None:
    # Worked example: 12 x 41 V at -10 degrees C with -0.26 %/K = 537 V (536.77 unrounded).
    assert 12 * voc_at(D(41), D("-0.26"), D(-10)) == F("536.772")


def test_the_coefficient_method_allows_fourteen_of_38_5_v_at_600_v() -> None:
    # IEC 62548 formula: 38.5 V, -0.26 %/K, -10 degrees C: 42.00 V -> floor(600 / 42.00) = 14.
    cold = voc_at(D("38.5"), D("-0.26"), D(-10))
    assert round(float(cold), 2) == 42.00
    assert most_in_string(D(600), cold) == 14


def test_a_published_sizing_gives_eighteen_at_1000_v() -> None:
    # Engineering notes on string sizing: Voc 49.5, -0.28 %/K, -5 degrees C, limit 1000 V:
    # 53.66 V each -> floor(18.64) = 18.
    cold = voc_at(D("49.5"), D("-0.28"), D(-5))
    assert round(float(cold), 2) == 53.66
    assert most_in_string(D(1000), cold) == 18


@given(st.integers(-40, 80), st.integers(-40, 80))
def test_colder_never_lowers_the_voltage(a: int, b: int) -> None:
    cold, warm = min(a, b), max(a, b)
    assert voc_at(D(41), D("-0.26"), D(cold)) >= voc_at(D(41), D("-0.26"), D(warm))


@given(st.integers(0, 200), st.integers(1, 30))
def test_the_fewest_strings_hold_all_panels_and_one_fewer_would_not(panels: int, most: int) -> None:
    count = strings_for(panels, most)
    assert count * most >= panels
    assert count == 0 or (count - 1) * most < panels
