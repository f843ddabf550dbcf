"""Standing words of every paper, and how money, shares and dates are written out."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType

from catalogue.money import Money, round_half_up
from estimator.papers.digits import plain

# The line of deferral: one text, on every paper.
DEFERRAL = (
    "An estimate, not a design: local codes, makers' manuals and licensed practice decide."
)
OFFICE_ONLY = "OFFICE ONLY - do not give to the customer"
SITE_COPY = "SITE COPY - no prices on this sheet"

KIND: Mapping[str, str] = MappingProxyType({"firm": "FIRM PRICE", "budget": "BUDGET RANGE"})
LEVEL: Mapping[str, str] = MappingProxyType({"stop": "STOP", "caution": "CAUTION", "fine": "fine"})
LEVEL_ORDER = ("stop", "caution", "fine")
SIGNED_BY: Mapping[str, str] = MappingProxyType({
    "estimator": "the estimator may let it go",
    "manager": "a manager must let it go",
    "owner": "the owner must let it go, with the reason in writing",
})


def money(minor: int, currency: str) -> str:
    """Return money in major units with its sign: £1,234.50."""
    return str(Money(minor, currency))


def signed(minor: int, currency: str) -> str:
    """Return a change of money with its sign: +£10.00, -£3.50, £0.00."""
    return f"{'+' if minor > 0 else ''}{money(minor, currency)}"


def between(low: int, high: int, currency: str) -> str:
    """Return a range of money: "£7,900.00 to £8,065.00", or one amount if both are the same."""
    shown = money(low, currency)
    return shown if low == high else f"{shown} to {money(high, currency)}"


def symbol(currency: str) -> str:
    """Return what stands before an amount: "£", or the currency's letters and a blank."""
    return str(Money(0, currency)).removesuffix("0.00")


def percent(share: Decimal | Fraction, places: int = 1) -> str:
    """Return a share in per cent, halves away from zero: 0.1501 -> 15.0 %."""
    scaled = round_half_up(share * 100 * 10**places)
    return f"{Decimal(scaled).scaleb(-places):f} %"


def rate(share: Decimal) -> str:
    """Return a tax rate in per cent as it is, without idle places: 0.2 -> 20 %."""
    return f"{plain(share * 100)} %"


def day(on: date) -> str:
    """Return a day in words: 14 September 2026."""
    months = (
        "January", "February", "March", "April", "May", "June", "July", "August", "September",
        "October", "November", "December",
    )
    return f"{on.day} {months[on.month - 1]} {on.year}"


def hours(number: Decimal) -> str:
    """Return hours to one place, halves away from zero: 22.9083 -> 22.9 h."""
    return f"{Decimal(round_half_up(number * 10)).scaleb(-1):f} h"


def answer(text: str) -> str:
    """Return an assumed value as a person says it: true is yes, false is no."""
    return {"true": "yes", "false": "no"}.get(text, text)


def so_many(number: Decimal, unit: str) -> str:
    """Return a quantity to stand before a name: "3 ×", "18.7 m of"."""
    return f"{plain(number)} ×" if unit == "each" else f"{count(number, unit)} of"


def count(number: Decimal, unit: str) -> str:
    """Return a quantity with its unit; pieces go without one: 3, 18.7 m."""
    return measure(number) if unit == "each" else f"{measure(number)} {unit.replace('m2', 'm²')}"


def measure(number: Decimal) -> str:
    """Return a quantity to two places, for reading only: 21.9408 -> 21.94, 3 -> 3."""
    return plain(Decimal(round_half_up(number * 100)).scaleb(-2))
