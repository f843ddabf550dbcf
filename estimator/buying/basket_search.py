"""The best basket by exact search, for the small ones: a quote loads no solver for its sake.

Branch and bound, one line after another, those that leave no choice first. A part of a basket is
given up as soon as it cannot beat the best known: goods taken so far, the cheapest goods for each
line that is left, and for each supplier with an order the extras at the most that could still be
ordered there. The extras of an order never rise with its value of goods and never fall with a class
more, so that this is a true bound.

The steps are counted, not timed, so that the same basket ends in the same way on any machine.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from estimator.buying.basket_cost import Plan, extras_of, plan_of
from estimator.buying.basket_values import NO_CLASSES, NO_TERMS, BasketLine, Terms, Wanted

STEPS = 3_000


@dataclass(frozen=True, slots=True)
class Searched:
    """The best plan found, and whether the search went to its end, which proves it."""

    plan: Plan
    complete: bool


@dataclass(frozen=True, slots=True)
class _Way:
    """A choice as the search reads it."""

    pick: int
    supplier: int
    goods: int
    late: int
    classes: frozenset[str]


@dataclass(slots=True)
class _Opened:
    """An order under way."""

    goods: int
    classes: frozenset[str]


def search(
    lines: Sequence[BasketLine], terms: Mapping[str, Terms], wanted: Wanted, start: Plan,
    steps: int = STEPS,
) -> Searched:
    """Return the best plan by `Plan.rank`, starting from a plan that is known.

    Args:
        lines: each with at least one choice, all of which may be taken.
        steps: the most parts of a basket that are looked at.
    """
    found = _Search(lines, terms, wanted, start, steps)
    found.descend(0, 0, 0)
    return Searched(found.best, found.steps_left >= 0)


def least_cost(lines: Sequence[BasketLine], terms: Mapping[str, Terms], wanted: Wanted) -> int:
    """Return a cost in minor units that no plan can beat: the bound before anything is chosen.

    Cheapest goods for each line; the least lateness of each line; the extras of those suppliers
    whom a line without a choice forces, at the most that could be ordered there.
    """
    suppliers = sorted({choice.supplier for line in lines for choice in line.choices})
    most = dict.fromkeys(suppliers, 0)
    forced: dict[str, frozenset[str]] = {}
    late = 0
    for line in lines:
        sellers = {choice.supplier for choice in line.choices}
        for seller in sellers:
            most[seller] += max(c.goods_minor for c in line.choices if c.supplier == seller)
        if len(sellers) == 1:
            common = frozenset.intersection(*(choice.classes for choice in line.choices))
            forced[line.choices[0].supplier] = forced.get(
                line.choices[0].supplier, NO_CLASSES) | common
        late = max(late, min(wanted.days_late(choice) for choice in line.choices))
    share = Fraction(wanted.surplus_share)
    return (
        sum(line.choices[0].goods_minor for line in lines)
        + late * (wanted.late_per_day_minor or 0)
        + sum(extras_of(terms.get(each, NO_TERMS), most[each], classes, share).cost_minor
              for each, classes in forced.items())
    )


class _Search:
    """The state of one search; `descend` walks it and takes back what it did."""

    def __init__(
        self, lines: Sequence[BasketLine], terms: Mapping[str, Terms], wanted: Wanted,
        start: Plan, steps: int,
    ) -> None:
        self.lines, self.terms, self.wanted = lines, terms, wanted
        self.best, self.steps_left = start, steps
        self.share = Fraction(wanted.surplus_share)
        self.per_day = wanted.late_per_day_minor or 0
        names = sorted({choice.supplier for line in lines for choice in line.choices})
        self.asked = [terms.get(name, NO_TERMS) for name in names]
        self.order = sorted(range(len(lines)), key=lambda at: (_spread(lines[at]), at))
        self.ways = [_ways(lines[at], names, wanted) for at in self.order]
        self.rest, self.room = _suffixes(self.ways, len(names))
        self.open: dict[int, _Opened] = {}
        self.picks = [0] * len(lines)
        self.known: dict[tuple[int, int, frozenset[str]], int] = {}

    def descend(self, depth: int, goods: int, late: int) -> None:
        self.steps_left -= 1
        if self.steps_left < 0:
            return
        bound = goods + self.rest[depth] + late * self.per_day + self._extras(depth)
        if (bound, len(self.open)) > self.best.rank[:2]:
            return
        if depth == len(self.lines):
            made = plan_of(self.lines, self.picks, self.terms, self.wanted)
            self.best = min(self.best, made, key=lambda plan: plan.rank)
            return
        for way in self.ways[depth]:
            before = self.open.get(way.supplier)
            self.open[way.supplier] = _Opened(
                way.goods + (before.goods if before else 0),
                way.classes | (before.classes if before else NO_CLASSES))
            self.picks[self.order[depth]] = way.pick
            self.descend(depth + 1, goods + way.goods, max(late, way.late))
            if before:
                self.open[way.supplier] = before
            else:
                del self.open[way.supplier]

    def _extras(self, depth: int) -> int:
        """Return the least that carriage and surplus of the orders under way can come to."""
        least = 0
        for supplier, opened in self.open.items():
            key = supplier, opened.goods + self.room[depth][supplier], opened.classes
            if key not in self.known:
                self.known[key] = extras_of(
                    self.asked[supplier], key[1], opened.classes, self.share).cost_minor
            least += self.known[key]
        return least


def _spread(line: BasketLine) -> tuple[int, int]:
    """Return what puts lines without a choice first, then those where the choice weighs most."""
    if len(line.choices) == 1:
        return 0, -line.choices[0].goods_minor
    return 1, line.choices[0].goods_minor - line.choices[1].goods_minor


def _ways(line: BasketLine, names: Sequence[str], wanted: Wanted) -> tuple[_Way, ...]:
    return tuple(
        _Way(pick, names.index(choice.supplier), choice.goods_minor, wanted.days_late(choice),
             choice.classes)
        for pick, choice in enumerate(line.choices)
    )


def _suffixes(
    ways: Sequence[tuple[_Way, ...]], suppliers: int
) -> tuple[list[int], list[list[int]]]:
    """Return from each depth on the cheapest goods left, and the most left for each supplier."""
    rest, room = [0], [[0] * suppliers]
    for line in reversed(ways):
        rest.append(rest[-1] + line[0].goods)
        most = [0] * suppliers
        for way in line:
            most[way.supplier] = max(most[way.supplier], way.goods)
        room.append([a + b for a, b in zip(room[-1], most, strict=True)])
    return rest[::-1], room[::-1]
