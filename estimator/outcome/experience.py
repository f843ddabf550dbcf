"""The learning curve: each doubling of how often a thing was done takes a share off its time.

Two forms are in use, and a figure means nothing without its form. In both, with the rate r (0.8 for
"an 80 % curve"), b = log2(r), a number below zero:

    cumulative average (Wright)   average of the first n = first x n^b
    unit time (Crawford)          time of the n-th       = first x n^b

Source: T. P. Wright, "Factors affecting the cost of airplanes", Journal of the Aeronautical
Sciences 3 (1936), 122-128; from memory. Floating numbers: hours, never money.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, log
from statistics import linear_regression

LEAST_TO_FIT = 3


def exponent(rate: float) -> float:
    """Return b of a rate, such as -0.322 of 0.8.

    Raises:
        ValueError: for a rate that is not above zero.
    """
    if rate <= 0:
        raise ValueError(f"{rate} is no learning rate")
    return log(rate) / log(2)


def by_the_curve(first: float, count: float, rate: float) -> float:
    """Return first x count^b: the average of so many, or the time of the last, by the form."""
    return first * float(count ** exponent(rate))


def total_of_averages(first: float, count: float, rate: float) -> float:
    """Return the time of all of the first `count`, where the averages follow the curve."""
    return count * by_the_curve(first, count, rate)


def increment_of_averages(first: float, before: float, count: float, rate: float) -> float:
    """Return the time of those after the first `before`, up to `count`, of such averages."""
    done = total_of_averages(first, before, rate) if before else 0.0
    return total_of_averages(first, count, rate) - done


def fitted(times: Sequence[float]) -> tuple[float, float]:
    """Return time of the first and rate of the unit form that lie nearest to times in their order.

    Least squares of the logarithms.

    Args:
        times: of the first, the second and so on; all above zero.

    Raises:
        ValueError: for fewer than three.
    """
    if len(times) < LEAST_TO_FIT:
        raise ValueError(f"{len(times)} times are too few for a curve")
    slope, start = linear_regression(
        [log(at) for at in range(1, len(times) + 1)], [log(each) for each in times])
    return exp(start), float(2**slope)
