"""What hours cost: the rate of an hour times the minutes, rounded once a line.

    amount = rate of an hour * minutes / 60, halves of a penny away from zero

A line that is taken back is reversed to the penny by a line of its opposite. The overhead is the
office's share of the same hours (`estimator.settings.Labour`).
"""

from __future__ import annotations

from fractions import Fraction

from catalogue.money import round_half_up


def amount_of(rate_minor: int, minutes: int) -> int:
    """Return minor units for so many minutes at a rate an hour; minutes may be below zero."""
    return round_half_up(Fraction(rate_minor * minutes, 60))
