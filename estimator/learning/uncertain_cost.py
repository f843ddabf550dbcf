"""What of a job's cost is uncertain, and mean and spread of it in closed form.

    cost = what is sure + rate x hours + risks that happen + what prices and answers add
    hours = job factor x sum of the tasks

- A task has three points. Its hours are drawn from a beta distribution between low and high whose
  mean is (low + 4 likely + high) / 6 and whose standard deviation is (high - low) / 6: the figures
  that the quote is priced with (`estimator.labour.hours`). A triangle over the same points would
  have another mean, and the simulated job would cost otherwise than the quoted one. All units of a
  task share one draw: the same wall is the same luck.
- The job factor, common to all tasks, is log-normal with mean 1: it is never below zero and swings
  further to the dear side (common practice, no source). It is so wide that the hours have the
  standard deviation of the quote, in which the factor acts on their mean.
- An open risk happens or not. A price or an answer may come anywhere between two amounts, all alike
  likely: nobody knows better (common practice, no source).

Not in it: a further journey that longer hours may need, return visits (their provision is sure),
a customer who does not pay. All that is drawn is independent of all else but for the job factor.

Source of the beta distribution of a task: D. G. Malcolm, J. H. Roseboom, C. E. Clark, W. Fazar,
"Application of a technique for research and development program evaluation", Operations Research 7
(1959), 646-669; from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from math import log, sqrt

HOURS, RISKS, PRICES, ANSWERS = SOURCES = ("hours", "open risks", "prices", "open questions")


@dataclass(frozen=True, slots=True)
class TaskHours:
    """A task by its person-hours: low at most likely, likely at most high."""

    name: str
    low: float
    likely: float
    high: float

    @property
    def mean(self) -> float:
        """Return (low + 4 likely + high) / 6."""
        return (self.low + 4 * self.likely + self.high) / 6

    @property
    def sd(self) -> float:
        """Return (high - low) / 6."""
        return (self.high - self.low) / 6

    @property
    def shape(self) -> tuple[float, float]:
        """Return the two parameters of the beta distribution of that mean and deviation.

        With m the mean as a share of the way from low to high, and v = 1/36 the variance as a share
        of its square: k = m (1 - m) / v - 1, then m k and (1 - m) k.

        Raises:
            ZeroDivisionError: if low and high are the same.
        """
        share = (self.mean - self.low) / (self.high - self.low)
        weight = 36 * share * (1 - share) - 1
        return share * weight, (1 - share) * weight


@dataclass(frozen=True, slots=True)
class OpenRisk:
    """Something that may happen, and what it then costs, in minor units."""

    name: str
    chance: float
    cost_minor: int


@dataclass(frozen=True, slots=True)
class Between:
    """An amount that lies between two, in minor units; `source` is prices or open questions."""

    name: str
    source: str
    low_minor: float
    high_minor: float

    @property
    def mean(self) -> float:
        """Return the middle."""
        return (self.low_minor + self.high_minor) / 2

    @property
    def variance(self) -> float:
        """Return the variance of an amount that is anywhere in between alike likely."""
        return (self.high_minor - self.low_minor) ** 2 / 12


@dataclass(frozen=True)
class UncertainCost:
    """The cost of one job.

    Attributes:
        sure_minor: what it costs in any case.
        tasks: person-hours of each.
        job_cv: how far whole jobs swing: standard deviation of the hours that is common to all
            tasks, over the mean of all hours.
        hour_minor: cost of a person-hour with its overhead, in minor units.
        risks, ranges: what may come on top, or below where a price may fall.
    """

    sure_minor: int
    tasks: tuple[TaskHours, ...] = ()
    job_cv: float = 0.0
    hour_minor: float = 0.0
    risks: tuple[OpenRisk, ...] = ()
    ranges: tuple[Between, ...] = ()

    @cached_property
    def mean_hours(self) -> float:
        """Return the mean of the hours."""
        return sum(task.mean for task in self.tasks)

    @cached_property
    def factor_spread(self) -> float:
        """Return the standard deviation of the logarithm of the job factor.

        Its coefficient of variation is c = cv x mean / sqrt(mean squared + V), where V sums the
        variances of the tasks: so the product of factor and tasks has the variance
        V + (cv x mean) squared of the quote's hours. Then the spread is sqrt(ln(1 + c squared)).
        """
        if not self.mean_hours or not self.job_cv:
            return 0.0
        squared = (self.job_cv * self.mean_hours) ** 2 / (self.mean_hours**2 + self._own_variance)
        return sqrt(log(1 + squared))

    @cached_property
    def _own_variance(self) -> float:
        return sum(task.sd**2 for task in self.tasks)

    @cached_property
    def variances(self) -> Mapping[str, float]:
        """Return the variance of the cost by its source, in minor units squared; they add up."""
        swing = (self.job_cv * self.mean_hours) ** 2
        by_source = dict.fromkeys(SOURCES, 0.0)
        by_source[HOURS] = (self._own_variance + swing) * self.hour_minor**2
        by_source[RISKS] = sum(
            risk.chance * (1 - risk.chance) * risk.cost_minor**2 for risk in self.risks)
        for each in self.ranges:
            by_source[each.source] += each.variance
        return by_source

    @cached_property
    def mean_minor(self) -> float:
        """Return the mean of the cost, in minor units."""
        return (self.sure_minor + self.hour_minor * self.mean_hours
                + sum(risk.chance * risk.cost_minor for risk in self.risks)
                + sum(each.mean for each in self.ranges))

    @cached_property
    def sd_minor(self) -> float:
        """Return the standard deviation of the cost, in minor units."""
        return sqrt(sum(self.variances.values()))
