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
LEAST_RATE, MOST_RATE = -0.999, 100.0
STEPS = 400  # in which the range is searched for changes of sign
HALVINGS = 60  # of one step, down to the last digit of a floating number


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
    whether it pays, and the net present value must. Rates are floating numbers.
    """
    plain = [float(flow) for flow in flows]
    span = MOST_RATE - LEAST_RATE
    # Finer near -100 %, where a small step of the rate is a large one of the value.
    marks = [LEAST_RATE + span * (at / STEPS) ** 4 for at in range(STEPS + 1)]
    found: list[float] = []
    for low, high in pairwise(marks):
        a, b = _value(low, plain), _value(high, plain)
        if a == 0 and any(plain):
            found.append(low)
        elif a * b < 0:
            found.append(_between(low, high, plain))
    return tuple(found)


def _value(rate: float, flows: Sequence[float]) -> float:
    """Return the net present value times (1 + rate)^(periods / 2), whose sign is the same.

    So neither end of long flows outgrows the other at rates far from nought.
    """
    middle = (len(flows) - 1) / 2
    return sum(flow * float((1 + rate) ** (middle - at)) for at, flow in enumerate(flows))


def _between(low: float, high: float, flows: Sequence[float]) -> float:
    """Return the rate between two of which one gains and one loses; they close in by halves."""
    falls = _value(low, flows) > 0
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if (_value(middle, flows) > 0) == falls:
            low = middle
        else:
            high = middle
    return (low + high) / 2


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
