"""What was read, as an instrument shows it: 492.3, or >200 where it is beyond its range."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

_SHOWN = re.compile(r"([<>]?)\s*(-?[0-9]{1,9}(?:\.[0-9]{1,6})?)")


class Measured(NamedTuple):
    """A number, and whether it was above (">") or below ("<") what the instrument can show."""

    sign: str
    number: Decimal

    @property
    def value(self) -> Fraction:
        """Return the number, exact."""
        return Fraction(self.number)

    def at_least(self, limit: Fraction) -> bool:
        """Return whether the reading proves that it is no less than a limit."""
        return self.sign != "<" and self.value >= limit

    def at_most(self, limit: Fraction) -> bool:
        """Return whether the reading proves that it is no more than a limit."""
        return self.sign != ">" and self.value <= limit

    def __str__(self) -> str:
        digits = format(self.number, "f")
        digits = digits.rstrip("0").rstrip(".") if "." in digits else digits
        return f"{self.sign}{'0' if digits == '-0' else digits}"


def measured(text: str) -> Measured | None:
    """Return a reading of an instrument; None if the text is none."""
    found = _SHOWN.fullmatch(text.strip())
    return Measured(found[1], Decimal(found[2])) if found else None


def exactly(text: str | None) -> Fraction | None:
    """Return a reading that is a number and no bound; None for anything else."""
    found = measured(text or "")
    return found.value if found is not None and not found.sign else None
