"""What comes of an order: received in part, damaged, dearer or cheaper than it was ordered.

For each line: good + damaged + open = ordered. Damaged goods have come: they are paid until they
are sent back, and lie apart; what is to replace them is ordered anew.

    price variance = (price paid - price ordered) * quantity received

exact, above zero where it is dearer (adverse). It is measured when the goods come, on what came.
Source: the price variance of standard costing with the ordered price as the standard; CIMA Official
Terminology, "direct material price variance" (from memory).

What a delivery is worth is rounded so that all deliveries of a line add up to their exact sum,
rounded once: the value of each is what the rounded sum grows by.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from catalogue.money import round_half_up
from estimator.buying.ordering import OrderLine, PurchaseOrder

State = Literal["placed", "part received", "received", "cancelled"]


@dataclass(frozen=True, slots=True)
class Came:
    """What came of one line in one delivery.

    Attributes:
        price_minor: what was charged for `per` units of the line.
        serials: of what came in good order, as far as they were noted.
    """

    line: int
    good: Decimal
    damaged: Decimal
    price_minor: int
    serials: tuple[str, ...] = ()

    @property
    def quantity(self) -> Decimal:
        """Return all that came, good or damaged."""
        return self.good + self.damaged


@dataclass(frozen=True, slots=True)
class Delivery:
    """What came in one go, with the supplier's delivery note."""

    on: date
    note: str
    came: tuple[Came, ...]
    by: str = ""


@dataclass(frozen=True)
class Placed:
    """A kept order with what came of it, in order; `cancelled` is why the rest is not wanted."""

    order: PurchaseOrder
    deliveries: tuple[Delivery, ...] = ()
    cancelled: str | None = None

    @property
    def state(self) -> State:
        """Return how the order stands."""
        if not any(self.rest(line) for line in self.order.lines):
            return "received"
        if self.cancelled is not None:
            return "cancelled"
        return "part received" if self.deliveries else "placed"

    def came(self, line: int) -> tuple[Came, ...]:
        """Return what came of a line, delivery after delivery."""
        return tuple(came for each in self.deliveries for came in each.came if came.line == line)

    def rest(self, line: OrderLine) -> Decimal:
        """Return what has not come, whether it is still wanted or not."""
        return line.quantity - sum((each.quantity for each in self.came(line.line)), Decimal(0))

    def open(self, line: OrderLine) -> Decimal:
        """Return what is still to come."""
        return Decimal(0) if self.cancelled is not None else self.rest(line)

    @property
    def variance_minor(self) -> Fraction:
        """Return the price variance of all that came, exact; above zero = dearer."""
        lines = {line.line: line for line in self.order.lines}
        return sum((variance(lines[came.line], came)
                    for each in self.deliveries for came in each.came), Fraction(0))


def variance(line: OrderLine, came: Came) -> Fraction:
    """Return the price variance of what came, exact minor units; above zero = dearer."""
    return Fraction(came.price_minor - line.price_minor) * Fraction(came.quantity) / Fraction(
        line.per)


def value_of(line: OrderLine, earlier: Iterable[Came], now: Came) -> tuple[int, int]:
    """Return what the good and the damaged goods of a delivery are worth, in minor units.

    Args:
        line: of the order.
        earlier: what came of the line before.
        now: what comes.
    """
    before = sum((_exact_value(line, came.price_minor, came.quantity) for came in earlier),
                 Fraction(0))
    good = before + _exact_value(line, now.price_minor, now.good)
    both = good + _exact_value(line, now.price_minor, now.damaged)
    return (round_half_up(good) - round_half_up(before),
            round_half_up(both) - round_half_up(good))


def _exact_value(line: OrderLine, price_minor: int, quantity: Decimal) -> Fraction:
    """Return price paid and the share of the cut charges, exact."""
    cut = Fraction(line.cut_charge_minor) / Fraction(line.quantity)
    return (Fraction(price_minor) / Fraction(line.per) + cut) * Fraction(quantity)


def too_much(placed: Placed, came: Sequence[Came]) -> Iterator[tuple[OrderLine, Decimal, Decimal]]:
    """Yield each line of which more comes than is open, with what comes and what is open."""
    lines = {line.line: line for line in placed.order.lines}
    for each in came:
        line = lines[each.line]
        if each.quantity > placed.open(line):
            yield line, each.quantity, placed.open(line)
