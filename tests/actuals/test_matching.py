"""What of a charge is a cost beside the ledger: exact, split to the penny, in whatever order."""

from __future__ import annotations

from decimal import Decimal as D
from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.money import round_half_up
from estimator.actuals.matching import FIRM, Pool, split

CHARGES = st.lists(st.tuples(st.integers(1, 50), st.integers(-1_000, 500_000)), min_size=1,
                   max_size=6)
WEIGHTS = st.lists(st.integers(1, 40), min_size=1, max_size=5)


def pool(received: int, value: int, *weights: int, beyond: bool = False) -> Pool:
    for_whom = [f"D-{n}" for n in range(len(weights) - 1)] + [FIRM]
    return Pool(D(received), value, [
        (job, D(weight)) for job, weight in zip(for_whom, weights, strict=True)], beyond)


def test_what_was_charged_dearer_is_the_difference_and_goes_by_quantity() -> None:
    # By hand: 10 taken in at 100.00, charged 103.00: 3.00, of which 7 tenths and 3 tenths.
    assert pool(10, 10_000, 7, 3).charge(D(10), 10_300) == {"D-0": 210, FIRM: 90}


def test_what_has_not_come_costs_nothing_until_it_comes() -> None:
    # By hand: 12 at 11.00 are charged, 8 have come, taken in at 10.00: 8 x 1.00.
    some = pool(8, 8_000, 12)
    assert some.charge(D(12), 13_200) == {FIRM: 800}
    assert some.not_come == 4
    all_ = Pool(D(12), 12_000, some.recipients, charged=D(12), net_minor=13_200,
                booked={FIRM: 800})
    assert all_.settle() == {FIRM: 400}
    assert all_.settle() == {FIRM: 0}
    assert pool(0, 0, 1).charge(D(12), 13_200) == {FIRM: 0}


def test_what_came_and_is_not_charged_yet_stays_at_what_it_was_taken_in_at() -> None:
    half = pool(10, 10_000, 10)
    assert half.charge(D(5), 5_100) == {FIRM: 100}
    assert half.charge(D(5), 5_000) == {FIRM: 0}


def test_a_price_that_is_put_right_and_goods_that_go_back() -> None:
    # By hand: charged 5.00 too much, credited 5.00: nothing is left of it.
    right = pool(10, 10_000, 10)
    assert right.charge(D(10), 10_500) == {FIRM: 500}
    assert right.charge(D(0), -500) == {FIRM: -500}
    # two go back for 15.00 of their 20.00: the 5.00 that the supplier keeps are a cost
    assert right.charge(D(-2), -1_500) == {FIRM: 500}
    # and all of them
    assert right.charge(D(-8), -8_000) == {FIRM: 0}


def test_what_was_bought_without_an_order_costs_what_was_not_written_down() -> None:
    # By hand: one written down at 31.50 and charged 33.00 -> 1.50; a second one 33.00 in full.
    bought = pool(1, 3_150, 1, beyond=True)
    assert bought.charge(D(1), 3_300) == {FIRM: 150}
    assert bought.charge(D(1), 3_300) == {FIRM: 3_300}


@given(CHARGES, st.integers(0, 120), st.integers(0, 900_000), WEIGHTS)
def test_shares_of_all_bills_add_up_to_the_difference_rounded_once(
    charges: list[tuple[int, int]], received: int, value: int, weights: list[int]
) -> None:
    tried = pool(received, value if received else 0, *weights)
    shares = [tried.charge(D(quantity), net) for quantity, net in charges]
    charged, net = sum(q for q, _ in charges), sum(n for _, n in charges)
    if received >= charged:
        whole = net - F(tried.value_minor) * charged / received if received else F(0)
    else:
        whole = F(net) * received / charged - tried.value_minor
    assert sum(sum(each.values()) for each in shares) == round_half_up(whole)
    # each job's is within a penny of its exact share
    for (job, weight) in tried.recipients:
        exact = F(round_half_up(whole)) * F(weight) / sum(weights)
        assert abs(sum(each[job] for each in shares) - exact) < 1


@given(CHARGES, st.integers(1, 120), st.integers(0, 900_000))
def test_the_order_of_bills_changes_no_sum(
    charges: list[tuple[int, int]], received: int, value: int
) -> None:
    there, back = pool(received, value, 2, 1), pool(received, value, 2, 1)
    for quantity, net in charges:
        there.charge(D(quantity), net)
    for quantity, net in reversed(charges):
        back.charge(D(quantity), net)
    assert there.booked == back.booked


@given(st.integers(-10**9, 10**9), WEIGHTS)
def test_a_split_adds_up_and_is_fair(minor: int, weights: list[int]) -> None:
    parts = split(minor, [D(weight) for weight in weights])
    assert sum(parts) == minor
    for part, weight in zip(parts, weights, strict=True):
        assert abs(part - F(minor * weight, sum(weights))) < 1


@pytest.mark.parametrize("quantity", [D("0.5"), D("18.5")])
def test_metres_are_matched_as_pieces_are(quantity: D) -> None:
    cable = Pool(quantity, 1_000, [("D-1", quantity)])
    assert cable.charge(quantity, 1_001) == {"D-1": 1}
