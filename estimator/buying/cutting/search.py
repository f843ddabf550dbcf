"""The search for a cut of least cost: bar by bar, longest piece left first.

A branch is left as soon as what it has cost and what the relaxation's prices say of the rest reach
the best cut known. Within its limit of steps the search is complete.
"""

from __future__ import annotations

from collections.abc import Sequence

from estimator.buying.cutting.bound import Sums
from estimator.buying.cutting.fit import cost_of, fitted
from estimator.buying.cutting.linear import Relaxed
from estimator.buying.cutting.patterns import patterns_with
from estimator.buying.cutting.room import Pattern, Room


class Search:
    """A search that keeps the best cut found; `complete` says that none is cheaper."""

    def __init__(
        self, room: Room, prices: Relaxed, sums: Sums, known: list[Pattern], steps: int
    ) -> None:
        """Prepare a search.

        Args:
            room: the task.
            prices: its relaxation.
            sums: the costs that a cut can have.
            known: a cut, to be beaten.
            steps: bars laid out before the search gives up.
        """
        self.best, self.best_cost = known, cost_of(known)
        self.complete = True
        self._room, self._prices, self._sums, self._steps = room, prices, sums, steps
        self._seen: dict[tuple[tuple[int, ...], tuple[int | None, ...]], int] = {}

    def run(
        self, left: Sequence[int], supplies: Sequence[int | None], done: list[Pattern]
    ) -> None:
        """Search for a cheaper cut that begins with the bars done and cuts what is left."""
        self._lay(tuple(left), tuple(supplies), list(done), cost_of(done))

    def _lay(
        self, left: tuple[int, ...], supplies: tuple[int | None, ...], done: list[Pattern],
        cost: int,
    ) -> None:
        first = next((i for i, n in enumerate(left) if n), None)
        if first is None:
            if cost < self.best_cost:
                self.best, self.best_cost = list(done), cost
            return
        if self._hopeless(left, supplies, cost):
            return
        self._steps -= 1
        if self._steps < 0:
            self.complete = False
            return
        for _, pattern in self._branches(left, supplies, first):
            rest = tuple(n - c for n, c in zip(left, pattern.counts, strict=True))
            done.append(pattern)
            self._lay(rest, _less(supplies, pattern.kind), done, cost + pattern.cost)
            done.pop()
            if self._steps < 0:
                return

    def _hopeless(
        self, left: tuple[int, ...], supplies: tuple[int | None, ...], cost: int
    ) -> bool:
        least = -(-self._prices.scaled(left, supplies) // self._prices.scale)
        if self._sums.up(cost + least) >= self.best_cost:
            return True
        key = (left, supplies)
        if self._seen.get(key, cost + 1) <= cost:
            return True
        self._seen[key] = cost
        return False

    def _branches(
        self, left: tuple[int, ...], supplies: tuple[int | None, ...], first: int
    ) -> list[tuple[int, Pattern]]:
        """Return the bars that may hold the longest piece left, the best value for money first."""
        found = []
        for kind, supply in enumerate(supplies):
            if supply == 0:
                continue
            for counts in patterns_with(self._room, kind, left, first):
                pattern = Pattern(kind, counts, self._room.cost(kind, self._room.used(counts)))
                worth = sum(p * n for p, n in zip(self._prices.prices, counts, strict=True))
                found.append((pattern.cost * self._prices.scale - worth, pattern))
        return sorted(found)


def _less(supplies: tuple[int | None, ...], kind: int) -> tuple[int | None, ...]:
    supply = supplies[kind]
    if supply is None:
        return supplies
    return (*supplies[:kind], supply - 1, *supplies[kind + 1:])


def rounded(
    room: Room, prices: Relaxed
) -> tuple[list[Pattern], tuple[int, ...], tuple[int | None, ...]]:
    """Return the whole bars of the relaxation, what is then left to cut, and the bars left.

    A bar is taken only where all its pieces are still wanted.
    """
    done: list[Pattern] = []
    left, supplies = room.wanted, room.supplies
    for pattern, amount in sorted(prices.amounts.items()):
        for _ in range(amount // prices.scale):
            rest = tuple(n - c for n, c in zip(left, pattern.counts, strict=True))
            if min(rest) < 0 or supplies[pattern.kind] == 0:
                break
            done.append(pattern)
            left, supplies = rest, _less(supplies, pattern.kind)
    return done, left, supplies


def completed(room: Room, done: list[Pattern], left: Sequence[int],
              supplies: Sequence[int | None]) -> list[Pattern]:
    """Return a cut that begins with the bars done and fits the rest quickly."""
    if not any(left):
        return done
    kinds = tuple(kind._replace(supply=supply)
                  for kind, supply in zip(room.kinds, supplies, strict=True))
    rest = Room(room.widths, tuple(left), kinds, room.kerf, room.least, room.worth)
    return [*done, *fitted(rest, left)]
