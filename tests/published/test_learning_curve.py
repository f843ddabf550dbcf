"""Learning curves of textbooks, in both forms."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.outcome.experience import (
    by_the_curve,
    exponent,
    fitted,
    increment_of_averages,
    total_of_averages,
)

# CIMA workbook, p. 324: an 80 % curve, cumulative average, the first takes 100.
EIGHTY = {1: (100, 100), 2: (80, 160), 4: (64, 256), 8: (51.2, 409.6), 16: (40.96, 655.36)}


def test_the_exponent_of_an_80_percent_curve() -> None:
    assert exponent(0.8) == pytest.approx(-0.32193, abs=5e-6)  # CIMA workbook, p. 324


@pytest.mark.parametrize(("count", "told"), EIGHTY.items())
def test_averages_and_totals_of_an_80_percent_curve(count: int, told: tuple[float, float]) -> None:
    average, total = told
    assert by_the_curve(100, count, 0.8) == pytest.approx(average)
    assert total_of_averages(100, count, 0.8) == pytest.approx(total)


def test_the_ninth_to_the_sixteenth_take_what_the_totals_differ_by() -> None:
    # CIMA workbook, p. 324, prints 254.76; its own totals differ by 655.36 - 409.60 = 245.76.
    assert increment_of_averages(100, 8, 16, 0.8) == pytest.approx(245.76)


@pytest.mark.parametrize(("count", "average"), [(1, 10), (2, 9), (4, 8.1), (8, 7.29)])
def test_averages_of_a_90_percent_curve(count: int, average: float) -> None:
    assert by_the_curve(10, count, 0.9) == pytest.approx(average)  # question bank, 90 % curve


def test_the_second_unit_is_not_the_average_of_two() -> None:
    # CMA question: 80 %, 50 h for the first: average of two 40, total 80, so the second takes 30.
    assert by_the_curve(50, 2, 0.8) == pytest.approx(40)
    assert total_of_averages(50, 2, 0.8) == pytest.approx(80)
    assert increment_of_averages(50, 1, 2, 0.8) == pytest.approx(30)
    assert increment_of_averages(50, 0, 2, 0.8) == pytest.approx(80)


@pytest.mark.parametrize(("count", "minutes"), [(1, 50), (2, 40), (4, 32)])
def test_cycles_of_an_80_percent_curve_in_the_unit_form(count: int, minutes: float) -> None:
    assert by_the_curve(50, count, 0.8) == pytest.approx(minutes)  # learning-curve page, a = 0.322


def test_the_250th_unit_of_a_75_percent_curve() -> None:
    # Project-management text: the first takes 812 h; unit form.
    assert by_the_curve(812, 250, 0.75) == pytest.approx(82.1, abs=0.1)


@given(st.floats(1, 500), st.floats(0.55, 1.2), st.integers(3, 40))
def test_times_that_follow_a_curve_give_it_back(first: float, rate: float, count: int) -> None:
    times = [by_the_curve(first, at, rate) for at in range(1, count + 1)]
    assert fitted(times) == (pytest.approx(first, rel=1e-9), pytest.approx(rate, rel=1e-9))


def test_two_times_are_no_curve_and_no_rate_is_below_zero() -> None:
    with pytest.raises(ValueError, match="too few"):
        fitted([3.0, 2.0])
    with pytest.raises(ValueError, match="no learning rate"):
        exponent(0)
