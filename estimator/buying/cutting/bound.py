"""What a cut must cost at the least: bounds that hold whatever the cut."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from fractions import Fraction
from math import gcd

from estimator.buying.cutting.room import Kind, Room

_MOST_SUMS = 20_000
_NEVER = 1 << 62  # what no cut costs: for bars that are too few


def quick_bound(room: Room) -> Fraction:
    """Return a least cost without a search: by length alone, and by bars that cannot be shared.

    Zero where kept offcuts have a value, which the relaxation alone can count.
    """
    if room.least is not None:
        return Fraction(0)
    by_length = Fraction(cost_of_length(room.kinds, room.used(room.wanted)))
    if len(room.kinds) == 1:
        return max(by_length, Fraction(bars_at_least(room) * room.kinds[0].cost))
    return by_length


def cost_of_length(kinds: Sequence[Kind], need: int) -> int | Fraction:
    """Return the least cost of bars whose room adds up to what is needed, however it is cut.

    Whole bars where there are few ways to mix them, else bought by the millimetre.
    """
    ranked = sorted(kinds, key=lambda k: Fraction(k.cost, k.room))
    ways = 1
    for kind in ranked[1:]:
        times = -(-need // kind.room)
        ways *= 1 + (times if kind.supply is None else min(times, kind.supply))
    if ways > _MOST_SUMS:
        return _by_length(ranked, need)
    return _whole_bars(ranked, need)


def _whole_bars(ranked: Sequence[Kind], need: int) -> int:
    """Return the least cost of whole bars, the dearest kind by length tried in every number."""
    *others, kind = ranked
    most = -(-max(0, need) // kind.room)
    if not others and kind.supply is None:
        return most * kind.cost
    most = most if kind.supply is None else min(most, kind.supply)
    if not others:
        return most * kind.cost if most * kind.room >= need else _NEVER
    return min(n * kind.cost + _whole_bars(others, need - n * kind.room)
               for n in range(most + 1))


def _by_length(ranked: Sequence[Kind], need: int) -> Fraction:
    """Return the cost of the length needed, bought by the millimetre where it is cheapest."""
    cost = Fraction(0)
    for kind in ranked:
        taken = need if kind.supply is None else min(need, kind.room * kind.supply)
        cost += Fraction(taken * kind.cost, kind.room)
        need -= taken
    return cost


def bars_at_least(room: Room) -> int:
    """Return the least number of bars of one kind: bound L2.

    Pieces above half a bar need a bar each; what those leave holds only so much of the middling
    ones (S. Martello and P. Toth, Knapsack Problems, 1990, section 8.3.2; from memory).
    """
    full = room.kinds[0].room
    pieces = list(zip(room.widths, room.wanted, strict=True))
    limits = [0, *(width for width in room.widths if 2 * width <= full)]
    return max(_bars_above(pieces, full, limit) for limit in limits)


def _bars_above(pieces: Sequence[tuple[int, int]], full: int, limit: int) -> int:
    """Return the bars that pieces of at least `limit` need, those above full - limit alone."""
    alone = sum(n for width, n in pieces if width > full - limit)
    large = [(w, n) for w, n in pieces if 2 * w > full and w <= full - limit]
    small = sum(w * n for w, n in pieces if limit <= w and 2 * w <= full)
    held = sum(n for _, n in large)
    free = held * full - sum(w * n for w, n in large)
    return alone + held + max(0, -(-(small - free) // full))


class Sums:
    """The costs that bars can add up to, for raising a bound to the next of them.

    Where they are too many, multiples of what divides all costs stand for them.
    """

    def __init__(self, room: Room, most: int) -> None:
        """Prepare for the costs of a task up to a known cut's, in thousandths of a minor unit."""
        self._step = max(1, gcd(room.worth, *(kind.cost for kind in room.kinds)))
        self._sums: list[int] | None = None
        if room.least is None:
            self._sums = _all_sums(room, most)

    def up(self, cost: Fraction | int) -> int:
        """Return the least sum that is no less than a cost."""
        whole = -int(-cost // 1)
        if self._sums is not None:
            at = bisect_left(self._sums, whole)
            return self._sums[at] if at < len(self._sums) else whole
        return -(-whole // self._step) * self._step


def _all_sums(room: Room, most: int) -> list[int] | None:
    sums = {0}
    for kind in room.kinds:
        if not kind.cost:
            continue
        times = most // kind.cost if kind.supply is None else kind.supply
        if len(sums) * (times + 1) > _MOST_SUMS:
            return None
        sums = {s + n * kind.cost for s in sums for n in range(times + 1)
                if s + n * kind.cost <= most}
    return sorted(sums)
