"""Price variance of bills against published exercises in standard costing.

What goods were taken in at stands where the exercises have the standard price, and the bill where
they have the actual one; adverse is above zero. Amounts in pence.
"""

from __future__ import annotations

from decimal import Decimal as D

import pytest

from estimator.actuals.matching import FIRM, Pool

CASES = {
    # Lecture notes on standard costing: 5,000 kg bought at 42 where 40 is standard: 10,000 A.
    "material": (5_000, 40, 42, 10_000),
    # A management accounting text, chapter 15, problem 15.1: the variance is taken at purchase, on
    # the 200,000 lb bought at 1.20 against 1.00 (not on the 110,000 used): 40,000 A.
    "at purchase": (200_000, 100, 120, 4_000_000),
    # A question and answer page, mixed signs: 16,500 at 2.10 against 2.30: 3,300 F.
    "favourable": (16_500, 230, 210, -330_000),
}


@pytest.mark.parametrize("case", CASES)
def test_the_published_price_variance_comes_out(case: str) -> None:
    quantity, standard, paid, expected = CASES[case]
    pool = Pool(D(quantity), quantity * standard, [(FIRM, D(quantity))])
    assert pool.charge(D(quantity), quantity * paid) == {FIRM: expected}


@pytest.mark.parametrize("case", CASES)
def test_it_is_the_same_in_two_bills_of_which_the_first_comes_before_the_goods(case: str) -> None:
    quantity, standard, paid, expected = CASES[case]
    before = Pool(D(0), 0, [(FIRM, D(quantity))])
    assert before.charge(D(quantity) / 2, quantity // 2 * paid) == {FIRM: 0}
    come = Pool(D(quantity), quantity * standard, before.recipients, charged=before.charged,
                net_minor=before.net_minor, booked=before.booked)
    first = come.settle()[FIRM]
    assert first + come.charge(D(quantity) / 2, quantity // 2 * paid)[FIRM] == expected
