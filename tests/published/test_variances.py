"""Shares of a change, one factor replaced after another, against published analyses of variance.

A price-volume analysis is the case of two factors: the quantity first, at the old price, then the
price, at the new quantity. Adverse is more cost. Amounts in the examples are whole units of money.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import pytest

from estimator.difference.change import Change
from estimator.difference.inputs import Totals
from estimator.difference.steps import NOTHING, Step, Way, mean_of, walk


@dataclass(frozen=True)
class Spent:
    """A quantity at a price."""

    quantity: int
    price: int


class Multiplied:
    """Reckons quantity x price in the place of a whole estimate."""

    def totals(self, spent: Any) -> Totals:
        amount = spent.quantity * spent.price
        return Totals(amount, amount, amount)


def putting(name: str, value: int) -> Callable[[Any], Any]:
    return lambda spent: replace(spent, **{name: value})


def changes_to(now: Spent) -> list[Change]:
    return [Change(name, name, "", "", putting(name, getattr(now, name)))
            for name in ("quantity", "price")]


def steps(was: Spent, now: Spent, changes: list[Change]) -> list[Step]:
    reckon: Any = Multiplied()
    start: Any = was
    way = Way(reckon, start, reckon.totals(was), reckon.totals(now),
              Change("rest", "", "", "", lambda inputs: inputs))
    return list(walk(way, changes, lambda done: None))


def shares(found: list[Step]) -> dict[str, int]:
    return {step.changes[0].cause: step.share.cost for step in found}


CASES = {
    # Lecture notes on standard costing (material): 8,000 kg of output at 0.6 allow 4,800; 5,000
    # were used at 42 where 40 is standard: usage 8,000 adverse, price 10,000 adverse, together
    # 18,000.
    "material": (Spent(4_800, 40), Spent(5_000, 42), 8_000, 10_000, 18_000),
    # A textbook's problem on variances (labour): 6,000 h at 14 where 5,000 h at 15 are standard:
    # efficiency 15,000 adverse, rate 6,000 favourable.
    "labour": (Spent(5_000, 15), Spent(6_000, 14), 15_000, -6_000, 9_000),
    # A question and answer on mixed signs, in pence (material): 16,500 at 2.10, standard 15,000 at
    # 2.30: usage 3,450.00 adverse, price 3,300.00 favourable.
    "mixed signs": (Spent(15_000, 230), Spent(16_500, 210), 345_000, -330_000, 15_000),
    # The same, labour in pence: 500 h at 8.50, standard 70 h at 7.50: efficiency 3,225.00 adverse,
    # rate 500.00 adverse.
    "mixed signs, labour": (Spent(70, 750), Spent(500, 850), 322_500, 50_000, 372_500),
}


@pytest.mark.parametrize("case", CASES)
def test_quantity_first_gives_the_published_usage_and_price_variances(case: str) -> None:
    was, now, usage, price, total = CASES[case]
    found = steps(was, now, changes_to(now))
    assert shares(found) == {"quantity": usage, "price": price}
    assert sum((step.share for step in found), NOTHING).cost == total


@pytest.mark.parametrize("case", CASES)
def test_the_mean_of_both_orders_is_the_value_of_shapley_for_two_factors(case: str) -> None:
    """The change of one factor times the mean of the other's two levels (Shapley 1953)."""
    was, now, _, _, total = CASES[case]
    changes = changes_to(now)
    found = mean_of(steps(was, now, changes), steps(was, now, changes[::-1]))
    assert {step.changes[0].cause: 2 * step.share.cost for step in found} == {
        "quantity": (now.quantity - was.quantity) * (now.price + was.price),
        "price": (now.price - was.price) * (now.quantity + was.quantity)}
    assert sum(step.share.cost for step in found) == total
