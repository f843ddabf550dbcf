"""When to order how much: needs by date netted against stock, and orders for the shelf.

`plan` is the explosion of material requirements planning: what is wanted of an item by a day, less
what lies there and comes by then, is ordered its lead time earlier; an order for something made up
of parts wants those parts on the day it is released. Time is a whole number of periods (days).

Economic order quantity: Q = sqrt(2 D S / H), F. W. Harris 1913. Reorder point: demand in the lead
time, with a safety stock of z standard deviations where demand swings.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Want:
    """So much of an item is wanted in a period."""

    item: str
    period: int
    quantity: Decimal


@dataclass(frozen=True, slots=True)
class Stocked:
    """How an item is kept and bought.

    Attributes:
        lead: periods from order to delivery.
        on_hand: what is free now.
        coming: period -> quantity on its way.
        parts: item -> quantity that one of this takes.
        lot: orders are multiples of it; None = as many as are wanted.
    """

    lead: int = 0
    on_hand: Decimal = Decimal(0)
    coming: Mapping[int, Decimal] = field(default_factory=dict)
    parts: Mapping[str, Decimal] = field(default_factory=dict)
    lot: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Planned:
    """An order: released in one period, there in another. A release before 0 is late."""

    item: str
    release: int
    due: int
    quantity: Decimal


class Circle(ValueError):  # noqa: N818  (it says what is the matter)
    """An item is among its own parts, however far down."""


def plan(wants: Iterable[Want], stocked: Mapping[str, Stocked]) -> tuple[Planned, ...]:
    """Return the orders that meet all wants as late as can be, by release and item.

    An item that is not in `stocked` has none on hand and comes at once. What is left of a lot
    serves later wants.

    Raises:
        Circle: if items are made of one another in a circle.
    """
    gross: dict[str, dict[int, Decimal]] = {}
    for want in wants:
        _add(gross, want.item, want.period, want.quantity)
    orders: list[Planned] = []
    for item in _top_down(gross, stocked):
        about = stocked.get(item, Stocked())
        for order in _netted(item, gross.get(item, {}), about):
            orders.append(order)
            for part, each in about.parts.items():
                _add(gross, part, order.release, order.quantity * each)
    return tuple(sorted(orders, key=lambda o: (o.release, o.item, o.due)))


def _add(gross: dict[str, dict[int, Decimal]], item: str, period: int, quantity: Decimal) -> None:
    periods = gross.setdefault(item, {})
    periods[period] = periods.get(period, Decimal(0)) + quantity


def _top_down(gross: Mapping[str, object], stocked: Mapping[str, Stocked]) -> list[str]:
    """Return the items so that each comes after all that it is a part of."""
    order: list[str] = []
    state: dict[str, bool] = {}

    def visit(item: str) -> None:
        if state.get(item) is False:
            raise Circle(f"{item} is a part of itself")
        if item in state:
            return
        state[item] = False
        for part in sorted(stocked.get(item, Stocked()).parts):
            visit(part)
        state[item] = True
        order.append(item)

    for item in sorted(gross):
        visit(item)
    return order[::-1]


def _netted(item: str, gross: Mapping[int, Decimal], about: Stocked) -> Iterable[Planned]:
    free = about.on_hand
    for period in sorted({*gross, *about.coming}):
        free += about.coming.get(period, Decimal(0)) - gross.get(period, Decimal(0))
        if free >= 0:
            continue
        quantity = -free if about.lot is None else -(free // about.lot) * about.lot
        if about.lot is not None and quantity + free < 0:
            quantity += about.lot
        free += quantity
        yield Planned(item, period - about.lead, period, quantity)


@dataclass(frozen=True, slots=True)
class OrderCosts:
    """What the shelf stock of an item costs in a year, by the size of an order."""

    demand_a_year: Fraction
    order_cost: Fraction
    holding_cost_a_unit: Fraction

    def of_orders(self, quantity: Fraction) -> Fraction:
        """Return what ordering costs in a year."""
        return self.demand_a_year / quantity * self.order_cost

    def of_holding(self, quantity: Fraction) -> Fraction:
        """Return what holding costs in a year: half an order lies there on average."""
        return quantity / 2 * self.holding_cost_a_unit

    def total(self, quantity: Fraction) -> Fraction:
        """Return the sum of both."""
        return self.of_orders(quantity) + self.of_holding(quantity)


def economic_quantity(costs: OrderCosts) -> float:
    """Return the order quantity at which ordering and holding cost least together.

    A square root, so a float; what is ordered is rounded by `economic_packs`.

    Raises:
        ValueError: unless demand, order cost and holding cost are above zero.
    """
    if min(costs.demand_a_year, costs.order_cost, costs.holding_cost_a_unit) <= 0:
        raise ValueError("demand, order cost and holding cost are above zero")
    return math.sqrt(2 * costs.demand_a_year * costs.order_cost / costs.holding_cost_a_unit)


def economic_packs(costs: OrderCosts, pack: Decimal) -> int:
    """Return how many whole packs an order holds at least cost; the total is compared exactly."""
    size = Fraction(pack)
    below = max(1, int(Fraction(economic_quantity(costs)) / size))
    return min((below, below + 1), key=lambda packs: (costs.total(packs * size), packs))


def reorder_point(
    demand_a_period: Fraction, lead: Fraction, safety: Fraction = Fraction(0)
) -> Fraction:
    """Return the stock at which to order: demand in the lead time and the safety stock."""
    return demand_a_period * lead + safety
