"""From full cost to the quoted price: margin, price step, discount, tax by date, sign-off."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from catalogue.money import Money


@dataclass(frozen=True, slots=True)
class VatLine:
    """Tax at one rate on one part of the price."""

    rate: Decimal
    net: Money
    vat: Money
    because: str


@dataclass(frozen=True, slots=True)
class Discount:
    """Money off, with the reason and the name of who allowed it."""

    amount: Money
    reason: str
    name: str


@dataclass(frozen=True)
class Price:
    """The quoted price.

    Attributes:
        list_net: cost / (1 - margin), raised to the price step; net: after discount.
        margin: (net - cost) / net; markup: (net - cost) / cost; contribution: (net - direct) / net;
            all exact, computed after rounding the price.
        signed_by: "estimator", "manager" or "owner": who may let the quote go at this margin.
    """

    list_net: Money
    discount: Discount | None
    net: Money
    vat: tuple[VatLine, ...]
    gross: Money
    margin: Fraction
    markup: Fraction
    contribution: Fraction
    signed_by: str
