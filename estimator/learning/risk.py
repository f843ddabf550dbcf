"""The spread of a job's cost by simulation: what it will not exceed, and the chance of a loss.

The simulation is in floating point and says nothing about a price that was quoted; an amount that
it yields is raised to a whole minor unit, against the firm.

Source of the error of a quantile: its rank among the sorted results is binomial, so the results one
standard deviation of that to either side hold it (H. A. David and H. N. Nagaraja, "Order
Statistics", section 7.1; from memory).
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from math import ceil, sqrt
from statistics import fmean, stdev

from catalogue.money import Money
from estimator.learning.draws import Draws
from estimator.learning.uncertain_cost import UncertainCost
from estimator.outcome.few_jobs import wilson

RUNS, LEAST_RUNS, MOST_RUNS = 20_000, 1_000, 1_000_000
SEED = 1
CHANCE = 0.10  # of a loss, for which a price is told unless another is asked for
LEVELS = (0.10, 0.50, 0.80, 0.90)
_PIECE = 1_000  # runs between two signs of life
_FINEST = 6  # places of a minor unit that count: beyond them machines differ in the last bit


@dataclass(frozen=True)
class Simulated:
    """What the job cost in each run, in minor units, the cheapest first; two runs at least."""

    costs: tuple[float, ...]
    seed: int
    currency: str

    @property
    def runs(self) -> int:
        """Return how often it was run."""
        return len(self.costs)

    @cached_property
    def mean(self) -> float:
        """Return the mean, in minor units."""
        return fmean(self.costs)

    @cached_property
    def sd(self) -> float:
        """Return the standard deviation, in minor units."""
        return stdev(self.costs, self.mean)

    def quantile(self, share: float) -> float:
        """Return the least result that at least this share of all do not exceed, in minor units.

        Raises:
            ValueError: if the share is not above 0 and below 1.
        """
        return self.costs[self._rank(share)]

    def error(self, share: float) -> float:
        """Return the standard error of a quantile, in minor units."""
        reach = sqrt(share * (1 - share) * self.runs)
        middle = self._rank(share)
        low, high = max(0, int(middle - reach)), min(self.runs - 1, ceil(middle + reach))
        return (self.costs[high] - self.costs[low]) / 2

    def _rank(self, share: float) -> int:
        if not 0 < share < 1:
            raise ValueError(f"{share} is not above 0 and below 1")
        return max(0, ceil(round(share * self.runs, _FINEST)) - 1)

    def at_most(self, share: float) -> Money:
        """Return what this share of jobs do not exceed, raised to a whole minor unit."""
        return Money(_raised(self.quantile(share)), self.currency)

    def losses(self, price: Money) -> int:
        """Return in how many runs the job cost more than a price before tax.

        Raises:
            ValueError: if the price is in another currency.
        """
        if price.currency != self.currency:
            raise ValueError(f"{price.currency} and {self.currency} do not mix")
        return self.runs - bisect_right(self.costs, price.minor + 10.0**-_FINEST)

    def chance_of_loss(self, price: Money) -> tuple[float, float, float]:
        """Return the chance of a loss at a price, and between which it lies (Wilson, 95 %)."""
        losses = self.losses(price)
        return (losses / self.runs, *wilson(losses, self.runs))

    def price_for(self, chance: float, step_minor: int = 1) -> Money:
        """Return the least price, in whole steps, with no more than this chance of a loss."""
        return self.at_most(1 - chance).up_to_step(step_minor)

    def picture(self, bars: int) -> tuple[tuple[float, float, int], ...]:
        """Return how many runs lie in each of so many ranges of one width.

        The dearest and the cheapest run in two hundred lie in the last and the first range.
        """
        low, high = self.quantile(0.005), self.quantile(0.995)
        width = (high - low) / bars
        if not width:
            return ((low, high, self.runs),)
        ends = [bisect_right(self.costs, low + width * (bar + 1)) for bar in range(bars - 1)]
        counts = [after - before for before, after in zip([0, *ends], [*ends, self.runs],
                                                          strict=True)]
        return tuple((low + width * bar, low + width * (bar + 1), count)
                     for bar, count in enumerate(counts))


def simulated(
    cost: UncertainCost, currency: str, seed: int = SEED, runs: int = RUNS,
    tell: Callable[[int, int], None] = lambda done, of: None,
) -> Simulated:
    """Return what a job costs in so many runs.

    Args:
        cost: what of it is uncertain.
        seed: the same seed gives the same results.
        tell: called now and then with how many runs are done, and of how many.

    Raises:
        ValueError: for fewer than two runs.
    """
    if runs < 2:
        raise ValueError("a spread takes two runs at least")
    drawn, once, costs = Draws(seed), _Once(cost), []
    for run in range(runs):
        if run % _PIECE == 0:
            tell(run, runs)
        costs.append(once.drawn(drawn))
    tell(runs, runs)
    return Simulated(tuple(sorted(costs)), seed, currency)


class _Once:
    """One run of a job; what does not change between runs is worked out once."""

    def __init__(self, cost: UncertainCost) -> None:
        self.cost = cost
        drawn = [task for task in cost.tasks if task.high > task.low]
        self.set_hours = sum(task.low for task in cost.tasks if task.high <= task.low)
        self.tasks = [(task.low, task.high - task.low, *task.shape) for task in drawn]
        self.risks = [(risk.chance, risk.cost_minor) for risk in cost.risks]
        self.ranges = [(each.low_minor, each.high_minor - each.low_minor) for each in cost.ranges]

    def drawn(self, draws: Draws) -> float:
        """Return the cost of one run; the draws come in the order of the fields."""
        factor = draws.factor(self.cost.factor_spread)
        hours = self.set_hours
        for low, width, first, second in self.tasks:
            hours += low + width * draws.beta(first, second)
        total = self.cost.sure_minor + self.cost.hour_minor * hours * factor
        for chance, amount in self.risks:
            total += amount if draws.happens(chance) else 0
        for least, wide in self.ranges:
            total += least + wide * draws.share()
        return total


def _raised(minor: float) -> int:
    """Return a float raised to a whole number, unless it is one but for the last bits."""
    return ceil(round(minor, _FINEST))
