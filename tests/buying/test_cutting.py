"""Cuts against trying everything, on thousands of small random tasks, and what holds for all."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.buying.cutting.cut import Effort, cut
from estimator.buying.cutting.model import Bar, CutPlan, Offcuts, OnHand, Piece, Task
from tests.buying.cutting_oracle import cheapest, tasks

QUICK = Effort(seconds=0, steps=500, patterns=500)


def assert_sound(task: Task, plan: CutPlan) -> None:
    """Every piece is cut once, no bar is overfilled, and the money is what bars and ends say."""
    wanted = Counter((p.label, p.length_mm) for p in task.pieces for _ in range(p.count))
    assert Counter((c.label, c.length_mm) for bar in plan.bars for c in bar.cuts) == wanted
    prices = {(b.code, b.length_mm): b.price_minor for b in task.bars}
    hand = {h.mark: h for h in task.on_hand}
    marks = [bar.code for bar in plan.bars if not bar.bought]
    assert len(marks) == len(set(marks))
    cost, spent = Fraction(0), 0
    for bar in plan.bars:
        taken = sum(c.length_mm for c in bar.cuts) + task.kerf_mm * (len(bar.cuts) - 1)
        assert 0 < taken <= bar.length_mm
        assert bar.cuts[-1].ends_at_mm == taken
        assert bar.offcut_mm == max(0, bar.length_mm - taken - task.kerf_mm)
        assert bar.kept == (0 < task.offcuts.least_mm <= bar.offcut_mm)
        if bar.bought:
            spent += prices[(bar.code, bar.length_mm)]
        else:
            assert hand[bar.code].length_mm == bar.length_mm
            cost += hand[bar.code].value_minor
        cost -= Fraction(bar.offcut_mm * task.offcuts.value_minor_per_m, 1000) if bar.kept else 0
    assert (plan.spent_minor, plan.cost_minor) == (spent, cost + spent)
    assert plan.bound_minor <= plan.cost_minor


@pytest.mark.parametrize("seed", range(5))
def test_two_thousand_random_tasks_are_cut_as_cheaply_as_trying_everything(seed: int) -> None:
    for task in tasks(seed, 400, 5):
        plan = cut(task, Effort(seconds=0))
        assert_sound(task, plan)
        assert plan.cost_minor == plan.bound_minor == cheapest(task), task


def test_the_solver_cuts_as_cheaply_as_trying_everything_and_never_claims_too_much() -> None:
    for task in tasks(7, 150, 6):
        plan = cut(task, Effort(steps=0))
        assert_sound(task, plan)
        assert plan.cost_minor == cheapest(task), task


def test_patterns_generated_for_large_tasks_give_a_sound_cut_and_a_bound_that_holds() -> None:
    gaps = 0
    for task in tasks(8, 150, 5):
        plan, best = cut(task, Effort(patterns=0)), cheapest(task)
        assert_sound(task, plan)
        assert plan.bound_minor <= best <= plan.cost_minor, task
        gaps += plan.cost_minor > best
    assert gaps <= 15  # generated patterns may miss the best whole cut, but seldom do


def test_without_search_and_solver_the_gap_is_stated() -> None:
    # by hand: 11 + 5 + 4 = 20 and 8 + 6 + 6 = 20, while longest first lays 11 + 8 and leaves 1
    pieces = (Piece(11), Piece(8), Piece(6, 2), Piece(5), Piece(4))
    task = Task(pieces, (Bar(20, 100, "bar"),))
    assert cheapest(task) == 200
    plan = cut(task, Effort(0, 0))
    assert plan.bound_minor <= 200 <= plan.cost_minor


bars = st.lists(
    st.builds(Bar, st.integers(1000, 6000), st.integers(0, 5000), st.just("bar")),
    min_size=1, max_size=3, unique_by=lambda bar: bar.length_mm)


@st.composite
def house_tasks(draw: st.DrawFn) -> Task:
    offers = draw(bars)
    longest = max(bar.length_mm for bar in offers)
    pieces = draw(st.lists(st.builds(
        Piece, st.integers(50, longest), st.integers(0, 4), st.sampled_from(["a", "b", "c"])),
        max_size=6))
    return Task(tuple(pieces), tuple(offers), kerf_mm=draw(st.integers(0, 5)),
                offcuts=Offcuts(draw(st.sampled_from([0, 400]))))


@settings(deadline=None, max_examples=150)
@given(house_tasks())
def test_any_cut_is_sound_and_the_same_every_time(task: Task) -> None:
    plan = cut(task, QUICK)
    assert_sound(task, plan)
    assert plan == cut(task, QUICK)


@settings(deadline=None, max_examples=100)
@given(house_tasks(), st.randoms(use_true_random=False))
def test_the_order_in_which_pieces_are_told_changes_no_cost(task: Task, order: object) -> None:
    shuffled = list(task.pieces)
    order.shuffle(shuffled)  # type: ignore[attr-defined]
    other = Task(tuple(shuffled), task.bars, kerf_mm=task.kerf_mm, offcuts=task.offcuts)
    assert cut(task, QUICK).cost_minor == (
        cut(other, QUICK).cost_minor)


def test_a_piece_on_hand_is_used_before_a_bar_is_bought() -> None:
    task = Task((Piece(500, 1, "end"),), (Bar(3000, 1200, "bar"),),
                (OnHand(600, "rack 2", 100),), 3)
    plan = cut(task)
    assert [(bar.code, bar.bought) for bar in plan.bars] == [("rack 2", False)]
    assert (plan.spent_minor, plan.cost_minor) == (0, 100)


def test_an_offcut_worth_keeping_makes_the_longer_bar_the_cheaper() -> None:
    # 1.0 m from 2 m at 10.00, or from 3 m at 13.00 with 2 m kept at 4.00 a metre: 13 - 8 = 5.00,
    # and 2 m with 1 m kept: 10 - 4 = 6.00
    task = Task((Piece(1000, 1, "leg"),), (Bar(2000, 1000, "two"), Bar(3000, 1300, "three")),
                offcuts=Offcuts(500, 400))
    plan = cut(task)
    assert plan.bought() == {"three": 1}
    assert (plan.cost_minor, plan.kept_mm, plan.scrap_mm) == (500, 2000, 0)


def test_a_full_bar_needs_no_last_saw_cut() -> None:
    # two pieces of 998 and one cut of 4 fill 2 m
    assert len(cut(Task((Piece(998, 2),), (Bar(2000, 1, "b"),), kerf_mm=4)).bars) == 1
    assert len(cut(Task((Piece(999, 2),), (Bar(2000, 1, "b"),), kerf_mm=4)).bars) == 2


@pytest.mark.parametrize("wrong", [
    {"pieces": (Piece(0),)}, {"pieces": (Piece(3001),)}, {"kerf_mm": -1},
    {"bars": (Bar(3000, -1),)}, {"pieces": (Piece(1, -1),)},
    {"offcuts": Offcuts(100, 500)}, {"on_hand": (OnHand(10, "a", -1),)},
])
def test_what_cannot_be_cut_is_refused(wrong: dict[str, object]) -> None:
    right: dict[str, object] = {"pieces": (Piece(1000),), "bars": (Bar(3000, 1000),)}
    with pytest.raises(ValueError, match=r"length|below zero|longer|worth"):
        Task(**{**right, **wrong})  # type: ignore[arg-type]


def test_nothing_wanted_costs_nothing() -> None:
    assert cut(Task((), (Bar(3000, 1000),))).cost_minor == 0
