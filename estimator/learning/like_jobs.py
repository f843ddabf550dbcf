"""A new quote beside the finished jobs that are most like it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from statistics import median

from catalogue.money import Money
from estimator.learning.alike import Facts, Like
from estimator.learning.standing import Standing


@dataclass(frozen=True, slots=True)
class LikeJob:
    """A finished job: what it was reckoned at and what it came to.

    Attributes:
        hours, actual_hours: person-hours reckoned, and worked in all; `rework_hours` and
            `waiting_hours` are in the latter.
        cost, actual: reckoned without provisions for what may happen, and what it cost.
        variations: how many were agreed, and what they cost the firm.
    """

    like: Like
    title: str
    closed: date
    facts: Facts
    net: Money
    hours: float
    actual_hours: float
    rework_hours: float
    waiting_hours: float
    cost: Money
    actual: Money
    variations: int
    variation_cost: Money

    @property
    def hours_over(self) -> Fraction | None:
        """Return the hours worked over those reckoned, less one; None where none were worked."""
        if not self.hours or not self.actual_hours:
            return None
        return Fraction(self.actual_hours) / Fraction(self.hours) - 1

    @property
    def cost_over(self) -> Fraction | None:
        """Return the actual over the reckoned cost, less one; None where nothing is known of it."""
        if not self.cost.minor or not self.actual.minor:
            return None
        return Fraction(self.actual.minor, self.cost.minor) - 1


@dataclass(frozen=True)
class LikeJobs:
    """A new quote, the finished jobs most like it, and how its prices stand among the last ones.

    Attributes:
        revision: None for a survey that was not kept.
        cost: reckoned without provisions.
        finished: how many finished jobs were looked through.
    """

    job: str
    title: str
    revision: int | None
    facts: Facts
    net: Money
    hours: float
    cost: Money
    finished: int
    nearest: tuple[LikeJob, ...]
    standings: tuple[Standing, ...]

    @property
    def hours_over(self) -> Fraction | None:
        """Return the median of what the like jobs took over what was reckoned."""
        return _middle([each.hours_over for each in self.nearest])

    @property
    def cost_over(self) -> Fraction | None:
        """Return the median of what the like jobs cost over what was reckoned."""
        return _middle([each.cost_over for each in self.nearest])


def _middle(over: list[Fraction | None]) -> Fraction | None:
    known = [each for each in over if each is not None]
    return Fraction(median(known)) if known else None
