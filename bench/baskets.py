"""Measures the split of a thousand random baskets over suppliers.

Fifty lines and four suppliers each, drawn as `tests/buying/drawn_baskets.py` says. Prints how many
were proven best, median and worst time and gap, and what they save against the best single supplier
and against the cheapest line by line. Leaves with status 1 if a basket is dearer than one of these.

    python -m bench.baskets [HOW MANY]
"""

from __future__ import annotations

import statistics
import sys
import time
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from estimator.buying.basket import Split, split_basket
from tests.buying.drawn_baskets import order_basket


def main() -> int:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000
    first = order_basket(0)
    split_basket(first.lines, first.terms, first.wanted)  # loads the solver
    splits: list[Split] = []
    wall_ms: list[float] = []
    busy_ms: list[float] = []
    for seed in range(count):
        drawn = order_basket(seed)
        began, used = time.perf_counter(), time.process_time()
        splits.append(split_basket(drawn.lines, drawn.terms, drawn.wanted))
        wall_ms.append((time.perf_counter() - began) * 1000)
        busy_ms.append((time.process_time() - used) * 1000)
    dearer = [
        seed for seed, split in enumerate(splits)
        if split.saved_on_greedy_minor < 0 or (split.saved_on_single_minor or 0) < 0]
    print(f"{count} baskets of 50 lines and 4 suppliers; dearer than a simple way: {len(dearer)}")
    print("  ended as:", dict(sorted(Counter(split.how for split in splits).items())))
    _times("time by the clock", wall_ms)
    _times("processor time", busy_ms)
    gaps = [100 * split.gap_minor / split.plan.total_minor for split in splits]
    print(f"  gap to the bound: median {statistics.median(gaps):.4f} %, worst {max(gaps):.4f} %")
    _saving("the cheapest line by line", [
        (split.saved_on_greedy_minor, split.plan.total_minor) for split in splits])
    _saving("the best single supplier, where one has all", [
        (split.saved_on_single_minor, split.plan.total_minor) for split in splits
        if split.saved_on_single_minor is not None])
    return 1 if dearer else 0


def _times(what: str, each_ms: list[float]) -> None:
    print(f"  {what}: median {statistics.median(each_ms):.0f} ms, worst {max(each_ms):.0f} ms")


def _saving(against: str, pairs: list[tuple[int, int]]) -> None:
    if pairs:
        shares = [100 * saved / (saved + cost) for saved, cost in pairs]
        print(f"  saved against {against} ({len(shares)}): median "
              f"{statistics.median(shares):.2f} %, most {max(shares):.2f} %")


if __name__ == "__main__":
    sys.exit(main())
