"""Boxed parts go where they serve best, and nothing is counted twice."""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.netting import Need, share_boxes

Usable = frozenset[tuple[str, str]]


def shared(
    needs: list[Need[str]], boxed: Mapping[str, int], usable: Usable
) -> dict[tuple[str, str], int]:
    return share_boxes(needs, boxed, lambda part, need: (need, part) in usable)


def test_a_boxed_part_serves_only_a_need_its_specification_meets() -> None:
    needs = [Need("lead of 4 m", 1, F(10))]
    assert shared(needs, {"lead of 3 m": 1}, frozenset()) == {}


def test_the_dearer_need_gets_the_only_part_that_serves_both() -> None:
    needs = [Need("cheap", 1, F(1)), Need("dear", 1, F(9))]
    usable = frozenset({("cheap", "p"), ("dear", "p")})
    assert shared(needs, {"p": 1}, usable) == {("dear", "p"): 1}


def test_a_part_moves_to_another_need_where_that_serves_one_more() -> None:
    # "dear" would take p first; q serves only "dear", so p must move on to "cheap".
    needs = [Need("dear", 1, F(9)), Need("cheap", 1, F(1))]
    usable = frozenset({("dear", "p"), ("dear", "q"), ("cheap", "p")})
    assert shared(needs, {"p": 1, "q": 1}, usable) == {("dear", "q"): 1, ("cheap", "p"): 1}


@pytest.mark.parametrize("modules", range(1, 13))
def test_n_boxes_serve_n_minus_one_links_and_leave_one_over(modules: int) -> None:
    given_out = shared(
        [Need("link", modules - 1, F(5))], {"pair": modules}, frozenset({("link", "pair")}))
    assert sum(given_out.values()) == modules - 1


names = st.sampled_from(["a", "b", "c"])
parts = st.sampled_from(["p", "q", "r"])


@st.composite
def cases(draw: st.DrawFn) -> tuple[list[Need[str]], dict[str, int], Usable]:
    keys = draw(st.lists(names, unique=True, min_size=1))
    needs = [Need(k, draw(st.integers(0, 3)), F(draw(st.integers(0, 4)))) for k in keys]
    boxed = {p: draw(st.integers(0, 3)) for p in draw(st.lists(parts, unique=True))}
    usable = frozenset(draw(st.lists(st.tuples(names, parts))))
    return needs, boxed, usable


def most_saved(needs: list[Need[str]], boxed: Mapping[str, int], usable: Usable) -> F:
    """Search every way of giving parts to needs, one piece at a time, and keep the best saving."""
    pieces = [n for n in needs for _ in range(n.pieces)]

    def search(i: int, free: tuple[tuple[str, int], ...]) -> F:
        if i == len(pieces):
            return F(0)
        best = search(i + 1, free)
        for part, left in free:
            if left and (pieces[i].key, part) in usable:
                after = tuple((p, n - 1 if p == part else n) for p, n in free)
                best = max(best, pieces[i].weight + search(i + 1, after))
        return best

    return search(0, tuple(boxed.items()))


@given(cases())
@settings(max_examples=250, deadline=None)
def test_the_saving_equals_a_search_of_every_way(
    case: tuple[list[Need[str]], dict[str, int], Usable],
) -> None:
    needs, boxed, usable = case
    if sum(n.pieces for n in needs) > 6:
        needs = [Need(n.key, min(n.pieces, 2), n.weight) for n in needs]
    result = shared(needs, boxed, usable)
    weight = {n.key: n.weight for n in needs}
    saved = sum((weight[key] * n for (key, _), n in result.items()), F(0))
    assert saved == most_saved(needs, boxed, usable)


@given(cases())
@settings(max_examples=250, deadline=None)
def test_nothing_is_used_twice_and_nothing_useful_is_left(
    case: tuple[list[Need[str]], dict[str, int], Usable],
) -> None:
    needs, boxed, usable = case
    result = shared(needs, boxed, usable)
    assert all(n > 0 and pair in usable for pair, n in result.items())
    used = {p: sum(n for (_, part), n in result.items() if part == p) for p in boxed}
    met = {need.key: sum(n for (k, _), n in result.items() if k == need.key) for need in needs}
    assert all(used[p] <= boxed[p] for p in boxed)
    assert all(met[need.key] <= need.pieces for need in needs)
    for need, part in itertools.product(needs, boxed):
        idle = boxed[part] - used[part]
        assert not (idle and met[need.key] < need.pieces and (need.key, part) in usable)


@given(cases())
@settings(max_examples=100, deadline=None)
def test_netting_what_is_left_changes_nothing(
    case: tuple[list[Need[str]], dict[str, int], Usable],
) -> None:
    needs, boxed, usable = case
    first = shared(needs, boxed, usable)
    rest = [
        Need(n.key, n.pieces - sum(v for (k, _), v in first.items() if k == n.key), n.weight)
        for n in needs
    ]
    idle = {p: n - sum(v for (_, q), v in first.items() if q == p) for p, n in boxed.items()}
    assert shared(rest, idle, usable) == {}
