"""Parts the difference of an actual cost from its standard into causes that add up to it.

Adverse is above zero: it cost more than the standard. The quantity is changed first, at the
standard's price, then the price at the actual quantity, which is the order of the usual variance
analysis (material usage and price, labour efficiency and rate), so the shares have no rest:

    usage       = (actual quantity - standard quantity) x standard price
    price       = (actual price - standard price) x actual quantity

The price is parted further where another item was used, or another supplier brought it, each at the
prices of the day of the quote:

    specification = (price of the item used - standard price) x actual quantity
    supplier      = (his price of that item - the usual supplier's) x actual quantity
    price         = what the prices moved since

Everything is exact; `in_minor` rounds the shares so that they still add up.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from catalogue.money import round_half_up

Number = int | Decimal | Fraction


@dataclass(frozen=True, slots=True)
class Standard:
    """What a line should have taken, after the variations agreed.

    Attributes:
        quantity: units or hours.
        price_minor: of one unit or hour, in minor units.
    """

    quantity: Number
    price_minor: Number

    @property
    def cost_minor(self) -> Fraction:
        """Return quantity x price."""
        return Fraction(self.quantity) * Fraction(self.price_minor)


@dataclass(frozen=True, slots=True)
class Actual:
    """What a line took.

    Attributes:
        quantity: units or hours.
        cost_minor: what all of it cost.
        item_price_minor: price of a unit of the item that was used, on the day of the quote, from
            the supplier it was reckoned with; None is the standard's own item.
        supplier_price_minor: the same from the supplier who brought it; None is the same supplier.
    """

    quantity: Number
    cost_minor: Number
    item_price_minor: Number | None = None
    supplier_price_minor: Number | None = None


@dataclass(frozen=True, slots=True)
class Parted:
    """The difference of a cost from its standard by cause, in minor units; adverse is above zero.

    Attributes:
        usage: another quantity (of hours: efficiency).
        specification: another item.
        supplier: the same item from another supplier.
        price: the price moved (of hours: rate).
    """

    usage: Fraction = Fraction(0)
    specification: Fraction = Fraction(0)
    supplier: Fraction = Fraction(0)
    price: Fraction = Fraction(0)

    def __add__(self, other: Parted) -> Parted:
        """Return the sums by cause."""
        return Parted(self.usage + other.usage, self.specification + other.specification,
                      self.supplier + other.supplier, self.price + other.price)

    @property
    def total(self) -> Fraction:
        """Return the whole difference."""
        return self.usage + self.specification + self.supplier + self.price


def part(standard: Standard, actual: Actual) -> Parted:
    """Return what made an actual cost differ from its standard.

    `part(s, a).total == a.cost_minor - s.cost_minor`, exactly.

    Raises:
        ValueError: for a cost without a quantity: there is no price of a unit to hold it against;
            book it as a line of its own, with a standard of nothing.
    """
    quantity, cost = Fraction(actual.quantity), Fraction(actual.cost_minor)
    planned = Fraction(standard.price_minor)
    if not quantity and cost:
        raise ValueError(f"{actual.cost_minor} minor units were paid for a quantity of nothing")
    item = _given(actual.item_price_minor, planned)
    supplier = _given(actual.supplier_price_minor, item)
    return Parted(
        usage=(quantity - Fraction(standard.quantity)) * planned,
        specification=(item - planned) * quantity,
        supplier=(supplier - item) * quantity,
        price=cost - supplier * quantity,
    )


def _given(price: Number | None, otherwise: Fraction) -> Fraction:
    return otherwise if price is None else Fraction(price)


def unplanned(cost_minor: Number) -> Parted:
    """Return the parts of a cost that stood in no standard: all of it is usage."""
    return Parted(usage=Fraction(cost_minor))


def in_minor(shares: Mapping[str, Fraction]) -> dict[str, int]:
    """Return shares as whole minor units that add up to their sum, rounded half away from zero.

    The running sum is rounded, so each share is within one minor unit of its exact value.
    """
    told: dict[str, int] = {}
    exact, rounded = Fraction(0), 0
    for name, share in shares.items():
        exact += share
        told[name] = round_half_up(exact) - rounded
        rounded += told[name]
    return told
