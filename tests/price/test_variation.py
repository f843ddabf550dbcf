"""What the customer pays for variations: what was accepted first and all chargeable ones."""

from __future__ import annotations

import re
from decimal import Decimal as D
from fractions import Fraction

from hypothesis import assume, given
from hypothesis import strategies as st
from sqlalchemy import CheckConstraint

from catalogue.money import Money
from catalogue.tables import VARIATION
from estimator.cost import CostSheet
from estimator.outcome.variation import REASONS, price_of_variation
from estimator.price import Discount, price_of
from estimator.settings import Pricing
from estimator.vat import VatDecision, VatPart

PRICING = Pricing(margin_target=D("0.15"), price_step=D(5))
ZERO = Money(0)


def sheet(cost: int) -> CostSheet:
    full = Money(cost)
    return CostSheet((), full, ZERO, ZERO, ZERO, ZERO, ZERO, full, ZERO, full, ZERO)


def net(cost: int, discount: Discount | None = None, least: Money | None = None) -> Money:
    vat = VatDecision((VatPart(Fraction(1), D("0.20"), "work"),), "taxed")
    return price_of(sheet(cost), PRICING, vat, discount, least).net


def test_the_worked_case_to_the_penny() -> None:
    """By hand, margin 15 %, step £5: £8,500 of cost is a price of £10,000, £8,600 is £10,117.65.

    That is raised to £10,120, so a variation that costs £100 more is charged at £120. The next £100
    of cost make a list price of £10,235.29, raised to £10,240: not charged, that is £120 off.
    """
    first = price_of_variation(net(850_000), net(850_000), net(860_000), chargeable=True)
    assert (first.charge, first.net) == (Money(12_000), Money(1_012_000))
    second = price_of_variation(first.net, net(860_000), net(870_000), chargeable=False)
    assert (second.charge, second.net) == (ZERO, Money(1_012_000))
    assert second.off(net(870_000)) == Money(12_000)


def test_what_makes_a_job_cheaper_and_is_not_charged_leaves_the_price_that_was_agreed() -> None:
    agreed = net(850_000)
    found = price_of_variation(agreed, agreed, net(800_000), chargeable=False)
    assert found.off(net(800_000)) == ZERO
    assert net(800_000, None, found.net) == agreed


COST = st.integers(50_000, 3_000_000)


@given(first=COST, off=st.integers(0, 40_000),
       found=st.lists(st.tuples(COST, st.booleans()), max_size=6))
def test_the_price_now_is_the_first_price_and_all_chargeable_variations(
    first: int, off: int, found: list[tuple[int, bool]]
) -> None:
    """Each revision is priced by the price stage itself, with the discount or least it has."""
    discount = Discount(Money(off), "two jobs", "R. Owner") if off else None
    accepted = agreed = net(first, discount)
    charged, cost = 0, first
    for next_cost, chargeable in found:
        assume(net(next_cost) > (discount.amount if discount else ZERO))
        priced = price_of_variation(
            agreed, net(cost, discount), net(next_cost, discount), chargeable=chargeable)
        assume(priced.net > ZERO)
        below = priced.off(net(next_cost))
        discount = Discount(below, "agreed", "R. Owner") if below.minor else None
        kept = net(next_cost, discount, priced.net)
        assert kept == priced.net
        assert chargeable or kept == agreed
        charged += priced.charge.minor
        agreed, cost = kept, next_cost
    assert agreed.minor == accepted.minor + charged


def test_the_reasons_are_those_that_the_table_takes() -> None:
    check = next(each for each in VARIATION.constraints
                 if isinstance(each, CheckConstraint) and "reason_known" in str(each.name))
    assert tuple(re.findall("'([^']+)'", str(check.sqltext))) == REASONS
