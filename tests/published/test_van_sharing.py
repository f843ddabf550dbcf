"""Sharing vans against published instances of knapsacks and of assignment.

The instances are those of J. Burkardt's collections of test data (knapsack_01, knapsack_multiple
and the programs of S. Martello and P. Toth, Knapsack Problems, 1990).
"""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.van.sharing import Choice, Load, best_split


def knapsack(profits: list[int], masses: list[int], *capacities: int) -> int:
    vans = {f"van {i}": {"kg": capacity} for i, capacity in enumerate(capacities)}
    loads = [
        Load(f"load {j:02}", {van: Choice({"kg": mass}, profit) for van in vans})
        for j, (profit, mass) in enumerate(zip(profits, masses, strict=True))
    ]
    split = best_split(loads, vans)
    assert split is not None
    assert split.proven
    return split.worth


TEN_KG = [23, 31, 29, 44, 53, 38, 63, 85, 89, 82]
TEN_WORTH = [92, 57, 49, 68, 60, 43, 67, 84, 87, 72]


def test_one_van_of_104_takes_what_is_worth_900() -> None:
    # knapsack output: items 1, 3, 4, 5, 7, 8 with a mass of 104.
    assert knapsack([350, 400, 450, 20, 70, 8, 5, 5], [25, 35, 45, 5, 25, 3, 2, 2], 104) == 900


def test_one_van_of_165_takes_what_is_worth_309() -> None:
    assert knapsack(TEN_WORTH, TEN_KG, 165) == 309  # P01


def test_two_vans_of_70_and_127_take_what_is_worth_333() -> None:
    assert knapsack(TEN_WORTH, TEN_KG, 70, 127) == 333  # the multiple knapsack test MTM


@pytest.mark.parametrize(("all_must_go", "worth"), [(True, 40), (False, 41)])
def test_seven_loads_for_two_crews(all_must_go: bool, worth: int) -> None:
    # The generalised assignment test MTG: 40 with every load placed (41 if one may stay, re-solved
    # by full search).
    takes = [(4, 1, 2, 1, 4, 3, 8), (9, 9, 8, 1, 3, 8, 7)]
    profit = [(6, 9, 4, 2, 10, 3, 6), (4, 8, 9, 1, 7, 5, 4)]
    vans = {"a": {"h": 11}, "b": {"h": 22}}
    loads = [
        Load(f"load {j}", {van: Choice({"h": takes[i][j]}, profit[i][j])
                           for i, van in enumerate(vans)})
        for j in range(7)
    ]
    split = best_split(loads, vans, all_must_go)
    assert split is not None
    assert split.worth == worth
    assert (len(split.van_of) == 7) is all_must_go


def test_two_half_days_that_do_not_fit_one_van_are_told() -> None:
    # By hand: 500 and 600 kg in a van of 1,000 kg.
    loads = [Load(name, {"van": Choice({"kg": kg}, 1)}) for name, kg in (("a", 500), ("b", 600))]
    assert best_split(loads, {"van": {"kg": 1000}}, all_must_go=True) is None
    alone = best_split(loads, {"van": {"kg": 1000}})
    assert alone is not None
    assert (alone.van_of, alone.worth) == ({"a": "van"}, 1)


@given(st.lists(st.tuples(*[st.integers(1, 9)] * 4), max_size=5), st.integers(0, 20),
       st.integers(0, 20), st.booleans())
def test_the_search_agrees_with_trying_every_split(
    rows: list[tuple[int, int, int, int]], first: int, second: int, all_must_go: bool,
) -> None:
    vans = {"a": {"kg": first}, "b": {"kg": second}}
    loads = [
        Load(f"{i}", {"a": Choice({"kg": kg_a}, worth_a), "b": Choice({"kg": kg_b}, worth_b)})
        for i, (kg_a, kg_b, worth_a, worth_b) in enumerate(rows)
    ]
    best = None
    for ways in product("ab-", repeat=len(rows)):
        kg = {van: sum(r["ab".index(van)] for r, w in zip(rows, ways, strict=True) if w == van)
              for van in "ab"}
        lawful = kg["a"] <= first and kg["b"] <= second and not (all_must_go and "-" in ways)
        worth = sum(r[2 + "ab".index(w)] for r, w in zip(rows, ways, strict=True) if w != "-")
        if lawful and (best is None or worth > best):
            best = worth
    split = best_split(loads, vans, all_must_go)
    assert (None if split is None else split.worth) == best


def test_a_search_cut_short_says_so() -> None:
    loads = [Load(f"{j}", {"v": Choice({"kg": 1}, 1)}) for j in range(6)]
    split = best_split(loads, {"v": {"kg": 3}}, most_steps=8)
    assert split is not None
    assert not split.proven
