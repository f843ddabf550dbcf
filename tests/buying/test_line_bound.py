"""The least number of pieces that lines need, held against every way to give them long pieces."""

from __future__ import annotations

import random

import pytest

from estimator.buying.cutting.line_bound import fewest_pieces
from estimator.buying.cutting.splits import Line, fewest

LONGEST, SECOND = 4400, 3300


def every_way(lines: list[Line], long_pieces: int) -> int:
    """Return the fewest pieces with so many at most of the longest, by trying every number."""
    alone = [line.length_mm for line in lines for _ in range(line.count)]
    best: dict[int, int] = {0: 0}  # long pieces used -> pieces in all
    for length in alone:
        now: dict[int, int] = {}
        for used, pieces in best.items():
            for n in range(fewest(Line(length), LONGEST) + 1):
                if used + n > long_pieces:
                    break
                rest = max(0, length - n * LONGEST)
                total = pieces + n + -(-rest // SECOND)
                now[used + n] = min(now.get(used + n, total), total)
        best = now
    return min(best.values())


@pytest.mark.parametrize("seed", range(200))
def test_no_cut_has_fewer_pieces_than_the_bound_says(seed: int) -> None:
    source = random.Random(seed)
    lines = [Line(source.randint(500, 40_000), source.randint(1, 6))
             for _ in range(source.randint(1, 4))]
    told = fewest_pieces(lines, LONGEST, SECOND)
    for n, pieces in enumerate(told):
        assert pieces <= every_way(lines, n), (lines, n)


def test_thirds_that_add_up_to_a_whole_save_a_whole_piece() -> None:
    # By hand: 12.9 m takes four pieces of 3.3 m and three of 4.4 m, so three long ones save one
    # piece, a third each. Three thirds of a line, on each of four lines, save exactly four.
    told = fewest_pieces([Line(12_900, 4)], LONGEST, SECOND)
    assert (told[0], told[12]) == (16, 12)
