"""The frozen item, its box contents and the offers for it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from catalogue.money import Money
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


@dataclass(frozen=True, slots=True)
class Offer:
    """A supplier's price for one pack of an item, in force from a date (to_date included)."""

    item: str
    supplier: str
    pack: Decimal
    price: Money
    from_date: date
    to_date: date | None = None
    lead_days: int = 0
    supplier_code: str = ""

    def in_force(self, on: date) -> bool:
        """Return whether the offer holds on a day."""
        return self.from_date <= on and (self.to_date is None or on <= self.to_date)

    @property
    def unit_price_minor(self) -> Fraction:
        """Return the exact price of one unit in minor units."""
        return Fraction(self.price.minor) / Fraction(self.pack)
