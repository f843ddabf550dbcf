"""Round ticks along an axis, and where a value stands on it.

Ticks are those of P. S. Heckbert, "Nice numbers for graph labels", Graphics Gems (1990), 61-63,
from memory: a step is 1, 2 or 5 times a power of ten, and the axis goes out to the ticks round the
data.
Exact, so that a tick is never 0.30000000000000004.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction


def nice(number: Fraction, *, nearest: bool) -> Fraction:
    """Return 1, 2, 5 or 10 times a power of ten near a number above zero.

    Args:
        number: above zero.
        nearest: the nearest one, else the least that is no smaller.
    """
    power = Fraction(1)
    while power * 10 <= number:
        power *= 10
    while power > number:
        power /= 10
    lead = number / power
    if nearest:
        limits = ((Fraction(3, 2), 1), (Fraction(3), 2), (Fraction(7), 5))
        return power * next((step for limit, step in limits if lead < limit), 10)
    return power * next((step for step in (1, 2, 5) if lead <= step), 10)


def ticks(low: Fraction, high: Fraction, wanted: int = 5) -> list[Fraction]:
    """Return round values from at or below `low` to at or above `high`, about as many as wanted.

    Where both are the same, the axis is made to hold something on either side.

    Raises:
        ValueError: if low is above high, or fewer than two ticks are wanted.
    """
    if low > high or wanted < 2:
        raise ValueError(f"no axis from {low} to {high} with {wanted} ticks")
    if low == high:
        about = abs(low) or Fraction(1)
        low, high = low - about / 2, high + about / 2
    step = nice(nice(high - low, nearest=False) / (wanted - 1), nearest=True)
    first, last = low // step, -(-high // step)
    return [step * at for at in range(int(first), int(last) + 1)]


@dataclass(frozen=True, slots=True)
class Scale:
    """Puts values between two pixels.

    Attributes:
        low, high: values at `start` and at `end`; not the same.
    """

    low: Fraction
    high: Fraction
    start: float
    end: float

    def at(self, value: Fraction) -> float:
        """Return the pixel of a value."""
        return self.start + float((value - self.low) / (self.high - self.low)) * (
            self.end - self.start)


MOST = 7  # ticks wanted where there is room


def widest_tick(low: Fraction, high: Fraction, wide: Callable[[Fraction], float]) -> float:
    """Return the width of the widest label that a tick may have, however many there are."""
    return max(wide(each) for wanted in range(2, MOST + 1) for each in ticks(low, high, wanted))


def fitted_ticks(low: Fraction, high: Fraction, length: float, needed: float) -> list[Fraction]:
    """Return ticks whose labels, each taking `needed` pixels, have room along the axis."""
    for wanted in range(MOST, 2, -1):
        found = ticks(low, high, wanted)
        if needed * (len(found) - 1) <= length:
            return found
    return ticks(low, high, 2)
