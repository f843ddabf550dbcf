"""Baskets against brute force: every assignment, costed by a second hand-written sum.

The oracle shares no code with the program: it takes each choice for each line in turn, tries every
surplus from nothing up to the dearest threshold, and reads the charges as a buyer would.
"""

from __future__ import annotations

import os
from fractions import Fraction
from itertools import product
from math import ceil

import pytest

from estimator.buying import basket
from estimator.buying.basket import split_basket
from estimator.buying.basket_solver import Limits, solve
from estimator.buying.basket_values import Choice, Terms
from tests.buying.drawn_baskets import Drawn, order_basket, small_basket

BASKETS = int(os.environ.get("BASKETS", "24"))
SMALL = 2_500


def order_cost(choices: list[Choice], terms: Terms | None, share: Fraction) -> int:
    """Return the cost of one order, trying every surplus one minor unit after another."""
    goods = sum(choice.goods_minor for choice in choices)
    if terms is None:
        return goods
    charges = [terms.order]
    for name in ("long", "pallet"):
        if any(name in choice.classes for choice in choices) and name in terms.classes:
            charges.append(terms.classes[name])
    most = max([goods, terms.least_minor, *(c.free_from_minor or 0 for c in charges)])
    best = None
    for value in range(max(goods, terms.least_minor), most + 1):
        carriage = 0
        for charge in charges:
            if charge.free_from_minor is None or value < charge.free_from_minor:
                carriage += charge.minor
        cost = goods + carriage + ceil(share * (value - goods))
        best = cost if best is None else min(best, cost)
    assert best is not None
    return best


def brute_force(drawn: Drawn) -> int:
    """Return the least cost over all assignments."""
    share = Fraction(drawn.wanted.surplus_share)
    known: dict[tuple[Choice, ...], int] = {}
    best = None
    for taken in product(*(line.choices for line in drawn.lines)):
        cost = 0
        for name in sorted({choice.supplier for choice in taken}):
            own = tuple(choice for choice in taken if choice.supplier == name)
            if own not in known:
                known[own] = order_cost(list(own), drawn.terms.get(name), share)
            cost += known[own]
        if drawn.wanted.by is not None:
            allowance = (drawn.wanted.by - drawn.wanted.on).days
            wait = max(choice.lead_days for choice in taken) - allowance
            cost += max(0, wait) * (drawn.wanted.late_per_day_minor or 0)
        best = cost if best is None else min(best, cost)
    assert best is not None
    return best


@pytest.mark.parametrize("block", range(10))
def test_small_baskets_cost_what_all_assignments_tried_by_hand_cost(block: int) -> None:
    for seed in range(block * SMALL // 10, (block + 1) * SMALL // 10):
        drawn = small_basket(seed)
        split = split_basket(drawn.lines, drawn.terms, drawn.wanted)
        assert (split.plan.total_minor, split.gap_minor) == (brute_force(drawn), 0), seed


def test_the_solver_alone_finds_and_proves_the_same_costs() -> None:
    for seed in range(0, SMALL, 6):
        drawn = small_basket(seed)
        solved = solve(drawn.lines, drawn.terms, drawn.wanted, Limits())
        best = brute_force(drawn)
        assert solved.plan is not None
        assert (solved.plan.total_minor, solved.bound_minor, solved.complete) == (
            best, best, True), seed


def test_of_equally_cheap_baskets_search_and_solver_take_one_with_fewest_orders() -> None:
    for seed in range(0, SMALL, 6):
        drawn = small_basket(seed)
        searched = split_basket(drawn.lines, drawn.terms, drawn.wanted).plan
        solved = solve(drawn.lines, drawn.terms, drawn.wanted, Limits()).plan
        assert solved is not None
        assert searched.rank[:2] == solved.rank[:2], seed


def test_a_basket_is_never_dearer_than_the_best_single_supplier_or_the_cheapest_line_by_line() -> (
        None):
    for seed in range(BASKETS):
        drawn = order_basket(seed)
        split = split_basket(drawn.lines, drawn.terms, drawn.wanted)
        assert split.plan.total_minor <= split.greedy.total_minor
        assert split.saved_on_single_minor is None or split.saved_on_single_minor >= 0
        assert split.bound_minor <= split.plan.total_minor
        assert split.how in ("searched", "solved"), seed
        assert split.gap_minor == 0, seed


@pytest.mark.parametrize("limits", [Limits(seconds=0.0), Limits(parts=0)])
def test_a_solver_that_is_stopped_at_once_costs_no_more_than_the_simple_ways(
    limits: Limits,
) -> None:
    for seed in range(6):
        drawn = order_basket(seed)
        split = split_basket(drawn.lines, drawn.terms, drawn.wanted, limits)
        best = split_basket(drawn.lines, drawn.terms, drawn.wanted)
        assert split.plan.total_minor <= split.greedy.total_minor
        assert split.saved_on_single_minor is None or split.saved_on_single_minor >= 0
        assert split.bound_minor <= best.plan.total_minor <= split.plan.total_minor


def test_the_order_of_lines_and_suppliers_changes_nothing() -> None:
    for seed in range(4):
        drawn = order_basket(seed)
        split = split_basket(drawn.lines, drawn.terms, drawn.wanted)
        turned = split_basket(
            drawn.lines[::-1], dict(reversed(drawn.terms.items())), drawn.wanted)
        assert turned == split


def test_a_basket_without_a_choice_needs_no_search(monkeypatch: pytest.MonkeyPatch) -> None:
    def never(*_: object) -> None:
        raise AssertionError("nothing is to be searched")

    monkeypatch.setattr(basket, "search", never)
    monkeypatch.setattr(basket, "_solved", never)
    drawn = order_basket(1, suppliers=1)
    split = split_basket(drawn.lines, drawn.terms, drawn.wanted)
    assert (split.how, split.gap_minor) == ("forced", 0)
