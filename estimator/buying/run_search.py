"""Which run comes from which length: branch and bound in whole numbers.

The search begins with each offer taken alone, the longest run first, each on the first length with
room; so the result is never dearer than one of those. It then places run after run, longest first,
on an open length or on a new one, the most promising place first, and leaves every branch that
cannot beat the best lay-out found. A branch costs at least what is opened so far and what packs
cost for the runs that the room left cannot hold, were they poured into it (`packs.cost_table`).
Within `NODES_MOST` branches and `RUNS_MOST` runs, which a house seldom reaches, the result is
proven the cheapest.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import lcm

from catalogue.items import Offer
from estimator.buying.packs import CostTable, cost_table, first_packs
from estimator.buying.purchase import Purchase, cut_to_measure

NODES_MOST = 5_000
RUNS_MOST = 100


@dataclass(frozen=True, slots=True)
class Layout:
    """For each opened length the position of its offer and of the runs taken from it.

    `proven`: no other lay-out is cheaper, or as cheap with less length bought.
    """

    lengths: tuple[tuple[int, tuple[int, ...]], ...]
    proven: bool


@dataclass(frozen=True, slots=True)
class _Row:
    """An offer in whole numbers: length of a pack, packs at least, price of one, cut charge."""

    pack: int
    cut: bool
    first: int
    price: int
    charge: int


@dataclass(slots=True, eq=False)
class _Open:
    """A length in use: `used` of it is taken, by the runs at these positions."""

    row: int
    used: int
    runs: list[int]


_Rank = tuple[int, int]


def best_layout(runs: Sequence[Decimal], offers: Sequence[Offer], poured: Purchase) -> Layout:
    """Return the cheapest lay-out found.

    Args:
        runs: longest first, none longer than what is on offer.
        offers: in the order that decides between equals.
        poured: the cheapest packs for the total.
    """
    return _Search(runs, offers, poured).result()


class _Search:
    """The state of one search; lengths are in `1 / parts` of the unit, money in 1 / whole."""

    def __init__(
        self, runs: Sequence[Decimal], offers: Sequence[Offer], poured: Purchase
    ) -> None:
        exact = [*map(Fraction, runs), *(Fraction(offer.pack) for offer in offers)]
        parts = lcm(*(each.denominator for each in exact))
        self.runs = [int(Fraction(run) * parts) for run in runs]
        self.total = sum(self.runs)
        self.offers, self.most = offers, 2 * sum(runs, Decimal(0))
        self.tables: dict[frozenset[int], CostTable] = {}
        whole = self._table(frozenset()).whole
        self.unit = int(self._table(frozenset()).unit * parts)
        self.rows = [
            _Row(int(Fraction(offer.pack) * parts), cut_to_measure(offer), first_packs(offer),
                 int(offer.exact_cost_minor(1) * whole),
                 0 if offer.cut_charge is None else offer.cut_charge.minor * whole)
            for offer in offers
        ]
        self.goal = int(poured.exact_cost_minor * whole), int(poured.bought * parts)
        self.best: tuple[_Rank, Layout] | None = None
        self.nodes = 0
        self.seen: set[tuple[int, tuple[tuple[int, int], ...]]] = set()

    def result(self) -> Layout:
        for row in range(len(self.rows)):
            self._alone(row)
        proven = len(self.runs) <= RUNS_MOST and self._place(0, [])
        if self.best is None:
            raise ValueError("a run is longer than every length on offer")
        return Layout(self.best[1].lengths, proven)

    def _table(self, opened: frozenset[int]) -> CostTable:
        if opened not in self.tables:
            self.tables[opened] = cost_table(self.most, self.offers, opened)
        return self.tables[opened]

    def _has_room(self, spot: _Open, run: int) -> bool:
        row = self.rows[spot.row]
        return row.cut or spot.used + run <= row.pack

    def _alone(self, row: int) -> None:
        """Lay all runs on lengths of one offer, if they fit."""
        opened: list[_Open] = []
        for at, run in enumerate(self.runs):
            spot = next((each for each in opened if self._has_room(each, run)), None)
            if spot is None:
                spot = _Open(row, 0, [])
                opened.append(spot)
            if not self._has_room(spot, run):
                return
            self._take(spot, at)
        self._keep(opened)

    def _rank(self, opened: Sequence[_Open]) -> _Rank:
        """Return cost and length of what is opened, least quantities included."""
        drums, taken = [0] * len(self.rows), [0] * len(self.rows)
        for each in opened:
            drums[each.row] += 1
            taken[each.row] += each.used
        cost = length = 0
        for at, row in enumerate(self.rows):
            if drums[at]:
                packs = max(row.first, -(-taken[at] // row.pack) if row.cut else drums[at])
                cost += packs * row.price + row.charge
                length += packs * row.pack
        return cost, length

    def _bound(self, opened: Sequence[_Open]) -> _Rank:
        """Return cost and length below which no way to place the other runs can come.

        Whatever is bought already may hold the rest, were it poured; but room for no run is lost.
        """
        cost, length = self._rank(opened)
        rooms = (self.rows[each.row].pack - each.used
                 for each in opened if not self.rows[each.row].cut)
        lost = sum(room for room in rooms if room < self.runs[-1])
        short = max(0, self.total + lost - length)
        table = self._table(frozenset(each.row for each in opened))
        return cost + table.costs[-(-short // self.unit)], length + short

    def _keep(self, opened: Sequence[_Open]) -> None:
        """Keep a complete lay-out if it is the best yet."""
        rank = self._rank(opened)
        if self.best is None or rank < self.best[0]:
            laid = tuple((each.row, tuple(each.runs)) for each in opened)
            self.best = rank, Layout(laid, proven=False)

    def _place(self, at: int, opened: list[_Open]) -> bool:
        """Place the runs from `at` on in every promising way; False if the limit stopped it."""
        if at == len(self.runs):
            self._keep(opened)
            return True
        complete = True
        for bound, _, spot in sorted(self._promising(at, opened), key=lambda each: each[:2]):
            if self.best is not None and bound >= self.best[0]:
                break
            self.nodes += 1
            if self.nodes > NODES_MOST:
                return False
            self._take(spot, at)
            complete = self._place(at + 1, _with(opened, spot)) and complete
            self._give_back(spot, at)
        return complete or (self.best is not None and self.best[0] == self.goal)

    def _promising(self, at: int, opened: list[_Open]) -> Iterator[tuple[_Rank, int, _Open]]:
        """Yield bound, order and place of every way to place a run that may beat the best."""
        for order, spot in enumerate(self._spots(self.runs[at], opened)):
            self._take(spot, at)
            laid = _with(opened, spot)
            # Lengths alike in offer and use are alike for all that follows, whatever lies in them.
            state = at, tuple(sorted((each.row, each.used) for each in laid))
            if state not in self.seen:
                self.seen.add(state)
                bound = self._bound(laid)
                if self.best is None or bound < self.best[0]:
                    yield bound, order, spot
            self._give_back(spot, at)

    def _spots(self, run: int, opened: Sequence[_Open]) -> Iterator[_Open]:
        """Yield where a run may go: open lengths, fullest first, then a new one of each offer."""
        for each in sorted(opened, key=lambda spot: (spot.row, -spot.used)):
            if self._has_room(each, run):
                yield each
        in_use = {each.row for each in opened}
        for at, row in enumerate(self.rows):
            if run <= row.pack if not row.cut else at not in in_use:
                yield _Open(at, 0, [])

    def _take(self, spot: _Open, at: int) -> None:
        spot.used += self.runs[at]
        spot.runs.append(at)

    def _give_back(self, spot: _Open, at: int) -> None:
        spot.used -= self.runs[at]
        spot.runs.pop()


def _with(opened: list[_Open], spot: _Open) -> list[_Open]:
    return opened if any(each is spot for each in opened) else [*opened, spot]
