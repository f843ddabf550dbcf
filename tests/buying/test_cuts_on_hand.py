"""Cuts with pieces on hand against trying every way; worked sums by hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction as F
from math import ceil

import pytest

from estimator.buying.cutting.model import Bar, Offcuts, OnHand, Piece, Task
from estimator.buying.cutting.on_hand import (
    Balance,
    HandPiece,
    Worth,
    relay,
    used_marks,
    worth_of,
)
from tests.buying.cutting_oracle import cheapest, tasks


def test_no_way_of_cutting_with_pieces_on_hand_is_cheaper_on_five_hundred_small_jobs() -> None:
    """The oracle tries every bar and piece on hand for every cut; it knows nothing of `relay`."""
    helped = 0
    for task in tasks(20261128, 900, 4):
        if not task.on_hand:
            continue
        least = min(F(bar.price_minor * 1000, bar.length_mm) for bar in task.bars)
        worth = Worth(8, int(least / 2))
        hand = [HandPiece(each.mark, each.length_mm) for each in task.on_hand]
        priced = tuple(OnHand(each.length_mm, each.mark,
                              ceil(F(worth.per_m_minor * each.length_mm, 1000))) for each in hand)
        judged = replace(task, on_hand=priced, offcuts=Offcuts(8, worth.per_m_minor))
        new_bars_alone = cheapest(replace(judged, on_hand=()))
        found = relay(task.pieces, task.bars, hand, task.kerf_mm, worth,
                      Balance(new_bars_alone, F(0), F(0)))
        assert found.now.net == min(new_bars_alone, cheapest(judged))
        assert found.saved_minor >= 0
        assert (found.plan is not None) == (found.saved_minor > 0)
        if found.plan is not None:
            helped += 1
            cut = sorted(each.length_mm for bar in found.plan.bars for each in bar.cuts)
            assert cut == sorted(piece.length_mm for piece in task.pieces)
            marks = used_marks(found.plan.bars)
            assert len(set(marks)) == len(marks)
    assert helped > 100


def test_an_end_serves_in_the_place_of_a_new_bar_and_counts_for_what_it_is_worth() -> None:
    # 1.725 m of a new bar of 3 m at 4.20 leaves 3000 - 1725 - 3 = 1272 mm, worth 0.70 a metre:
    # 420 - 89.04 = 330.96. From an end of 2 m: 140, and 272 mm are scrap. Saved 190.96 pence.
    bars = [Bar(3000, 420, "T")]
    worth = worth_of(bars, 500, F(1, 2))
    assert worth == Worth(500, 70)
    before = Balance(F(420), F(0), worth.of_offcut(1272))
    found = relay([Piece(1725, 1, "a")], bars, [HandPiece("end", 2000)], 3, worth, before)
    assert (found.now, found.saved_minor) == (Balance(F(0), F(140), F(0)), F("190.96"))
    assert found.plan is not None
    assert found.plan.bars[0].code == "end"


def test_an_end_is_left_where_a_new_bar_costs_less_in_all() -> None:
    # The same end for 0.4 m: 140 against 420 - 0.70 x 2.597 = 238.21; but one that must be cut
    # anyway gives 0.4 m for nothing: 1.725 + 0.4 of a new bar, and the end stays whole.
    bars, worth = [Bar(3000, 420, "T")], Worth(500, 70)
    pieces = [Piece(1725, 1, "a"), Piece(400, 1, "b")]
    before = Balance(F(420), F(0), worth.of_offcut(3000 - 1725 - 3 - 400 - 3))
    # 420 - 0.70 x 0.869 = 359.17; with an end of 2.9 m instead: 203 - 0.70 x 0.769 = 149.17
    short = relay(pieces, bars, [HandPiece("end", 1000)], 3, worth, before)
    assert (short.plan, short.saved_minor) == (None, 0)
    long = relay(pieces, bars, [HandPiece("end", 2900)], 3, worth, before)
    assert long.now.net == F("149.17")


def test_scrap_is_worth_nothing_and_a_share_is_from_none_to_all() -> None:
    worth = worth_of([Bar(3000, 420), Bar(2000, 240)], 500, F(1, 2))  # 1.20 a metre is cheapest
    assert worth.per_m_minor == 60
    assert (worth.of_offcut(499), worth.of_offcut(500), worth.of_piece(499)) == (0, 30, 30)
    with pytest.raises(ValueError, match="from 0 to 1"):
        worth_of([Bar(3000, 420)], 500, F(3, 2))


def test_the_order_in_which_pieces_are_named_changes_nothing() -> None:
    task = Task((Piece(900, 3),), (Bar(3000, 420, "T"),))
    hand = [HandPiece("x", 1000), HandPiece("y", 1900), HandPiece("z", 950)]
    before = Balance(F(420), F(0), F(0))
    ways = [relay(task.pieces, task.bars, each, 3, Worth(500, 70), before)
            for each in (hand, hand[::-1])]
    assert ways[0] == ways[1]
