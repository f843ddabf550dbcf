"""Holds the program's cuts against the plain rule of the textbooks and against the raw solver.

Bars: first fit, longest piece first, over the program's. Time: the program's search in plain Python
over the solver's on the very same patterns, its import left out, medians of one run. Leaves with
status 1 if a published optimum is missed or a ratio is above its limit.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from estimator.buying.cutting.cut import Effort, cut
from estimator.buying.cutting.fit import first_fit_bars, fitted
from estimator.buying.cutting.model import Bar, Piece, Task
from estimator.buying.cutting.patterns import patterns_of
from estimator.buying.cutting.room import room_of
from estimator.buying.cutting.solver import solved

ROUNDS = 7
MOST = 5.0  # as long as the solver; it is usually quicker
# Published instances, their sources in tests/published/test_cutting.py.
ROLLS = {1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20, 2000: 10, 2050: 12,
         2100: 14, 2140: 16, 2150: 18, 2200: 20}
CASES = (("paper rolls", ROLLS, 5600, 73),
         ("raws", {45: 97, 36: 610, 31: 395, 14: 211}, 100, 453))


def seconds(work: Callable[[], object]) -> float:
    """Return the processor time of the median round."""
    spent = []
    for _ in range(ROUNDS):
        start = time.process_time()
        work()
        spent.append(time.process_time() - start)
    return statistics.median(spent)


def main() -> int:
    """Race all cases and say how they went."""
    failed = False
    for name, pieces, length, optimum in CASES:
        task = Task(tuple(Piece(mm, n) for mm, n in pieces.items()), (Bar(length, 100, "bar"),))
        room = room_of(task)
        patterns = patterns_of(room, 2_000) or []
        known = fitted(room, room.wanted)
        solved(room, patterns, known, 10)  # loads the library
        bars = len(cut(task, Effort(seconds=0)).bars)
        ratio = seconds(lambda t=task: cut(t, Effort(seconds=0))) / seconds(
            lambda r=room, p=patterns, k=known: solved(r, p, k, 10))
        first = first_fit_bars(room)
        print(f"{name}: {bars} bars (optimum {optimum}), first fit {first}, "
              f"{first / bars:.3f} times as many; time {ratio:.2f} of the solver's, most {MOST}")
        failed = failed or bars != optimum or ratio > MOST
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
