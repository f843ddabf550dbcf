"""Exact money: integer minor units with a currency. No float ever enters.

Rounding policy, stated once: an amount becomes minor units by rounding half away from zero at a
named place (line cost, tax, cost head, document total); parts of a total are made to add up to it
by the largest remainder; a selling price is raised to the firm's price step.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

Exact = int | Decimal | Fraction
MINOR_PER_MAJOR = 100

_AMOUNT = re.compile(r"[+-]?[0-9]+(\.[0-9]+)?")
_CURRENCY = re.compile(r"[A-Z]{3}")


def exact(number: Exact) -> Fraction:
    """Return the number as a fraction.

    Raises:
        TypeError: for a float or a bool, which are never exact amounts.
    """
    if isinstance(number, Fraction):
        return number
    if isinstance(number, bool) or not isinstance(number, int | Decimal):
        raise TypeError(f"an exact number is needed, not {type(number).__name__}")
    return Fraction(number)


def round_half_up(number: Exact) -> int:
    """Return the nearest whole number, halves away from zero (2.5 -> 3, -2.5 -> -3)."""
    over, under = exact(number).as_integer_ratio()
    whole = (abs(over) * 2 + under) // (2 * under)
    return whole if over >= 0 else -whole


def raised_to_step(minor: Exact, step_minor: int) -> int:
    """Return exact minor units raised to the next whole step (898051.7 by 500 -> 898500).

    An amount already on a step stays; the comparison is made before any rounding, so an amount
    a hair above a step goes up to the next one.

    Raises:
        ValueError: if the step is less than one minor unit.
    """
    if step_minor < 1:
        raise ValueError("a price step is at least one minor unit")
    return -int(-exact(minor) / step_minor // 1) * step_minor


@dataclass(frozen=True, slots=True)
class Money:
    """An amount in minor units (pence) of one currency that has a hundred of them.

    Raises:
        TypeError: if the minor units are not a whole number.
        ValueError: if the currency is not three capital letters.
    """

    minor: int
    currency: str = "GBP"

    def __post_init__(self) -> None:
        if type(self.minor) is not int:
            raise TypeError(f"minor units are a whole number, not {type(self.minor).__name__}")
        if not _CURRENCY.fullmatch(self.currency):
            raise ValueError(f"a currency is three capital letters, not {self.currency!r}")

    @classmethod
    def of(cls, major: str | int | Decimal, currency: str = "GBP") -> Money:
        """Return money from major units ("12.50", Decimal("12.5"), 12).

        Raises:
            TypeError: for a float or anything else that is none of these.
            ValueError: if the amount is not a plain number ("1,000", "1e3", "NaN") or has a part
                smaller than a minor unit.
        """
        if isinstance(major, bool) or not isinstance(major, str | int | Decimal):
            raise TypeError("money is made from text, a whole number or a Decimal, never a float")
        if isinstance(major, str) and not _AMOUNT.fullmatch(major):
            raise ValueError(f"{major!r} is not an amount of money such as 12.50")
        amount = Decimal(major)
        if not amount.is_finite():
            raise ValueError(f"{major} is not an amount of money")
        minor = Fraction(amount) * MINOR_PER_MAJOR
        if minor.denominator != 1:
            raise ValueError(f"{major} is not a whole number of minor units")
        return cls(minor.numerator, currency)

    def _same(self, other: Money) -> None:
        if not isinstance(other, Money):
            raise TypeError(f"money and {type(other).__name__} do not mix")
        if other.currency != self.currency:
            raise ValueError(f"{self.currency} and {other.currency} do not mix")

    def __add__(self, other: Money) -> Money:
        self._same(other)
        return Money(self.minor + other.minor, self.currency)

    def __sub__(self, other: Money) -> Money:
        self._same(other)
        return Money(self.minor - other.minor, self.currency)

    def __neg__(self) -> Money:
        return Money(-self.minor, self.currency)

    def __lt__(self, other: Money) -> bool:
        self._same(other)
        return self.minor < other.minor

    def __le__(self, other: Money) -> bool:
        self._same(other)
        return self.minor <= other.minor

    def times(self, factor: Exact) -> Money:
        """Return the amount times an exact factor, rounded, halves away from zero."""
        return Money(round_half_up(self.minor * exact(factor)), self.currency)

    def up_to_step(self, step_minor: int) -> Money:
        """Return the amount raised to the next whole step; see `raised_to_step`."""
        return Money(raised_to_step(self.minor, step_minor), self.currency)

    def share(self, weights: Sequence[Exact]) -> tuple[Money, ...]:
        """Split the amount by weights so that the parts add up to it exactly.

        Each part is rounded towards zero; the minor units left go to the largest remainders, the
        earlier part first on a tie. So every part is within one minor unit of its exact share, a
        part with weight zero gets nothing, and a credit splits like the charge it undoes.

        Raises:
            TypeError: for a weight that is a float.
            ValueError: if a weight is negative or all are zero.
        """
        fractions = [exact(weight) for weight in weights]
        whole = sum(fractions, Fraction(0))
        if whole <= 0 or any(part < 0 for part in fractions):
            raise ValueError("weights are at least zero and add up to more than zero")
        ideal = [abs(self.minor) * part / whole for part in fractions]
        parts = [int(value) for value in ideal]
        left = abs(self.minor) - sum(parts)
        by_remainder = sorted(range(len(ideal)), key=lambda i: (parts[i] - ideal[i], i))
        for i in by_remainder[:left]:
            parts[i] += 1
        sign = -1 if self.minor < 0 else 1
        return tuple(Money(sign * part, self.currency) for part in parts)

    def __str__(self) -> str:
        """Return the amount in major units with two places and a group separator."""
        whole, part = divmod(abs(self.minor), MINOR_PER_MAJOR)
        sign = "-" if self.minor < 0 else ""
        symbol = {"GBP": "£", "EUR": "€", "USD": "$"}.get(self.currency, f"{self.currency} ")
        return f"{sign}{symbol}{whole:,}.{part:02d}"


def total(amounts: Sequence[Money], currency: str = "GBP") -> Money:
    """Return the sum of the amounts; zero in the given currency when there are none.

    Raises:
        ValueError: if the amounts are in more than one currency.
    """
    result = Money(0, amounts[0].currency if amounts else currency)
    for amount in amounts:
        result = result + amount
    return result
