"""The true cost of a basket once each line has its supplier, in whole minor units.

For each supplier with an order:

    V   value of goods: the prices of the packs that the lines need
    T   goods bought beyond the need, so that V + T reaches the least order; or, where that is
        cheaper still, a value from which carriage is free
    carriage = charge of the order + charge of each class in it, each zero from its own value
        of V + T on
    surplus = the share of T that counts as cost, raised to a whole minor unit

    T is the one that makes surplus + carriage least; the smaller T where two are equal.

For the job: lateness = days that the last goods come after the day needed, times the cost of a
day. The job waits for its last goods, so two late orders cost no more than the later one.

    total = sum over the orders of (V + surplus + carriage) + lateness

Values are net of tax and compared as they are; the one rounding is that of the surplus.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from estimator.buying.basket_values import NO_TERMS, BasketLine, Choice, Terms, Wanted


@dataclass(frozen=True, slots=True)
class Extras:
    """What comes on top of the goods of an order: carriage, and goods beyond the need.

    `surplus_minor` is the value of these goods, `surplus_cost_minor` what of it counts as cost.
    """

    carriage_minor: int = 0
    surplus_minor: int = 0
    surplus_cost_minor: int = 0

    @property
    def cost_minor(self) -> int:
        """Return what the extras cost."""
        return self.carriage_minor + self.surplus_cost_minor


@dataclass(frozen=True, slots=True)
class Order:
    """What one supplier is to bring: lines by key with the choice taken, and the parts of cost."""

    supplier: str
    lines: tuple[tuple[str, Choice], ...]
    goods_minor: int
    extras: Extras
    lead_days: int
    days_late: int

    @property
    def cost_minor(self) -> int:
        """Return goods, carriage and the surplus that counts; lateness is the job's."""
        return self.goods_minor + self.extras.cost_minor


@dataclass(frozen=True, slots=True)
class Plan:
    """Which supplier brings which line, and what all of it costs.

    Attributes:
        orders: by supplier's name.
        picks: for each line of the basket, in its order, the place of the choice taken.
    """

    orders: tuple[Order, ...]
    picks: tuple[int, ...]
    days_late: int
    lateness_minor: int

    @property
    def total_minor(self) -> int:
        """Return the cost of all orders and of the lateness."""
        return sum(order.cost_minor for order in self.orders) + self.lateness_minor

    @property
    def suppliers(self) -> tuple[str, ...]:
        """Return the suppliers with an order, by name."""
        return tuple(order.supplier for order in self.orders)

    @property
    def rank(self) -> tuple[int, int, tuple[str, ...], tuple[int, ...]]:
        """Return what orders plans: cheapest, fewest orders, names, cheapest goods first."""
        return self.total_minor, len(self.orders), self.suppliers, self.picks


def surplus_cost(surplus_minor: int, share: Fraction) -> int:
    """Return the share of a surplus that counts as cost, raised to a whole minor unit."""
    return -int(-share * surplus_minor // 1)


def extras_of(terms: Terms, goods_minor: int, classes: frozenset[str], share: Fraction) -> Extras:
    """Return the cheapest extras of an order; see the head of this module.

    Between two thresholds more surplus costs more and saves nothing, so that the least order and
    the values from which a charge falls away are all there is to try.
    """
    charges = [terms.order, *(
        terms.classes[each] for each in sorted(classes) if each in terms.classes)]
    least = max(goods_minor, terms.least_minor)
    reached = sorted({least, *(
        charge.free_from_minor for charge in charges
        if charge.minor and charge.free_from_minor is not None and charge.free_from_minor > least
    )})
    tried = (
        Extras(sum(charge.at(value) for charge in charges), value - goods_minor,
               surplus_cost(value - goods_minor, share))
        for value in reached
    )
    return min(tried, key=lambda extras: (extras.cost_minor, extras.surplus_minor))


def plan_of(
    lines: Sequence[BasketLine], picks: Sequence[int], terms: Mapping[str, Terms], wanted: Wanted
) -> Plan:
    """Return the plan in which each line is bought by the choice at its place.

    Args:
        picks: for each line the place of a choice in `BasketLine.choices`.
    """
    taken: dict[str, list[tuple[str, Choice]]] = {}
    for line, pick in zip(lines, picks, strict=True):
        choice = line.choices[pick]
        taken.setdefault(choice.supplier, []).append((line.key, choice))
    orders = tuple(
        _order(supplier, each, terms.get(supplier, NO_TERMS), wanted)
        for supplier, each in sorted(taken.items())
    )
    late = max((order.days_late for order in orders), default=0)
    return Plan(orders, tuple(picks), late, late * (wanted.late_per_day_minor or 0))


def _order(
    supplier: str, lines: list[tuple[str, Choice]], terms: Terms, wanted: Wanted
) -> Order:
    goods = sum(choice.goods_minor for _, choice in lines)
    classes = frozenset().union(*(choice.classes for _, choice in lines))
    return Order(
        supplier, tuple(lines), goods,
        extras_of(terms, goods, classes, Fraction(wanted.surplus_share)),
        lead_days=max(choice.lead_days for _, choice in lines),
        days_late=max(wanted.days_late(choice) for _, choice in lines),
    )
