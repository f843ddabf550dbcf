"""Exact money: integer minor units with a currency. No float ever enters.

Rounding policy, stated once: an amount becomes minor units by rounding half away from zero at a
named place (line cost, tax, cost head, document total); parts of a total are made to add up to it
by the largest remainder; a selling price is raised to the firm's price step.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

Exact = int | Decimal | Fraction
MINOR_PER_MAJOR = 100


def exact(number: Exact) -> Fraction:
    """Return the number as a fraction.

    Raises:
        TypeError: for a float or a bool, which are never exact amounts.
    """
    if isinstance(number, bool) or not isinstance(number, int | Decimal | Fraction):
        raise TypeError(f"an exact number is needed, not {type(number).__name__}")
    return Fraction(number)


def round_half_up(number: Exact) -> int:
    """Return the nearest whole number, halves away from zero (2.5 -> 3, -2.5 -> -3)."""
    value = exact(number)
    whole = (abs(value.numerator) * 2 + value.denominator) // (2 * value.denominator)
    return whole if value >= 0 else -whole


@dataclass(frozen=True, slots=True)
class Money:
    """An amount in minor units (pence) of one currency."""

    minor: int
    currency: str = "GBP"

    def __post_init__(self) -> None:
        if type(self.minor) is not int:
            raise TypeError(f"minor units are a whole number, not {type(self.minor).__name__}")

    @classmethod
    def of(cls, major: str | int | Decimal, currency: str = "GBP") -> Money:
        """Return money from major units ("12.50", Decimal("12.5"), 12).

        Raises:
            TypeError: for a float.
            ValueError: if the amount has a part smaller than a minor unit.
        """
        if isinstance(major, bool | float):
            raise TypeError("money is made from text, a whole number or a Decimal, never a float")
        minor = Fraction(Decimal(major)) * MINOR_PER_MAJOR
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
        """Return the amount times an exact factor, rounded half up to minor units."""
        return Money(round_half_up(self.minor * exact(factor)), self.currency)

    def up_to_step(self, step_minor: int) -> Money:
        """Return the amount raised to the next whole step (898052 by 500 -> 898500)."""
        if step_minor < 1:
            raise ValueError("a price step is at least one minor unit")
        return Money(-(-self.minor // step_minor) * step_minor, self.currency)

    def share(self, weights: Sequence[Exact]) -> tuple[Money, ...]:
        """Split the amount by weights so that the parts add up to it exactly.

        Each part is rounded down; the minor units left go to the largest remainders, the earlier
        part first on a tie.

        Raises:
            ValueError: if a weight is negative or all are zero.
        """
        fractions = [exact(weight) for weight in weights]
        total = sum(fractions, Fraction(0))
        if total <= 0 or any(part < 0 for part in fractions):
            raise ValueError("weights are at least zero and add up to more than zero")
        ideal = [self.minor * part / total for part in fractions]
        floors = [value.numerator // value.denominator for value in ideal]
        left = self.minor - sum(floors)
        order = sorted(range(len(ideal)), key=lambda i: (floors[i] - ideal[i], i))
        for i in order[:left]:
            floors[i] += 1
        return tuple(Money(part, self.currency) for part in floors)

    def __str__(self) -> str:
        """Return the amount in major units with two places and a group separator."""
        whole, part = divmod(abs(self.minor), MINOR_PER_MAJOR)
        sign = "-" if self.minor < 0 else ""
        symbol = {"GBP": "£", "EUR": "€", "USD": "$"}.get(self.currency, f"{self.currency} ")
        return f"{sign}{symbol}{whole:,}.{part:02d}"


def total(amounts: Sequence[Money], currency: str = "GBP") -> Money:
    """Return the sum of the amounts; zero in the given currency when there are none."""
    result = Money(0, amounts[0].currency if amounts else currency)
    for amount in amounts:
        result = result + amount
    return result
