"""The frozen item, its box contents, the offers for it, and what bringing it costs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING, Literal, Protocol, TypeVar

from catalogue.money import Money, round_half_up

if TYPE_CHECKING:  # its models take long to load, and not every command reads a data sheet
    from catalogue.specs import Spec

Held = Literal["stock", "job"]
VatClass = Literal["energy saving", "standard"]
UNITS = ("each", "pair", "set", "m", "m2", "kg", "l", "day", "week")
COUNTED_UNITS = frozenset({"each", "pair", "set"})


@dataclass(frozen=True, slots=True)
class BoxPart:
    """So many of one item lie in the box of another, between two dates (None = open)."""

    item: str
    quantity: int
    from_date: date
    to_date: date | None = None


@dataclass(frozen=True, slots=True)
class Item:
    """One thing that can be bought.

    Attributes:
        code: the firm's part number; always text ("00420" is not 420).
        roles: what the item can serve as; rules ask for a family and a role.
        unit: one of `UNITS`; a counted unit is never split.
        head: cost head under which its money is shown.
        held: "stock" = kept on the shelf, the job pays for what it uses;
            "job" = bought for the job, the job pays for whole packs.
        waste: share of the quantity that is cut off, broken or spilt (0.05 = 5 %).
        contents: what lies in its box, dated.
        sold_apart: False for a part that only ever comes in another item's box.
    """

    code: str
    name: str
    family: str
    roles: tuple[str, ...]
    unit: str
    spec: Spec
    head: str
    held: Held = "stock"
    bin: str = ""
    mass_kg: Decimal | None = None
    length_mm: int | None = None
    width_mm: int | None = None
    height_mm: int | None = None
    waste: Decimal = Decimal(0)
    vat_class: VatClass = "energy saving"
    serialised: bool = False
    sold_apart: bool = True
    contents: tuple[BoxPart, ...] = ()
    note: str = ""

    @property
    def counted(self) -> bool:
        """Return whether the item is counted in whole pieces."""
        return self.unit in COUNTED_UNITS

    @property
    def stick_mm(self) -> int | None:
        """Return the length of one, of what is counted in sticks; else None."""
        stick_m = getattr(self.spec, "stick_m", None)
        return int(stick_m * 1000) if stick_m is not None and self.unit == "each" else None


@dataclass(frozen=True, slots=True)
class Offer:
    """A supplier's price for an item, in force from a date (to_date included).

    Attributes:
        pack: units that are sold together; what is ordered is a multiple of it.
        price: for `per` units, so that a price below a penny stays exact (3.45 for 100).
        per: units that the price is for; None = one pack.
        least: units from which on the price holds: a minimum order, or a price break over all
            the units ordered.
        cut_charge: for each length that the supplier cuts off to measure; None = not cut.
        carriage_class: what brings a charge of its own ("long", "pallet"); "" = nothing special.
    """

    item: str
    supplier: str
    pack: Decimal
    price: Money
    from_date: date
    to_date: date | None = None
    lead_days: int = 0
    supplier_code: str = ""
    per: Decimal | None = None
    least: Decimal = Decimal(0)
    cut_charge: Money | None = None
    carriage_class: str = ""

    @property
    def series(self) -> tuple[object, ...]:
        """Return what tells offers apart that stand side by side; of a series the newest holds."""
        return self.item, self.supplier, self.pack, self.least, self.price.currency

    @property
    def unit_price_minor(self) -> Fraction:
        """Return the exact price of one unit in minor units."""
        return _unit_price_minor(self.price.minor, self.pack if self.per is None else self.per)

    def exact_cost_minor(self, packs: int) -> Fraction:
        """Return the exact price of whole packs in minor units."""
        return self.unit_price_minor * Fraction(self.pack) * packs

    def cost(self, packs: int) -> Money:
        """Return the price of whole packs, rounded once, halves away from zero."""
        return Money(round_half_up(self.exact_cost_minor(packs)), self.price.currency)


@lru_cache(maxsize=8192)  # a job asks for the same prices hundreds of times
def _unit_price_minor(price_minor: int, per: Decimal) -> Fraction:
    return Fraction(price_minor) / Fraction(per)


@dataclass(frozen=True, slots=True)
class Carriage:
    """What a supplier charges for bringing an order, from a date (to_date included).

    Attributes:
        carriage_class: "" = the order itself; another class comes on top, once for an order that
            holds something of it.
        free_from: value of goods, without tax, from which on the charge falls away; None = never.
        least_order: value of goods under which the supplier takes no order; None = any.
    """

    supplier: str
    carriage_class: str
    charge: Money
    from_date: date
    to_date: date | None = None
    free_from: Money | None = None
    least_order: Money | None = None

    @property
    def series(self) -> tuple[object, ...]:
        """Return what tells charges apart that stand side by side; of a series the newest holds."""
        return self.supplier, self.carriage_class, self.charge.currency


class _Dated(Protocol):
    @property
    def series(self) -> tuple[object, ...]: ...
    @property
    def from_date(self) -> date | None: ...
    @property
    def to_date(self) -> date | None: ...


D = TypeVar("D", bound=_Dated)


def holding_on(dated: Iterable[D], on: date) -> list[D]:
    """Return what holds on a day: of each series the newest that has begun, unless it has ended.

    A price that follows another takes its place without a word about the older one; when it ends,
    the older one does not come back. One without a first day has always held.
    """
    newest: dict[tuple[object, ...], D] = {}
    for each in dated:
        start, there = each.from_date or date.min, newest.get(each.series)
        if start <= on and (there is None or (there.from_date or date.min) < start):
            newest[each.series] = each
    return [each for each in newest.values() if each.to_date is None or on <= each.to_date]
