"""How ratios of actual to reckoned hours are written out."""

from __future__ import annotations

from estimator.learning.proposals import NormFound
from estimator.learning.ratios import Ratio
from estimator.outcome.few_jobs import GroupMean


def times(ratio: float) -> str:
    """Return a ratio: 1.18 x."""
    return f"{ratio:.2f} x"


def interval(told: Ratio | GroupMean) -> str:
    """Return between which ratios the true one lies: 1.09 to 1.28."""
    from math import exp

    low, high = told.interval()
    if isinstance(told, GroupMean):  # of logarithms
        low, high = exp(low), exp(high)
    return f"{low:.2f} to {high:.2f}"


def how_many(jobs: int) -> str:
    """Return a number of jobs: "24 jobs"."""
    return f"{jobs} job{'' if jobs == 1 else 's'}"


def known_by(each: NormFound) -> str:
    """Return how the hours of a norm are known: by the task, or by its group as a whole."""
    if each.known_by == "task":
        return "hours booked by task"
    on = f" on {each.nest}" if each.nest else ""
    return f"hours booked for all of '{each.norm.group}'{on} alone"
