"""Shares of changes: they add up whatever the order, and what cannot stand alone waits."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.problems import ProblemsFound
from estimator.difference.change import Change
from estimator.difference.inputs import Totals
from estimator.difference.steps import NOTHING, Step, Way, by_cause, halved, mean_of, walk

State = frozenset[str]
amounts = st.integers(-10**9, 10**9)


class Priced:
    """A made-up estimate: what each set of changes costs, refused where a change lacks another."""

    def __init__(self, cost_of: Callable[[State], int], needs: dict[str, str]) -> None:
        self.cost_of, self.needs = cost_of, needs

    def totals(self, state: Any) -> Totals:
        if any(name in state and need not in state for name, need in self.needs.items()):
            raise ProblemsFound([])
        cost = self.cost_of(state)
        return Totals(cost, 2 * cost, 3 * cost)


def adding(name: str) -> Callable[[Any], Any]:
    return lambda state: state | {name}


def walked(
    names: list[str], cost_of: Callable[[State], int], needs: dict[str, str] | None = None,
    *, backwards: bool = False, changes: list[Change] | None = None,
) -> list[Step]:
    reckon: Any = Priced(cost_of, needs or {})
    changes = changes or [Change(name, name, "", "", adding(name)) for name in names]
    start: Any = frozenset()
    way = Way(reckon, start, reckon.totals(start), reckon.totals(frozenset(names)),
              Change("rest", "rest", "", "", lambda state: state))
    return list(walk(way, changes[::-1] if backwards else changes, lambda done: None))


def named(found: list[Step] | tuple[Step, ...]) -> list[tuple[list[str], int]]:
    return [([change.what for change in step.changes], step.share.cost) for step in found]


def weights(state: State) -> int:
    return sum({"a": 1, "b": 10, "c": 100, "d": 1000}[name] for name in state)


def test_each_change_is_a_step_and_its_share_is_what_it_does_there() -> None:
    assert named(walked(["a", "b", "c"], weights)) == [(["a"], 1), (["b"], 10), (["c"], 100)]


def test_a_change_that_cannot_stand_alone_waits_for_the_first_that_lets_it_be() -> None:
    found = walked(["a", "b", "c", "d"], weights, {"a": "c"})
    assert named(found) == [(["b"], 10), (["a", "c"], 101), (["d"], 1000)]


def test_what_waits_to_the_end_is_the_last_step() -> None:
    """Two that need each other, in a circle: neither can be first, both together can."""
    found = walked(["a", "b", "c"], weights, {"a": "b", "b": "a"})
    assert named(found) == [(["a", "b"], 11), (["c"], 100)]
    three = walked(["a", "b", "c"], weights, {"a": "b", "b": "c", "c": "a"})
    assert named(three) == [(["a", "b", "c"], 111)]


def test_what_no_step_explains_is_a_step_of_its_own() -> None:
    """As when the order of rules moves money, which no rule's own change does."""
    reckon: Any = Priced(weights, {})
    start: Any = frozenset()
    rest = Change("order and wording", "", "", "", lambda state: state)
    way = Way(reckon, start, NOTHING, Totals(7, 14, 21), rest)
    (found,) = walk(way, [], lambda done: None)
    assert (found.changes, found.share) == ((rest,), Totals(7, 14, 21))


def test_shares_by_cause_add_up_in_the_order_of_the_steps() -> None:
    def step(cause: str, cost: int) -> Step:
        return Step((Change(cause, "", "", "", lambda state: state),), Totals(cost, 0, 0))

    found = by_cause([step("fact", 3), step("price", 5), step("fact", -1)])
    assert {cause: share.cost for cause, share in found.items()} == {"fact": 2, "price": 5}
    assert list(found) == ["fact", "price"]


NAMES = ["a", "b", "c", "d"]
STATES = [frozenset(n for at, n in enumerate(NAMES) if mask >> at & 1) for mask in range(16)]


@given(st.lists(amounts, min_size=16, max_size=16),
       st.dictionaries(st.sampled_from(NAMES), st.sampled_from(NAMES)))
def test_shares_add_up_either_way_and_in_the_mean_whatever_hangs_on_what(
    costs: list[int], needs: dict[str, str]
) -> None:
    table = dict(zip(STATES, costs, strict=True))
    changes = [Change(name, name, "", "", adding(name)) for name in NAMES]
    there = walked(NAMES, table.__getitem__, needs, changes=changes)
    back = walked(NAMES, table.__getitem__, needs, changes=changes, backwards=True)
    mean = mean_of(there, back)
    cost = table[STATES[-1]] - table[STATES[0]]
    for found in (there, back, mean):
        assert sum((step.share for step in found), NOTHING) == Totals(cost, 2 * cost, 3 * cost)
        taken = [change.what for step in found for change in step.changes]
        assert sorted(taken) == NAMES, "each change is in one step"


@given(st.lists(amounts, min_size=1, max_size=20))
def test_halves_add_up_and_are_at_most_half_a_unit_off(twice: list[int]) -> None:
    if sum(twice) % 2:
        twice[0] += 1
    parts = halved(twice, sum(twice) // 2)
    assert sum(parts) == sum(twice) // 2
    assert all(abs(2 * part - each) <= 1 for part, each in zip(parts, twice, strict=True))


def test_halves_of_what_does_not_add_up_are_refused() -> None:
    assert halved([3, 1, -2, 2], 2) == [2, 0, -1, 1]  # 1.5, 0.5: the first gets the half left
    with pytest.raises(ValueError, match="twice the whole"):
        halved([3, 1], 3)
