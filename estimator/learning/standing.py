"""How a price stands among the firm's last ones: dearer or cheaper than how many of them."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from statistics import median

from estimator.outcome.few_jobs import LEAST_TO_RANK

LAST = 20  # quotes that a price is held against; common practice, no source
_UNUSUAL = Fraction(1, 10)  # of the others on one side; common practice, no source


@dataclass(frozen=True, slots=True)
class Standing:
    """One price among others, each in minor units for one unit.

    Attributes:
        per: what the unit is.
        others: of other jobs, the cheapest first.
    """

    per: str
    price: Fraction
    others: tuple[Fraction, ...]

    @property
    def middle(self) -> Fraction | None:
        """Return the median of the others; None of none."""
        return Fraction(median(self.others)) if self.others else None

    @property
    def cheaper(self) -> int:
        """Return how many of the others are cheaper."""
        return bisect_left(self.others, self.price)

    @property
    def dearer(self) -> int:
        """Return how many of the others are dearer."""
        return len(self.others) - bisect_right(self.others, self.price)

    @property
    def unusual(self) -> str:
        """Return "dear" or "cheap" if fewer than a tenth of enough others lie beyond it, or ""."""
        if len(self.others) < LEAST_TO_RANK:
            return ""
        if self.dearer < _UNUSUAL * len(self.others) and self.cheaper > self.dearer:
            return "dear"
        if self.cheaper < _UNUSUAL * len(self.others) and self.dearer > self.cheaper:
            return "cheap"
        return ""


def standing(
    per: str, net_minor: int, units: Fraction, others: Sequence[tuple[int, Fraction]]
) -> Standing | None:
    """Return how a price for one unit stands; None for a job without such units.

    Args:
        per: what the unit is.
        net_minor: price before tax.
        units: how many units it is for.
        others: price before tax and units of each; those without units are left out.
    """
    if not units:
        return None
    return Standing(per, Fraction(net_minor) / units,
                    tuple(sorted(Fraction(net) / of for net, of in others if of)))
