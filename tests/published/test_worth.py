"""Net present value, internal rate of return and payback of textbooks and a library's manual."""

from __future__ import annotations

from decimal import Decimal as D
from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.outcome.worth import net_present_value, payback, returns

# ACCA F9 workbook, p. 114. It discounts with factors of three figures and so prints 488 for the
# value; with whole factors it is 490.40.
PROJECT = (-10_000, 4_000, 3_500, 3_000, 2_500)
# numpy-financial manual, `irr` and `npv`.
MANUAL = ((-100, 39, 59, 55, 20), (-100, 0, 0, 74), (-100, 100, 0, 7))


def test_the_value_of_a_project_at_ten_percent() -> None:
    value = net_present_value(D("0.10"), PROJECT)
    assert float(value) == pytest.approx(490.40, abs=0.005)
    assert float(value) == pytest.approx(488, abs=3)  # as printed, by rounded factors


def test_when_a_project_has_paid_for_itself() -> None:
    simple, discounted = payback(PROJECT), payback(PROJECT, D("0.10"))
    assert simple is not None
    assert discounted is not None
    assert float(simple) == pytest.approx(2.83, abs=0.005)
    assert float(discounted) == pytest.approx(3.713, abs=0.0005)
    assert float(discounted) == pytest.approx(3.7, abs=0.05)  # as printed


def test_the_return_of_a_project() -> None:
    assert returns(PROJECT) == (pytest.approx(0.1244, abs=5e-5),)


def test_the_return_of_an_annuity() -> None:
    # ACCA F9 workbook, p. 51: 17,000 for five times 4,000; "closest to 6 %".
    assert returns((-17_000, *[4_000] * 5)) == (pytest.approx(0.05674, abs=5e-6),)


@pytest.mark.parametrize(("flows", "rate"), [
    (MANUAL[0], 0.28095), (MANUAL[1], -0.0955), (MANUAL[2], 0.06206)])
def test_the_returns_of_the_manual(flows: tuple[int, ...], rate: float) -> None:
    assert returns(flows)[-1] == pytest.approx(rate, abs=5e-5)


def test_the_values_of_the_manual() -> None:
    assert float(net_present_value(D("0.281"), MANUAL[0])) == pytest.approx(-0.00848, abs=5e-6)
    flows = (-40_000, 5_000, 8_000, 12_000, 30_000)
    assert float(net_present_value(D("0.08"), flows)) == pytest.approx(3_065.22, abs=0.006)


def test_flows_that_turn_twice_have_two_returns() -> None:
    # (1 - 1.1 v)(1 - 1.3 v) with v = 1 / (1 + rate): worth nothing at 10 % and at 30 %.
    assert returns((-100, 240, -143)) == (pytest.approx(0.1), pytest.approx(0.3))


def test_what_never_pays_has_neither_return_nor_payback() -> None:
    assert returns((-100, -5, -5)) == ()
    assert payback((-100, 20, 20)) is None
    assert payback((0, 5)) == 0


def test_a_rate_that_leaves_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="leaves nothing"):
        net_present_value(-1, (1, 2))


@given(st.integers(1, 10**6), st.lists(st.integers(0, 10**6), min_size=1, max_size=12))
def test_at_its_return_money_is_worth_nothing(spent: int, back: list[int]) -> None:
    flows = (-spent, *back)
    for rate in returns(flows):
        near = F(rate).limit_denominator(10**12)
        scale = sum(F(abs(flow)) / (1 + near) ** at for at, flow in enumerate(flows))
        assert abs(net_present_value(near, flows)) <= scale * F(len(flows), 10**4)


@given(st.lists(st.integers(-10**6, 10**6), min_size=1, max_size=12))
def test_without_interest_money_is_worth_its_sum(flows: list[int]) -> None:
    assert net_present_value(0, flows) == sum(flows)
