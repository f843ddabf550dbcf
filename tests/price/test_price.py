"""Prices, discounts, sign-off, deposits and validity."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.money import Money
from catalogue.problems import ProblemsFound
from estimator.cost import BillHeads, CostSheet, HeadAmount, cost_sheet
from estimator.price import (
    Discount,
    deposit,
    list_price,
    margin_from_markup,
    markup_from_margin,
    markup_on,
    net_margin,
    offer_endings,
    price_of,
    sales_needed_after_discount,
    signed_by,
    valid_until,
    vat_ending,
)
from estimator.settings import Pricing
from estimator.vat import VatDecision, VatPart
from tests.money.factories import ItemFactory, bill_with, firm, hours_worked

NO_TAX = VatDecision((), "no tax", ("look at this",))
PRICING = Pricing()


def cost_of(minor: int) -> CostSheet:
    heads = BillHeads((HeadAmount("cable", Money(minor)),), Money(0), ())
    return cost_sheet(heads, hours_worked(0, {}), (), firm(return_visit_rate="0"))


# --- the price ----------------------------------------------------------------------------------


def test_a_price_just_above_a_step_goes_to_the_next_step() -> None:
    # By hand: 850.00 / 0.85 is 1,000 exactly; 850.01 / 0.85 = 1,000.0118.
    assert list_price(Money.of("850.00"), Decimal("0.15"), 500) == Money.of("1000")
    assert list_price(Money.of("850.01"), Decimal("0.15"), 500) == Money.of("1005")


def test_a_part_of_a_penny_above_a_step_still_counts() -> None:
    # By hand: 1.01 / 0.99 = 1.0202; to the nearest penny that is 1.02, which would leave a
    # margin of less than 1 %.
    assert list_price(Money.of("1.01"), Decimal("0.01"), 1) == Money.of("1.03")


def test_the_tax_goes_on_after_the_discount() -> None:
    # By hand: 850 / 0.85 = 1,000; less 100 = 900; 20 % of 900 = 180.
    tax = VatDecision((VatPart(Fraction(1), Decimal("0.20"), "full rate"),), "with tax")
    price = price_of(cost_of(85000), PRICING, tax, Discount(Money.of(100), "reason", "A. Name"))
    assert (price.list_net, price.net, price.gross) == (
        Money.of(1000), Money.of(900), Money.of(1080))
    assert price.vat_says == "with tax"


def test_margin_markup_and_contribution_are_those_of_the_final_price() -> None:
    # By hand: D 800, overhead 50, C 850, price 1,000.
    cost = replace(cost_of(85000), direct=Money.of(800), overhead=Money.of(50))
    price = price_of(cost, PRICING, NO_TAX)
    assert price.margin == Fraction(150, 1000)
    assert price.markup == Fraction(150, 850)
    assert price.contribution == Fraction(200, 1000)
    assert price.cautions == ("look at this",)


def test_a_price_step_of_nothing_means_to_the_penny() -> None:
    price = price_of(cost_of(10000), firm(margin="0.30", step="0").pricing, NO_TAX)
    assert price.net == Money.of("142.86")  # 100 / 0.7 = 142.857, by hand


def test_a_job_that_costs_nothing_is_priced_at_nothing() -> None:
    price = price_of(cost_of(0), PRICING, NO_TAX)
    assert (price.net, price.margin, price.markup) == (Money(0), 0, 0)


@given(
    st.integers(0, 10**8), st.decimals(0, Decimal("0.95"), places=4),
    st.sampled_from(["0", "0.01", "1.00", "5.00", "7.77", "50.00"]),
)
def test_no_list_price_falls_below_the_target_margin_and_none_is_a_step_too_high(
    minor: int, margin: Decimal, step: str
) -> None:
    pricing = firm(margin=str(margin), step=step).pricing
    price = price_of(cost_of(minor), pricing, NO_TAX)
    exact = minor / (1 - Fraction(margin))
    step_minor = max(1, Money.of(step).minor)
    assert 0 <= price.net.minor - exact < step_minor
    assert price.net.minor % step_minor == 0
    assert minor == 0 or price.margin >= Fraction(margin)


# --- margin and markup --------------------------------------------------------------------------


@given(st.fractions(-5, Fraction(99, 100), max_denominator=10_000))
def test_margin_and_markup_lead_back_to_each_other(margin: Fraction) -> None:
    assert margin_from_markup(markup_from_margin(margin)) == margin


@given(st.integers(1, 10**8), st.integers(1, 10**8))
def test_margin_and_markup_of_a_price_agree(price: int, cost: int) -> None:
    margin = net_margin(Money(price), Money(cost))
    assert markup_from_margin(margin) == markup_on(Money(price), Money(cost))


def test_a_loss_is_a_negative_margin() -> None:
    # By hand: sold for 80, cost 100, loses a quarter of the price.
    assert net_margin(Money.of(80), Money.of(100)) == Fraction(-1, 4)


@pytest.mark.parametrize("margin", [1, Decimal("1.2")])
def test_no_price_gives_a_margin_of_all_of_it(margin: int | Decimal) -> None:
    with pytest.raises(ValueError, match="below 100 %"):
        markup_from_margin(margin)
    with pytest.raises(ValueError, match="below 100 %"):
        list_price(Money(100), margin)


def test_a_markup_cannot_take_away_the_whole_cost() -> None:
    with pytest.raises(ValueError, match="above -100 %"):
        margin_from_markup(-1)


def test_there_is_no_margin_on_no_price_and_no_markup_on_no_cost() -> None:
    with pytest.raises(ValueError, match="no share of nothing"):
        net_margin(Money(0), Money(5))
    with pytest.raises(ValueError, match="no share of nothing"):
        markup_on(Money(5), Money(0))


@pytest.mark.parametrize("discount", ["0.25", "0.30", "-0.01"])
def test_no_volume_makes_up_for_a_discount_of_the_whole_margin(discount: str) -> None:
    with pytest.raises(ValueError, match="less than the margin"):
        sales_needed_after_discount(Decimal(discount), Decimal("0.25"))


@given(
    st.fractions(Fraction(1, 100), Fraction(9, 10), max_denominator=1000),
    st.fractions(0, Fraction(99, 100), max_denominator=1000),
)
def test_the_further_sales_earn_exactly_what_the_discount_gave_away(
    margin: Fraction, part: Fraction
) -> None:
    discount = margin * part
    more = sales_needed_after_discount(discount, margin)
    assert (1 + more) * (margin - discount) == margin


# --- discount -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("discount", "codes"),
    [
        (Discount(Money.of(10), " ", "A. Name"), ["M001"]),
        (Discount(Money.of(10), "neighbour", ""), ["M002"]),
        (Discount(Money.of(0), "neighbour", "A. Name"), ["M003"]),
        (Discount(Money.of(-5), "neighbour", "A. Name"), ["M003"]),
        (Discount(Money.of(1000), "neighbour", "A. Name"), ["M004"]),
        (Discount(Money.of("1000.01"), "", ""), ["M001", "M002", "M004"]),
    ],
)
def test_a_discount_needs_a_reason_a_name_and_something_left_to_pay(
    discount: Discount, codes: list[str]
) -> None:
    with pytest.raises(ProblemsFound) as caught:
        price_of(cost_of(85000), PRICING, NO_TAX, discount)
    assert [problem.code for problem in caught.value.problems] == codes


def test_a_discount_in_another_currency_is_refused() -> None:
    with pytest.raises(ValueError, match="do not mix"):
        price_of(cost_of(85000), PRICING, NO_TAX, Discount(Money(1, "EUR"), "reason", "A. Name"))


# --- sign-off -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("margin", "who"),
    [
        # Common practice, no source: at the target the estimator, to 3 points under it the
        # manager, below that the owner. Target 15 %, minimum 10 %.
        ("0.20", "estimator"), ("0.15", "estimator"), ("0.1499999", "manager"),
        ("0.12", "manager"), ("0.1199999", "owner"), ("0.09", "owner"), ("-0.10", "owner"),
    ],
)
def test_the_margin_says_who_may_let_the_quote_go(margin: str, who: str) -> None:
    assert signed_by(Fraction(margin), PRICING) == who


def test_under_the_minimum_the_owner_signs_whatever_the_bands_are() -> None:
    pricing = Pricing(margin_minimum=Decimal("0.14"), manager_below_target=Decimal("0.05"))
    assert signed_by(Fraction("0.14"), pricing) == "manager"
    assert signed_by(Fraction("0.1399"), pricing) == "owner"
    odd = Pricing(margin_minimum=Decimal("0.20"))
    assert signed_by(Fraction("0.16"), odd) == "owner"


# --- deposit ------------------------------------------------------------------------------------


def test_a_deposit_is_rounded_down_so_that_it_stays_within_the_limit() -> None:
    # By hand: 25 % of 8,000.03 is 2,000.0075.
    assert deposit(Money.of("8000.03"), Decimal("0.25"), Decimal("0.25")) == Money.of("2000.00")


def test_a_firm_may_ask_for_less_than_the_limit() -> None:
    assert deposit(Money.of(8000), Decimal("0.10"), Decimal("0.25")) == Money.of(800)


@pytest.mark.parametrize("share", ["-0.1", "1.1"])
def test_a_deposit_is_a_share_between_nothing_and_all(share: str) -> None:
    with pytest.raises(ValueError, match="between zero and one"):
        deposit(Money.of(8000), Decimal(share), Decimal("0.25"))


# --- validity -----------------------------------------------------------------------------------

ON = date(2026, 11, 2)


def test_a_quote_holds_for_the_firms_own_term_when_nothing_ends_before() -> None:
    # Thirty days from 2 November are 2 December, by calendar.
    assert valid_until(ON, 30) == (date(2026, 12, 2), "quotes hold for 30 days")


def test_the_earliest_end_counts_and_says_why() -> None:
    endings = [(date(2026, 11, 20), "a price ends"), (date(2026, 11, 14), "the scaffold quote")]
    assert valid_until(ON, 30, endings) == (date(2026, 11, 14), "the scaffold quote")


def test_on_a_tie_the_firms_own_term_is_named() -> None:
    _, because = valid_until(ON, 30, [(date(2026, 12, 2), "a price ends")])
    assert because == "quotes hold for 30 days"


def test_an_offer_ends_a_quote_without_naming_the_supplier() -> None:
    bill = bill_with([(ItemFactory(code="1", name="cable"), "1", "5")], ON)
    line = bill.lines[0]
    (buy,) = line.buys
    assert offer_endings(bill) == ()
    sooner = replace(buy, offer=replace(buy.offer, to_date=date(2026, 11, 9)))
    ending = replace(line, buys=(buy, sooner))
    assert offer_endings(replace(bill, lines=(ending,))) == (
        (date(2026, 11, 9), "the buying price of cable ends"),)
    option = replace(ending, option=True)
    assert offer_endings(replace(bill, lines=(option,))) == ()


def test_a_known_change_of_tax_ends_a_quote() -> None:
    last = date(2027, 3, 31)
    assert vat_ending(VatDecision((), "", (), last)) == ((last, "the VAT rate changes"),)
    assert vat_ending(NO_TAX) == ()
