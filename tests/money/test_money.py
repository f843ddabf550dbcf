"""Money is exact, of one currency, and never loses a penny."""

from __future__ import annotations

from collections.abc import Callable
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from catalogue.money import Money, exact, raised_to_step, round_half_up, total

minors = st.integers(-10**9, 10**9)
weights = st.lists(
    st.one_of(
        st.integers(0, 1000), st.decimals(0, 1000, places=3),
        st.fractions(0, 1000, max_denominator=97),
    ),
    min_size=1, max_size=12,
)


@pytest.mark.parametrize(
    ("major", "minor"),
    [("12.50", 1250), (Decimal("12.5"), 1250), (12, 1200), ("-0.01", -1), ("0", 0), ("1.500", 150)],
)
def test_money_comes_from_text_whole_numbers_and_decimals(
    major: str | int | Decimal, minor: int
) -> None:
    assert Money.of(major).minor == minor


@pytest.mark.parametrize("major", [12.5, True, None, Fraction(1, 2), [1]])
def test_money_is_never_made_from_a_float_or_another_thing(major: Any) -> None:
    with pytest.raises(TypeError, match="never a float"):
        Money.of(major)


@pytest.mark.parametrize("minor", [12.0, True, Decimal(1), "1"])
def test_minor_units_are_a_whole_number(minor: Any) -> None:
    with pytest.raises(TypeError, match="whole number"):
        Money(minor)


@pytest.mark.parametrize(
    "major",
    ["1,000", "12,50", "1e3", "£5", "", " 5", "1_000", "NaN", "Infinity", "٣", Decimal("NaN"),
     Decimal("Infinity"), "0.005", Decimal("1.001")],
)
def test_text_that_is_no_plain_amount_is_refused(major: str | Decimal) -> None:
    with pytest.raises(ValueError, match=r"not an amount of money|whole number of minor units"):
        Money.of(major)


@pytest.mark.parametrize("currency", ["", "gbp", "£", "GBPX"])
def test_a_currency_is_three_capital_letters(currency: str) -> None:
    with pytest.raises(ValueError, match="three capital letters"):
        Money(1, currency)


@pytest.mark.parametrize(
    "operation",
    [
        lambda a, b: a + b, lambda a, b: a - b, lambda a, b: a < b, lambda a, b: a <= b,
        lambda a, b: a > b, lambda a, b: total([a, b]),
    ],
)
def test_two_currencies_do_not_mix(operation: Callable[[Money, Money], object]) -> None:
    with pytest.raises(ValueError, match="do not mix"):
        operation(Money(1, "GBP"), Money(1, "EUR"))


def test_money_and_a_number_do_not_mix() -> None:
    with pytest.raises(TypeError, match="money and int do not mix"):
        Money(1) + 1  # type: ignore[operator]


def test_equal_amounts_of_two_currencies_are_not_equal() -> None:
    assert Money(1, "GBP") != Money(1, "EUR")


@pytest.mark.parametrize("number", [0.5, True])
def test_no_float_or_flag_is_an_exact_number(number: Any) -> None:
    with pytest.raises(TypeError, match="an exact number is needed"):
        exact(number)


@pytest.mark.parametrize(
    ("number", "whole"),
    [("2.5", 3), ("-2.5", -3), ("2.4999", 2), ("-2.4999", -2), ("0.5", 1), ("-0.5", -1), ("0", 0)],
)
def test_halves_round_away_from_zero(number: str, whole: int) -> None:
    assert round_half_up(Decimal(number)) == whole


@given(st.decimals(-(10**9), 10**9, places=4))
def test_rounding_agrees_with_the_decimal_library(number: Decimal) -> None:
    assert round_half_up(number) == number.quantize(Decimal(1), rounding=ROUND_HALF_UP)


