"""Actual against standard, and jobs in progress, against published examples.

Amounts of the examples are whole units of money; adverse (A) is above zero, favourable (F) below.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.outcome.parting import Actual, Parted, Standard, in_minor, part
from estimator.outcome.progress import Progress, from_hours_left


@pytest.mark.parametrize(
    ("standard", "actual", "usage", "price"),
    [
        # College lecture notes on material variances: 8,000 kg of output at 0.6, standard 40;
        # 5,000 used at 42: price 10,000 A, usage 8,000 A.
        pytest.param(Standard(4_800, 40), Actual(5_000, 5_000 * 42), 8_000, 10_000, id="material"),
        # Management accounting textbook, problem 15.1: 110,000 lb used of 100,000 at 1.00.
        pytest.param(Standard(100_000, 1), Actual(110_000, 110_000), 10_000, 0, id="usage alone"),
        # The same: 6,000 h at 14 instead of 5,000 h at 15: rate 6,000 F, efficiency 15,000 A.
        pytest.param(Standard(5_000, 15), Actual(6_000, 6_000 * 14), 15_000, -6_000, id="labour"),
        # A page of questions and answers: 16,500 at 2.10 of 15,000 at 2.30: 3,300 F, 3,450 A.
        pytest.param(Standard(15_000, Decimal("2.30")), Actual(16_500, Decimal("34650")),
                     3_450, -3_300, id="mixed signs"),
        # The same: 500 h at 8.50 of 70 h at 7.50: rate 500 A, efficiency 3,225 A.
        pytest.param(Standard(70, Decimal("7.50")), Actual(500, 4_250), 3_225, 500,
                     id="mixed signs, labour"),
        # A question in the style of a management accountants' examination: 10 lb x 20,000 at 24.
        pytest.param(Standard(200_000, 24), Actual(190_000, 190_000 * 24), -240_000, 0,
                     id="big favourable"),
    ],
)
def test_usage_and_price_are_the_published_ones(
    standard: Standard, actual: Actual, usage: int, price: int
) -> None:
    assert part(standard, actual) == Parted(usage=Fraction(usage), price=Fraction(price))


def test_a_price_variance_at_purchase_is_that_of_all_that_was_bought() -> None:
    # The same textbook problem: bought 200,000 lb at 1.20, standard 1.00: 40,000 A.
    assert part(Standard(200_000, 1), Actual(200_000, 240_000)).price == 40_000


def test_another_item_another_supplier_and_a_moved_price_are_told_apart() -> None:
    # By hand: 12 m at 100 reckoned; 13 m of a better cable used, 120 at the usual supplier, 115 at
    # the one who brought it, who then charged 118 a metre.
    parted = part(Standard(12, 100), Actual(13, 13 * 118, 120, 115))
    assert parted == Parted(Fraction(100), Fraction(260), Fraction(-65), Fraction(39))
    assert parted.total == 13 * 118 - 12 * 100


def test_a_cost_of_no_quantity_is_refused() -> None:
    with pytest.raises(ValueError, match="quantity of nothing"):
        part(Standard(1, 1), Actual(0, 5))


numbers = st.fractions(0, 10_000, max_denominator=1000)


@given(numbers, numbers, numbers.filter(bool), numbers, st.none() | numbers, st.none() | numbers)
def test_the_causes_add_up_to_the_difference(
    planned: Fraction, planned_price: Fraction, used: Fraction, cost: Fraction,
    item: Fraction | None, supplier: Fraction | None,
) -> None:
    standard = Standard(planned, planned_price)
    parted = part(standard, Actual(used, cost, item, supplier))
    assert parted.total == cost - planned * planned_price


@given(st.dictionaries(st.text(max_size=3), st.fractions(-1000, 1000, max_denominator=97),
                       min_size=1, max_size=8))
def test_rounded_shares_add_up_and_none_is_more_than_a_penny_off(
    shares: dict[str, Fraction]
) -> None:
    told = in_minor(shares)
    assert abs(sum(told.values()) - sum(shares.values())) <= Fraction(1, 2)
    assert all(abs(told[name] - share) <= 1 for name, share in shares.items())


def progress(budget: int, planned: int, earned: int, actual: int) -> Progress:
    return Progress(*map(Fraction, (budget, planned, earned, actual)))


def test_earned_value_of_a_late_and_dear_job() -> None:
    # A note on earned value: BAC 175, PV 110, EV 75, AC 100: CV -25, SV -35, CPI 0.75, SPI 0.68,
    # EAC 233.33.
    job = progress(175, 110, 75, 100)
    assert (job.under_cost, job.ahead, job.cost_index) == (-25, -35, Fraction(3, 4))
    assert job.schedule_index is not None
    assert job.at_completion is not None
    assert round(job.schedule_index, 2) == Fraction("0.68")
    assert round(job.at_completion, 2) == Fraction("233.33")


def test_earned_value_of_the_other_published_jobs() -> None:
    # An example of earned value: PV 40,000, EV 35,000, AC 45,000: CV -10,000, SV -5,000, CPI 0.78,
    # SPI 0.875.
    late = progress(100_000, 40_000, 35_000, 45_000)
    assert (late.under_cost, late.ahead, late.schedule_index) == (-10_000, -5_000, Fraction(7, 8))
    assert late.cost_index is not None
    assert round(late.cost_index, 2) == Fraction("0.78")
    # A trade article: EV 50, PV 45, AC 55: SV +5, CV -5, SPI 1.11, CPI 0.91.
    ahead = progress(100, 45, 50, 55)
    assert (ahead.ahead, ahead.under_cost) == (5, -5)
    assert ahead.schedule_index is not None
    assert round(ahead.schedule_index, 2) == Fraction("1.11")
    assert ahead.cost_index is not None
    assert round(ahead.cost_index, 2) == Fraction("0.91")


def test_hours_left_give_the_forecast_at_completion() -> None:
    # A series of articles on earned value: 100 h at 100, 110 h spent, 10 h to go: EAC 12,000, VAC
    # -2,000, 91.67 % complete.
    job = from_hours_left(Fraction(10_000), Fraction(11_000), Fraction(1_000), Fraction(10_000))
    assert (job.at_completion, job.over_budget) == (12_000, 2_000)
    assert round(100 * job.earned / job.budget, 2) == Fraction("91.67")


def test_a_job_that_has_not_begun_has_no_forecast() -> None:
    job = progress(100, 0, 0, 0)
    assert (job.cost_index, job.schedule_index, job.at_completion, job.over_budget) == (None,) * 4
