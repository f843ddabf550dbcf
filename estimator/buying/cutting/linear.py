"""The linear relaxation of a cut, solved exactly in whole numbers.

Patterns may be cut in fractions of a bar: the least cost of that is a bound that no cut beats
(P. C. Gilmore and R. E. Gomory, A linear programming approach to the cutting-stock problem,
Operations Research 9, 1961). The simplex method runs on integers: every number is kept times the
determinant of the basis, so that each division comes out even (fraction-free pivoting, E. H.
Bareiss, Mathematics of Computation 22, 1968; both from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from estimator.buying.cutting.room import Pattern, Room

_STALLS = 30  # pivots without progress before the rule that never circles takes over


@dataclass(frozen=True)
class Relaxed:
    """The solved relaxation.

    Attributes:
        scale: what `prices`, `rents` and `amounts` are times as large as.
        prices: worth of one piece of each length; no pattern is worth more than it costs.
        rents: for each kind of bar, what one more of it would save (0 or below).
        amounts: pattern -> how often it is cut.
    """

    scale: int
    prices: tuple[int, ...]
    rents: tuple[int, ...]
    amounts: dict[Pattern, int]

    def least(self, left: Sequence[int], supplies: Sequence[int | None]) -> Fraction:
        """Return what cutting the pieces left must cost at the least."""
        return Fraction(self.scaled(left, supplies), self.scale)

    def scaled(self, left: Sequence[int], supplies: Sequence[int | None]) -> int:
        """Return `least` times the scale."""
        worth = sum(p * n for p, n in zip(self.prices, left, strict=True))
        return worth + sum(r * (n or 0) for r, n in zip(self.rents, supplies, strict=True))


def relaxed(room: Room, patterns: Sequence[Pattern]) -> Relaxed:
    """Return the relaxation over all the patterns given.

    Args:
        room: the task; at least one piece is wanted.
        patterns: columns; that each length can be cut by itself is added.
    """
    hands = [i for i, kind in enumerate(room.kinds) if kind.supply is not None]
    tableau = _Tableau(room, hands, [*_singles(room), *patterns])
    stalled, value = 0, tableau.value()
    while (entering := tableau.entering(first=stalled > _STALLS)) is not None:
        tableau.pivot(entering)
        better = tableau.value()
        stalled, value = (0, better) if better < value else (stalled + 1, value)
    return tableau.solution()


def _singles(room: Room) -> list[Pattern]:
    """Return for each length the cheapest bar on offer with one piece on it."""
    found = []
    for i, width in enumerate(room.widths):
        counts = tuple(int(j == i) for j in range(len(room.widths)))
        found.append(min(
            (Pattern(k, counts, room.cost(k, width)) for k, kind in enumerate(room.kinds)
             if kind.supply is None and kind.room >= width),
            key=lambda pattern: (pattern.cost, pattern.kind),
        ))
    return found


class _Tableau:
    """Basis inverse, right-hand side and prices, all times `scale`.

    Columns are numbered: patterns, then one for pieces too many of each length, then one for bars
    on hand left over of each kind.
    """

    def __init__(self, room: Room, hands: list[int], patterns: list[Pattern]) -> None:
        self.room, self.hands, self.patterns = room, hands, patterns
        self.lengths = len(room.widths)
        size = self.lengths + len(hands)
        self.scale = 1
        self.inverse = [[int(i == j) for j in range(size)] for i in range(size)]
        self.amounts = [*room.wanted, *(room.kinds[i].supply or 0 for i in hands)]
        self.prices = [*(p.cost for p in patterns[: self.lengths]), *[0] * len(hands)]
        first_slack = len(patterns) + self.lengths
        self.basis = [*range(self.lengths), *range(first_slack, first_slack + len(hands))]
        self.rows = [self._row(pattern) for pattern in patterns]

    def _row(self, pattern: Pattern) -> list[tuple[int, int]]:
        """Return the entries of a pattern's column that are not zero."""
        row = [(i, n) for i, n in enumerate(pattern.counts) if n]
        if pattern.kind in self.hands:
            row.append((self.lengths + self.hands.index(pattern.kind), 1))
        return row

    def _column(self, column: int) -> tuple[list[tuple[int, int]], int]:
        """Return a column's entries and its cost."""
        if column < len(self.patterns):
            return self.rows[column], self.patterns[column].cost
        row = column - len(self.patterns)
        return [(row, -1 if row < self.lengths else 1)], 0

    def value(self) -> Fraction:
        """Return the cost of the present basis."""
        wanted = [*self.room.wanted, *(self.room.kinds[i].supply or 0 for i in self.hands)]
        return Fraction(sum(p * n for p, n in zip(self.prices, wanted, strict=True)), self.scale)

    def entering(self, first: bool) -> int | None:
        """Return the column that saves most a unit, or the first that saves; None = the best."""
        best, at = 0, None
        for column in range(len(self.patterns) + self.lengths + len(self.hands)):
            entries, cost = self._column(column)
            saves = sum(self.prices[i] * n for i, n in entries) - cost * self.scale
            if saves > best:
                best, at = saves, column
                if first:
                    return at
        return at

    def pivot(self, column: int) -> None:
        """Bring a column into the basis."""
        entries, cost = self._column(column)
        change = [sum(row[i] * n for i, n in entries) for row in self.inverse]
        row = min((i for i, c in enumerate(change) if c > 0),
                  key=lambda i: (Fraction(self.amounts[i], change[i]), self.basis[i]))
        by, scale = change[row], self.scale
        saves = cost * scale - sum(self.prices[i] * n for i, n in entries)
        pivot, amount = self.inverse[row], self.amounts[row]
        self.prices = [(p * by + saves * v) // scale
                       for p, v in zip(self.prices, pivot, strict=True)]
        for i, c in enumerate(change):
            if i != row:
                self.inverse[i] = [(v * by - c * w) // scale
                                   for v, w in zip(self.inverse[i], pivot, strict=True)]
                self.amounts[i] = (self.amounts[i] * by - c * amount) // scale
        self.scale, self.basis[row] = by, column

    def solution(self) -> Relaxed:
        """Return the present basis as a solution."""
        rents = [0] * len(self.room.kinds)
        for i, kind in enumerate(self.hands):
            rents[kind] = self.prices[self.lengths + i]
        cut = {self.patterns[column]: amount
               for column, amount in sorted(zip(self.basis, self.amounts, strict=True))
               if column < len(self.patterns) and amount}
        return Relaxed(self.scale, tuple(self.prices[: self.lengths]), tuple(rents), cut)