@pytest.mark.parametrize(
    ("minor", "step", "raised"),
    [
        (Decimal("898051.7"), 500, 898500), (898500, 500, 898500),
        (Fraction(8985001, 10), 500, 899000), (0, 500, 0), (-898051, 500, -898000), (7, 1, 7),
    ],
)
def test_an_amount_is_raised_to_the_next_step_before_rounding(
    minor: int | Decimal | Fraction, step: int, raised: int
) -> None:
    assert raised_to_step(minor, step) == raised


@pytest.mark.parametrize("step", [0, -5])
def test_a_price_step_is_at_least_one_minor_unit(step: int) -> None:
    with pytest.raises(ValueError, match="at least one minor unit"):
        Money(100).up_to_step(step)


@given(minors, st.integers(1, 100_000))
def test_a_raised_price_lies_on_a_step_less_than_one_step_above(minor: int, step: int) -> None:
    raised = Money(minor).up_to_step(step).minor
    assert raised % step == 0
    assert 0 <= raised - minor < step


@given(minors, minors, minors)
def test_addition_keeps_the_laws_of_whole_numbers(a: int, b: int, c: int) -> None:
    x, y, z = Money(a), Money(b), Money(c)
    assert x + y == y + x
    assert (x + y) + z == x + (y + z)
    assert (x + y) - y == x
    assert x + (-x) == Money(0)
    assert total([x, y, z]).minor == a + b + c


@given(minors, st.fractions(-100, 100, max_denominator=1000))
def test_a_multiple_is_within_half_a_minor_unit_of_the_exact_amount(
    minor: int, factor: Fraction
) -> None:
    assert abs(Money(minor).times(factor).minor - minor * factor) <= Fraction(1, 2)


@given(minors, weights)
def test_shares_add_up_and_each_is_within_one_minor_unit_of_its_exact_share(
    minor: int, by: list[int | Decimal | Fraction]
) -> None:
    whole = sum(Fraction(weight) for weight in by)
    assume(whole > 0)
    parts = Money(minor).share(by)
    assert sum(part.minor for part in parts) == minor
    for part, weight in zip(parts, by, strict=True):
        assert abs(part.minor - minor * Fraction(weight) / whole) < 1


@given(st.integers(0, 10**9), weights)
def test_a_split_of_a_positive_amount_has_no_negative_part(
    minor: int, by: list[int | Decimal | Fraction]
) -> None:
    assume(any(by))
    assert min(part.minor for part in Money(minor).share(by)) >= 0


@given(minors, weights)
def test_a_credit_splits_like_the_charge_it_undoes(
    minor: int, by: list[int | Decimal | Fraction]
) -> None:
    assume(any(by))
    assert Money(-minor).share(by) == tuple(-part for part in Money(minor).share(by))


def test_the_odd_penny_goes_to_the_largest_remainder_then_to_the_first() -> None:
    # By hand: 100 by thirds leaves 1 for the first; by 1, 1, 4 the exact parts are 16.67, 16.67
    # and 66.67, so 2 are left for the first two of three equal remainders.
    assert [part.minor for part in Money(100).share([1, 1, 1])] == [34, 33, 33]
    assert [part.minor for part in Money(100).share([1, 1, 4])] == [17, 17, 66]


@pytest.mark.parametrize("by", [[], [0, 0], [1, -1], [2, -1]])
def test_weights_are_not_negative_and_not_all_zero(by: list[int]) -> None:
    with pytest.raises(ValueError, match="weights are at least zero"):
        Money(100).share(by)


@pytest.mark.parametrize(
    ("money", "shown"),
    [
        (Money(123456789), "£1,234,567.89"), (Money(-5), "-£0.05"), (Money(0), "£0.00"),
        (Money(150, "EUR"), "€1.50"), (Money(150, "CHF"), "CHF 1.50"),
    ],
)
def test_money_is_shown_in_major_units(money: Money, shown: str) -> None:
    assert str(money) == shown


def test_the_total_of_nothing_is_zero_in_the_currency_asked_for() -> None:
    assert total([], "EUR") == Money(0, "EUR")
