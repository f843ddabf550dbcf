"""The mixed-integer library, for cuts that the search gives up.

It runs on one thread with a fixed seed and no gap allowed. Its floats choose patterns and nothing
else: costs are counted again in whole numbers, and its bound is lowered by more than its tolerance.
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from estimator.buying.cutting.bound import quick_bound
from estimator.buying.cutting.fit import cost_of
from estimator.buying.cutting.room import Pattern, Room

_SEED = 1
_DOUBT = 1e-5  # the library keeps its rows to about a millionth
_ROUNDS = 500
_FINE = 1_000  # prices of pieces are rounded down to this part of a thousandth of a minor unit


def highs(seconds: float) -> Any:
    """Return a solver that gives the same answer every run, and says nothing."""
    import highspy

    solver: Any = highspy.Highs()  # type: ignore[no-untyped-call]
    solver.silent()
    for option, value in (("threads", 1), ("random_seed", _SEED), ("mip_rel_gap", 0.0),
                          ("mip_abs_gap", 0.0), ("time_limit", max(seconds, 0.1))):
        solver.setOptionValue(option, value)
    return solver


def solved(
    room: Room, patterns: Sequence[Pattern], known: list[Pattern], seconds: float
) -> tuple[list[Pattern], Fraction]:
    """Return the cheapest cut over patterns, and a bound on all cuts over these patterns.

    Args:
        room: the task.
        patterns: what may be cut; the patterns of the known cut are added.
        known: a cut; it is returned where nothing cheaper is found.
        seconds: limit of time.

    Returns:
        the cut, and its least cost in thousandths of a minor unit.
    """
    columns = sorted({*patterns, *known})
    unit = max(1, *(pattern.cost for pattern in columns))
    solver = highs(seconds)
    amounts = [solver.addIntegral(0, sum(room.wanted), pattern.cost / unit) for pattern in columns]
    for i, count in enumerate(room.wanted):
        solver.addConstr(_sum(a * p.counts[i] for a, p in zip(amounts, columns, strict=True)
                              if p.counts[i]) >= count)
    _limit_supplies(solver, room, columns, amounts)
    solver.minimize()
    found = _read(solver, columns, amounts)
    if not _covers(room, found) or cost_of(found) >= cost_of(known):
        found = known
    return found, _bound(solver, unit)


def _sum(terms: Any) -> Any:
    """Add up expressions of the library; there is at least one."""
    first, *rest = terms
    total = first + 0
    for term in rest:
        total += term
    return total


def _limit_supplies(
    solver: Any, room: Room, columns: Sequence[Pattern], amounts: Sequence[Any]
) -> None:
    for kind, bar in enumerate(room.kinds):
        taken = [a for a, p in zip(amounts, columns, strict=True) if p.kind == kind]
        if bar.supply is not None and taken:
            solver.addConstr(_sum(a * 1 for a in taken) <= bar.supply)


def _read(solver: Any, columns: Sequence[Pattern], amounts: Sequence[Any]) -> list[Pattern]:
    """Return the bars of a solution; none if there is no solution."""
    import highspy

    if solver.getInfo().primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return []
    values = solver.getSolution().col_value
    return [pattern for pattern, amount in zip(columns, amounts, strict=True)
            for _ in range(round(values[amount.index]))]


def _covers(room: Room, patterns: Sequence[Pattern]) -> bool:
    """Return whether a cut holds all pieces and takes no more from the store than lies there."""
    held = [sum(p.counts[i] for p in patterns) for i in range(len(room.wanted))]
    taken = [sum(p.kind == k for p in patterns) for k in range(len(room.kinds))]
    return all(h >= n for h, n in zip(held, room.wanted, strict=True)) and all(
        supply is None or t <= supply for t, supply in zip(taken, room.supplies, strict=True))


def _bound(solver: Any, unit: int) -> Fraction:
    bound = solver.getInfo().mip_dual_bound
    if bound != bound or abs(bound) == float("inf"):  # no bound was reached
        return Fraction(0)
    return Fraction(bound - _DOUBT * max(1.0, abs(bound))) * unit


def generated(
    room: Room, known: list[Pattern], seconds: float
) -> tuple[list[Pattern], Fraction]:
    """Return patterns worth cutting and a proven bound on every cut.

    Patterns are added while one would save something at the present worth of the pieces. The
    bound is counted in whole numbers from the worth rounded down: what the pieces are worth, less
    what the best pattern is worth above its cost for as many bars as there can be.

    Args:
        room: the task.
        known: a cut to begin with.
        seconds: limit of time.
    """
    columns = list(dict.fromkeys([*known, *_own_bars(room)]))
    ends, best = time.monotonic() + seconds, quick_bound(room)
    for _ in range(_ROUNDS):
        prices, rents = _worths(room, columns, max(0.1, ends - time.monotonic()))
        fresh, over = [], 0
        for kind, bar in enumerate(room.kinds):
            worth, counts = _dearest(room, kind, prices)
            pattern = Pattern(kind, counts, room.cost(kind, room.used(counts)))
            excess = worth - _FINE * _cost_at_least(room, kind)
            if bar.supply is None:
                over = max(over, excess)
            else:  # a rent that makes its patterns worth no more than they cost
                rents[kind] = -max(0, excess)
            if excess > -(rents[kind] if bar.supply is not None else 0) - 1 and any(counts):
                fresh.append(pattern)
        worth = sum(p * n for p, n in zip(prices, room.wanted, strict=True))
        rent = sum(rents[k] * (bar.supply or 0) for k, bar in enumerate(room.kinds))
        best = max(best, Fraction(worth + rent - over * sum(room.wanted), _FINE))
        fresh = [pattern for pattern in fresh if pattern not in columns]
        if not fresh or time.monotonic() > ends:
            break
        columns += fresh
    return columns, best


def _own_bars(room: Room) -> list[Pattern]:
    """Return bars full of one length."""
    found = []
    for kind, bar in enumerate(room.kinds):
        for i, width in enumerate(room.widths):
            n = min(bar.room // width, room.wanted[i])
            counts = tuple(n if j == i else 0 for j in range(len(room.widths)))
            if n:
                found.append(Pattern(kind, counts, room.cost(kind, n * width)))
    return found


def _cost_at_least(room: Room, kind: int) -> int:
    """Return what a bar costs before its pieces; see `_dearest` for what offcuts are worth."""
    bar = room.kinds[kind]
    return bar.cost - (room.worth * bar.room if room.least is not None else 0)


def _worths(room: Room, columns: Sequence[Pattern], seconds: float) -> tuple[list[int], list[int]]:
    """Return the worth of a piece of each length over the patterns so far, rounded down."""
    solver = highs(seconds)
    unit = max(1, *(pattern.cost for pattern in columns))
    amounts = [solver.addVariable(0, obj=pattern.cost / unit) for pattern in columns]
    for i, count in enumerate(room.wanted):
        solver.addConstr(_sum(a * p.counts[i] for a, p in zip(amounts, columns, strict=True)
                              if p.counts[i]) >= count)
    _limit_supplies(solver, room, columns, amounts)
    solver.minimize()
    duals = solver.getSolution().row_dual[: len(room.wanted)]
    return [max(0, int(dual * unit * _FINE)) for dual in duals], [0] * len(room.kinds)


def _dearest(room: Room, kind: int, prices: Sequence[int]) -> tuple[int, tuple[int, ...]]:
    """Return the pattern of a kind that is worth most, by dynamic programming over the room.

    Where offcuts are worth something each piece counts less what its room would have been worth:
    no offcut is worth more than all the room left.
    """
    import numpy as np

    space = room.kinds[kind].room
    best = np.zeros(space + 1, dtype=np.int64)
    taken = []
    for i, width in enumerate(room.widths):
        gain = prices[i] - (_FINE * room.worth * width if room.least is not None else 0)
        most, times = min(room.wanted[i], space // width), 1
        while most > 0 and gain > 0:
            n = min(times, most)
            with_it = np.full(space + 1, -1, dtype=np.int64)
            with_it[n * width:] = best[: space + 1 - n * width] + n * gain
            better = with_it > best
            taken.append((i, n, n * width, better))
            best = np.where(better, with_it, best)
            most, times = most - n, times * 2
    counts, at = [0] * len(room.widths), space
    for i, n, width, better in reversed(taken):
        if better[at]:
            counts[i] += n
            at -= width
    return int(best[space]), tuple(counts)
