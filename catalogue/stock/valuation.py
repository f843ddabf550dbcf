"""What issues from stock cost and what is held is worth, by moving average, FIFO or LIFO.

Quantities are exact. Values are whole minor units, rounded once when something is issued: what
stays keeps the rest, so that value in = value out + value held, to the penny, whatever the order.

- Moving average: an issue takes its share of the value held, value * quantity / held.
- FIFO: the layers received first are issued first; LIFO: those received last. Part of a layer
  takes its share of what is left in that layer. LIFO is there to compare with; IAS 2, paragraph
  25, allows FIFO and weighted average only (from memory).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from catalogue.money import round_half_up

Method = Literal["moving average", "fifo", "lifo"]
METHODS: tuple[Method, ...] = ("moving average", "fifo", "lifo")


@dataclass(frozen=True, slots=True)
class Receipt:
    """So much came in, worth so much in all (minor units)."""

    quantity: Decimal
    value_minor: int


@dataclass(frozen=True, slots=True)
class Issue:
    """So much went out."""

    quantity: Decimal


@dataclass(frozen=True, slots=True)
class Layer:
    """What is left of one receipt."""

    quantity: Decimal
    value_minor: int


@dataclass(frozen=True, slots=True)
class Held:
    """What is in stock: its layers, oldest first; by moving average there is one."""

    layers: tuple[Layer, ...] = ()

    @property
    def quantity(self) -> Decimal:
        """Return the quantity held."""
        return sum((layer.quantity for layer in self.layers), Decimal(0))

    @property
    def value_minor(self) -> int:
        """Return the value held."""
        return sum(layer.value_minor for layer in self.layers)


class NotHeld(ValueError):  # noqa: N818  (it says what is the matter)
    """More was to be issued than is held."""


def received(held: Held, receipt: Receipt, method: Method) -> Held:
    """Return what is held after a receipt.

    Raises:
        ValueError: if the quantity is not above zero or the value is below it.
    """
    if receipt.quantity <= 0 or receipt.value_minor < 0:
        raise ValueError("a receipt has a quantity above zero and no value below it")
    layer = Layer(receipt.quantity, receipt.value_minor)
    if method != "moving average":
        return Held((*held.layers, layer))
    return Held((Layer(held.quantity + layer.quantity, held.value_minor + layer.value_minor),))


def issued(held: Held, quantity: Decimal, method: Method) -> tuple[int, Held]:
    """Return what an issue costs in minor units, and what is held after it.

    Raises:
        NotHeld: if less is held than is to be issued.
        ValueError: if the quantity is not above zero.
    """
    if quantity <= 0:
        raise ValueError("an issue has a quantity above zero")
    if quantity > held.quantity:
        raise NotHeld(f"{quantity} cannot be issued: {held.quantity} are held")
    layers = list(held.layers)
    cost, wanted = 0, quantity
    while wanted > 0:
        at = -1 if method == "lifo" else 0
        layer = layers[at]
        taken = min(wanted, layer.quantity)
        value = round_half_up(Fraction(layer.value_minor) * Fraction(taken) / Fraction(
            layer.quantity))
        cost += value
        wanted -= taken
        if taken == layer.quantity:
            del layers[at]
        else:
            layers[at] = Layer(layer.quantity - taken, layer.value_minor - value)
    return cost, Held(tuple(layers))


def valued(
    movements: Iterable[Receipt | Issue], method: Method, held: Held | None = None
) -> tuple[tuple[int, ...], Held]:
    """Return what each issue costs, in order, and what is held in the end.

    Raises:
        NotHeld: if at some point more is issued than is held.
    """
    costs: list[int] = []
    now = held or Held()
    for movement in movements:
        if isinstance(movement, Receipt):
            now = received(now, movement, method)
        else:
            cost, now = issued(now, movement.quantity, method)
            costs.append(cost)
    return tuple(costs), now


def periodic_average(receipts: Iterable[Receipt], closing: Decimal) -> tuple[int, int]:
    """Return cost of what went and value of what is left by one average over the whole period.

    Args:
        receipts: opening stock and all that came in.
        closing: quantity counted at the end.

    Raises:
        NotHeld: if more is left than ever was there.
    """
    all_in = valued(receipts, "moving average")[1]
    if closing > all_in.quantity:
        raise NotHeld(f"{closing} cannot be left of {all_in.quantity}")
    value = round_half_up(Fraction(all_in.value_minor) * Fraction(closing) / Fraction(
        all_in.quantity)) if all_in.quantity else 0
    return all_in.value_minor - value, value
