"""Price variance of what is received, against published exercises in standard costing.

The ordered price stands where the exercises have the standard price; adverse is above zero.
"""

from __future__ import annotations

from decimal import Decimal as D

import pytest

from estimator.buying.receiving import Came, variance
from tests.factories import OrderLineFactory

CASES = {
    # Lecture notes on standard costing: 5,000 kg bought at 42 where 40 is standard: 10,000 A.
    "material": (5_000, 40, 42, 10_000),
    # A management accounting text, chapter 15, problem 15.1: the variance is taken at purchase, on
    # the 200,000 lb bought at 1.20 against 1.00 (not on the 110,000 used): 40,000 A; in pence.
    "at purchase": (200_000, 100, 120, 4_000_000),
    # A question and answer page, mixed signs: 16,500 at 2.10 against 2.30: 3,300 F; in pence.
    "favourable": (16_500, 230, 210, -330_000),
}


@pytest.mark.parametrize("case", CASES)
def test_the_published_price_variance_comes_out(case: str) -> None:
    quantity, standard, paid, expected = CASES[case]
    line = OrderLineFactory(quantity=D(quantity), price_minor=standard)
    assert variance(line, Came(1, D(quantity), D(0), paid)) == expected


@pytest.mark.parametrize("case", CASES)
def test_it_is_the_same_in_parts_and_damaged_goods_count(case: str) -> None:
    quantity, standard, paid, expected = CASES[case]
    line = OrderLineFactory(quantity=D(quantity), price_minor=standard)
    parts = [Came(1, D(quantity) / 4, D(0), paid), Came(1, D(quantity) / 2, D(quantity) / 4, paid)]
    assert sum(variance(line, part) for part in parts) == expected


def test_a_price_for_a_hundred_keeps_its_fractions() -> None:
    # By hand: 250 clips at 3.50 for 100 in place of 3.45: 2.5 x 5 pence = 12.5 pence, unrounded.
    line = OrderLineFactory(quantity=D(300), pack=D(100), per=D(100), price_minor=345)
    assert variance(line, Came(1, D(250), D(0), 350)) == D("12.5")
