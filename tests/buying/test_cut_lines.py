"""Lines joined of pieces: where joints may be, and what the whole costs at the least."""

from __future__ import annotations

import random
from fractions import Fraction
from itertools import product

import pytest

from estimator.buying.cutting.lines import ALL_TRIED, LEAST, LinePlan, cut_lines
from estimator.buying.cutting.model import Bar, Piece, Task
from estimator.buying.cutting.splits import Line, in_order, lawful, splits
from tests.buying.cutting_oracle import cheapest


def fixings_at(line: Line, phase: int) -> list[int]:
    """Fixings as a roof may have them: the first at most an overhang in, then a step apart."""
    spots = list(range(phase, line.length_mm + 1, line.step_mm))
    if line.length_mm - spots[-1] > line.overhang_mm:  # one more, to keep the far overhang
        spots.append(line.length_mm - line.overhang_mm)
    return spots


def holds_wherever_the_rafters_lie(line: Line, pieces: tuple[int, ...]) -> bool:
    """Whether no joint is in an overhang and each piece has a fixing, for every first rafter."""
    for phase in range(0, line.overhang_mm + 1, 10):
        spots, at = fixings_at(line, phase), 0
        for n, piece in enumerate(pieces):
            if not any(at <= spot <= at + piece for spot in spots):
                return False
            at += piece
            if n < len(pieces) - 1 and not spots[0] <= at <= spots[-1]:
                return False
    return True


def random_lines(seed: int, count: int) -> list[tuple[list[Line], tuple[Bar, ...], int]]:
    draw = random.Random(seed)
    found = []
    for _ in range(count):
        overhang = draw.choice((200, 300, 400))
        step = draw.choice((450, 600, 900, 1200, 1350))
        lines = [Line(draw.randint(1100, 13000), 2 * draw.randint(1, 3), f"row {i}", overhang, step)
                 for i in range(draw.randint(1, 3))]
        bars = draw.choice(((Bar(3300, 1580, "33"),), (Bar(4400, 2160, "44"),),
                            (Bar(3300, 1580, "33"), Bar(4400, 2160, "44"))))
        found.append((lines, bars, draw.choice((0, 3, 5))))
    return found


def assert_joined(lines: list[Line], plan: LinePlan, kerf: int) -> None:
    lengths = sorted(line.length_mm for line in lines for _ in range(line.count))
    assert sorted(sum(each.pieces_mm) for each in plan.lines) == lengths
    assert plan.joiners == sum(len(each.pieces_mm) - 1 for each in plan.lines)
    cut_pieces = sorted(c.length_mm for bar in plan.cut.bars for c in bar.cuts)
    assert cut_pieces == sorted(n for each in plan.lines for n in each.pieces_mm)
    for bar in plan.cut.bars:
        assert sum(c.length_mm + kerf for c in bar.cuts) <= bar.length_mm + kerf


@pytest.mark.parametrize("seed", range(4))
def test_joints_of_a_thousand_random_roofs_hold_wherever_the_rafters_lie(seed: int) -> None:
    for lines, bars, kerf in random_lines(seed, 250):
        plan = cut_lines(lines, Task((), bars, kerf_mm=kerf), 310, tries=4)
        assert_joined(lines, plan, kerf)
        assert plan.gap_minor >= 0
        for each in plan.lines:
            line = next(x for x in lines if x.length_mm == sum(each.pieces_mm))
            assert holds_wherever_the_rafters_lie(line, each.pieces_mm), each


@pytest.mark.parametrize(("pieces", "good"), [
    ((3300, 3300, 504), True),    # the end is longer than the overhang, so a fixing holds it
    ((3300, 3504, 300), False),   # the joint may lie at the last fixing or beyond
    ((504, 3300, 3300), True),
    ((3300, 504, 3300), False),   # a middle piece shorter than the step may hang between fixings
    ((3300, 3300), False),        # too short in all
    ((7104,), True),
])
def test_a_split_is_lawful_only_if_it_is_wherever_the_fixings_fall(
    pieces: tuple[int, ...], good: bool
) -> None:
    line = Line(7104, 1, "row", 300, 1200)
    assert lawful(pieces, line) is good
    if sum(pieces) == line.length_mm:
        assert holds_wherever_the_rafters_lie(line, pieces) is (good or pieces[-1] == 300)


def test_the_shortest_piece_lies_last_and_the_next_shortest_first() -> None:
    assert in_order([504, 3300, 2000, 3300]) == (2000, 3300, 3300, 504)


def test_an_end_that_would_be_too_short_takes_from_the_piece_before_it() -> None:
    # 6.7 m of 3.3 m sticks leaves 0.1 m, less than the overhang of 0.3 m
    found = splits(Line(6700, 1, "row", 300, 1200), [3300])
    assert found
    assert all(min(split[0], split[-1]) > 300 for split in found)


def cheapest_lines(lines: list[Line], bars: tuple[Bar, ...], kerf: int, joiner: int) -> Fraction:
    """Return the least cost over all splits into whole bars and one cut piece, all cuts tried."""
    ways = []
    for line in lines:
        for _ in range(line.count):
            ways.append(splits(line, [bar.length_mm for bar in bars]))
    return min(
        cheapest(Task(tuple(Piece(n) for split in chosen for n in split), bars, kerf_mm=kerf))
        + joiner * sum(len(split) - 1 for split in chosen)
        for chosen in product(*ways))


def test_lines_cost_no_more_than_the_best_of_all_splits_and_all_cuts() -> None:
    draw = random.Random(11)
    for _ in range(150):
        bars = draw.choice(((Bar(33, 158, "33"),), (Bar(33, 158, "33"), Bar(44, 216, "44"))))
        lines = [Line(draw.randint(20, 70), 1, "a", 3, 9), Line(draw.randint(20, 70), 1, "b", 3, 9)]
        plan = cut_lines(lines, Task((), bars, kerf_mm=0), 31, tries=1_000)
        assert plan.method in (ALL_TRIED, LEAST)
        assert plan.bound_minor <= plan.cost_minor <= cheapest_lines(lines, bars, 0, 31)


def test_a_line_begun_with_what_the_last_one_left_may_save_a_stick() -> None:
    # 3 x 5.0 m: whole and end takes 3 + 3 sticks (two ends of 1.7 m do not fit on 3.3 m);
    # 15 m need at least 5 sticks of 3.3 m = 16.5 m
    plan = cut_lines([Line(5000, 3, "row", 300, 1200)], Task((), (Bar(3300, 1580, "s"),)), 310)
    assert plan.cut.bought() == {"s": 5}


def test_a_line_with_no_lawful_split_is_refused() -> None:
    with pytest.raises(ValueError, match="no lawful split"):
        cut_lines([Line(5000, 1, "row", 2600, 1200)], Task((), (Bar(3300, 1580),)), 310)


def test_no_line_needs_nothing() -> None:
    plan = cut_lines([], Task((), (Bar(3300, 1580),)), 310)
    assert (plan.cost_minor, plan.joiners, plan.lines) == (0, 0, ())
