"""What money that comes and goes over years is worth today.

The first flow is today's, each next one a period later. Values are exact fractions of the amounts'
unit; a rate is a share, 0.08 for 8 % a period. Source: the usual definitions of investment
appraisal, as in G. A. Fleischer, "Introduction to Engineering Economy"; from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

Amount = int | Decimal | Fraction
# Rates between which a return is looked for: all but the whole lost, and a hundredfold gain.
LEAST_RATE, MOST_RATE = Fraction(-999, 1000), Fraction(100)
STEPS = 400  # in which the range is searched for changes of sign
FINE = Fraction(1, 10**9)


def net_present_value(rate: Amount, flows: Sequence[Amount]) -> Fraction:
    """Return the sum of flow / (1 + rate)^period, exact.

    Raises:
        ValueError: for a rate of -100 % or less.
    """
    if rate <= -1:
        raise ValueError(f"a rate of {rate} leaves nothing")
    grown = 1 + Fraction(rate)
    return sum((Fraction(flow) / grown**at for at, flow in enumerate(flows)), Fraction(0))


def returns(flows: Sequence[Amount]) -> tuple[float, ...]:
    """Return every rate at which the flows are worth nothing today, from the lowest up.

    There may be none, and several where flows change sign more than once: then no rate alone says
    whether it pays, and the net present value must.
    """
    span = MOST_RATE - LEAST_RATE
    # Finer near -100 %, where a small step of the rate is a large one of the value.
    marks = [LEAST_RATE + span * Fraction(at, STEPS) ** 4 for at in range(STEPS + 1)]
    found: list[float] = []
    for low, high in pairwise(marks):
        a, b = net_present_value(low, flows), net_present_value(high, flows)
        if a == 0 and any(flows):
            found.append(float(low))
        elif a * b < 0:
            found.append(_between(low, high, flows))
    return tuple(found)


def _between(low: Fraction, high: Fraction, flows: Sequence[Amount]) -> float:
    """Return the rate between two of which one gains and one loses; they close in by halves."""
    falls = net_present_value(low, flows) > 0
    while high - low > FINE:
        middle = ((low + high) / 2).limit_denominator(10**12)
        if (net_present_value(middle, flows) > 0) == falls:
            low = middle
        else:
            high = middle
    return float((low + high) / 2)


def payback(flows: Sequence[Amount], rate: Amount = 0) -> Fraction | None:
    """Return after how many periods the flows have paid for themselves, parts of one in proportion.

    Args:
        flows: the first below zero.
        rate: 0 for the simple payback, else the discounted one.

    Returns:
        None if they never do.
    """
    grown = 1 + Fraction(rate)
    held = Fraction(0)
    for at, flow in enumerate(flows):
        worth = Fraction(flow) / grown**at
        if held < 0 <= held + worth:
            return at - 1 + -held / worth
        held += worth
    return Fraction(0) if held >= 0 and flows else None
