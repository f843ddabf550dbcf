"""How a review says amounts, shares and names; one way for all reports."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from catalogue.money import MINOR_PER_MAJOR
from estimator.review.cells import NOT_SAID


def amount(minor: int, currency: str) -> str:
    """Return money with its currency: 83,412.20 GBP."""
    return f"{Decimal(minor) / MINOR_PER_MAJOR:,.2f} {currency}"


def per_cent(share: float | None) -> str:
    """Return a share in per cent to one place; "no figure" without one."""
    if share is None:
        return "no figure"
    told = f"{share * 100:.1f}"
    return f"{'0.0' if told == '-0.0' else told} %"


def between(low: float, high: float) -> str:
    """Return an interval of shares: between -3.1 and 7.0 %."""
    return f"between {per_cent(low).removesuffix(' %')} and {per_cent(high)}"


def count(number: int, one: str, many: str = "") -> str:
    """Return a number with its noun: 1 job, 12 jobs."""
    return f"{number:,} {one if number == 1 else many or one + 's'}"


def named(name: str) -> str:
    """Return a name, or that there is none."""
    return name or NOT_SAID


def listed(names: Sequence[str]) -> str:
    """Return names in a sentence: A, B and C."""
    shown = [named(name) for name in names]
    return shown[0] if len(shown) == 1 else f"{', '.join(shown[:-1])} and {shown[-1]}"
