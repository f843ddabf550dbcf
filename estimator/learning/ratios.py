"""How long tasks take against their norms: a likely ratio with its error, by few jobs.

A ratio is worked on as a logarithm, in which twice and half as long are alike far off. For task t
on job j

    log(actual / reckoned) = task's own + luck of the job + luck of the task on that job

- The luck of the job (crew, weather, customer) is the same for all tasks of that job. It is told
  apart, since it does not become less by looking at more tasks of the same jobs.
- A norm's mean is a mean of hours, and the mean of a log-normal variable lies above the exponential
  of its mean logarithm: half the variance is added, and the error of that as well (Cox's method).
  Without it a norm that is right would be lowered by some hundredths.
- The variance of few jobs is itself uncertain, so that of all tasks counts as `BEFOREHAND` jobs
  beside them.
- A covering or wall on which a task takes clearly longer or less long than on the others stands
  apart: the ratio of the task is that of its other jobs. Else one slow covering would raise the
  minutes of every roof.
- Tasks are pulled towards the mean of all tasks, the more the fewer jobs they have, and within a
  task the coverings or walls towards the task (`estimator.outcome.few_jobs.pulled_together`).

Sources: X.-H. Zhou and S. Gao, "Confidence intervals for the log-normal mean", Statistics in
Medicine 16 (1997), 783-790 (Cox's method); G. K. Smyth, "Linear models and empirical Bayes
methods for assessing differential expression", Statistical Applications in Genetics and Molecular
Biology 3 (2004), article 3 (moderated variance); from memory.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import exp, sqrt
from statistics import NormalDist, fmean

from estimator.learning.booked import Seen
from estimator.outcome.few_jobs import LEAST_TO_RANK, LIKELY, pulled_together

BEFOREHAND = 8  # jobs; common practice, no source
_FLOOR = 1e-6  # of a variance: a thousandth either way, where all jobs are alike

# Errors that a covering is off the others; 2.58 leave out one in a hundred by chance, and as there
# are several to try, a little more is asked for (common practice, no source).
_CLEARLY = 3.0

Unit = tuple[str, str]  # "task" or "group", and its name
Cells = dict[str, list[Seen]]


@dataclass(frozen=True, slots=True)
class Ratio:
    """Actual over reckoned hours of some jobs.

    Attributes:
        jobs: how many.
        log_measured: logarithm of the ratio of mean hours, of these jobs alone.
        log_likely: pulled towards the others; `error` is its standard error.
        weight: how much of the measured one is in the likely one.
    """

    jobs: int
    log_measured: float
    log_likely: float
    error: float
    weight: float

    @property
    def measured(self) -> float:
        """Return the ratio as measured."""
        return exp(self.log_measured)

    @property
    def likely(self) -> float:
        """Return the likely ratio."""
        return exp(self.log_likely)

    @property
    def enough(self) -> bool:
        """Return whether there are enough jobs to say anything."""
        return self.jobs >= LEAST_TO_RANK

    def interval(self, chance: float = LIKELY) -> tuple[float, float]:
        """Return between which ratios the true one lies with a chance."""
        half = NormalDist().inv_cdf((1 + chance) / 2) * self.error
        return exp(self.log_likely - half), exp(self.log_likely + half)

    def holds(self, ratio: float) -> bool:
        """Return whether the interval holds a ratio."""
        low, high = self.interval()
        return low <= ratio <= high


@dataclass(frozen=True)
class UnitRatio:
    """A task, or a group as a whole, and the coverings or walls it was done on, if several.

    Attributes:
        usual: of its jobs, those on coverings or walls that stand apart left out.
        apart: coverings and walls that stand apart.
    """

    known_by: str
    unit: str
    group: str
    usual: Ratio
    nests: Mapping[str, Ratio] = field(default_factory=dict)
    apart: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Luck:
    """Variances of the logarithm: of the task on the job, and of the job as a whole."""

    task: float
    job: float


def job_luck(seen: Sequence[Seen]) -> Luck:
    """Return how far tasks scatter on one job, and how far whole jobs do, by moments.

    The mean of each task on each covering or wall is taken off first; what n jobs then scatter is
    raised by n / (n - 1), and a job alone on its covering is left out. Within a job the rest
    scatters by the luck of the tasks alone; the job's mean of k tasks scatters by the luck of the
    job and a k-th of that.
    """
    by_job: dict[str, list[float]] = {}
    for cells in map(_cells, by_unit(seen).values()):
        for those in cells.values():
            if len(those) > 1:
                mean = fmean(each.log_ratio for each in those)
                raised = sqrt(len(those) / (len(those) - 1))
                for each in those:
                    by_job.setdefault(each.job, []).append(raised * (each.log_ratio - mean))
    free = sum(len(rest) - 1 for rest in by_job.values())
    if not free:
        return Luck(0.0, 0.0)
    task = sum((r - fmean(rest)) ** 2 for rest in by_job.values() for r in rest) / free
    job = fmean(fmean(rest) ** 2 - task / len(rest) for rest in by_job.values())
    return Luck(task, max(0.0, job))


def by_unit(seen: Sequence[Seen]) -> dict[Unit, list[Seen]]:
    """Return what was seen by task and by group as a whole, in order of name."""
    found: dict[Unit, list[Seen]] = {}
    for each in seen:
        found.setdefault((each.known_by, each.unit), []).append(each)
    return dict(sorted(found.items()))


def ratios(seen: Sequence[Seen]) -> tuple[UnitRatio, ...]:
    """Return the likely ratio of every task and group that was seen.

    Args:
        seen: at most one of a unit for each job.
    """
    cells = [_cells(those) for those in by_unit(seen).values()]
    if not cells:
        return ()
    luck, variances = job_luck(seen), _moderated(cells)
    apart = [_apart(each, variance) for each, variance in zip(cells, variances, strict=True)]
    usual = [[each.log_ratio for nest, those in cell.items() if nest not in out for each in those]
             for cell, out in zip(cells, apart, strict=True)]
    measured = [fmean(values) + variance / 2
                for values, variance in zip(usual, variances, strict=True)]
    own = [max(_FLOOR, variance - luck.job) / len(values) + _error_of_half(variance, len(values))
           for values, variance in zip(usual, variances, strict=True)]
    told = _pulled(measured, own, sqrt(fmean(variances)))
    return tuple(
        _unit(cell, variance, out, Ratio(
            len(values), mean, likely, sqrt(error**2 + luck.job / len(values)), weight))
        for cell, variance, out, values, mean, (likely, error, weight) in zip(
            cells, variances, apart, usual, measured, told, strict=True))


def _unit(cells: Cells, variance: float, apart: Sequence[str], usual: Ratio) -> UnitRatio:
    one = next(iter(cells.values()))[0]
    return UnitRatio(
        one.known_by, one.unit, one.group, usual, _nests(cells, variance), tuple(sorted(apart)))


def _cells(seen: Sequence[Seen]) -> Cells:
    """Return what was seen of a unit by covering or wall; "" are those of an unknown one."""
    found: Cells = {}
    for each in sorted(seen, key=lambda each: each.nest):
        found.setdefault(each.nest, []).append(each)
    return found


def _apart(cells: Cells, variance: float) -> list[str]:
    """Return the coverings or walls that differ clearly from all others, the clearest first.

    The one whose mean is the most errors away from that of the others is set apart, and then the
    next from those left; each side has enough jobs. Of two alone it is the one with fewer jobs.
    """
    apart: list[str] = []
    while True:
        left = {nest: [each.log_ratio for each in those] for nest, those in cells.items()
                if nest not in apart}
        told = [(_errors_away(left, nest, variance), -len(left[nest]), nest) for nest in left
                if nest]
        away, _, nest = max(told, default=(0.0, 0, ""))
        if away <= _CLEARLY:
            return apart
        apart.append(nest)


def _errors_away(left: Mapping[str, Sequence[float]], nest: str, variance: float) -> float:
    own = left[nest]
    others = [value for each, values in left.items() if each != nest for value in values]
    if min(len(own), len(others)) < LEAST_TO_RANK:
        return 0.0
    return abs(fmean(own) - fmean(others)) / sqrt(variance / len(own) + variance / len(others))


def _nests(cells: Cells, variance: float) -> dict[str, Ratio]:
    """Return the ratio by covering or wall; nothing where all are alike or unknown."""
    known = [(nest, [each.log_ratio for each in those]) for nest, those in cells.items() if nest]
    if len(known) < 2:
        return {}
    measured = [fmean(values) + variance / 2 for _, values in known]
    own = [variance / len(values) + _error_of_half(variance, len(values)) for _, values in known]
    return {nest: Ratio(len(values), mean, *told) for (nest, values), mean, told in zip(
        known, measured, _pulled(measured, own, sqrt(variance)), strict=True)}


def _pulled(means: Sequence[float], variances: Sequence[float], one_job: float
            ) -> list[tuple[float, float, float]]:
    """Return likely mean, error and weight of each; one alone is left as it is.

    Beforehand the means are held to lie about as far apart as one job does from another, or nearer.
    """
    if len(means) == 1:
        return [(means[0], sqrt(variances[0]), 1.0)]
    return pulled_together(means, variances, one_job)


def _moderated(units: Sequence[Cells]) -> list[float]:
    """Return the variance of one job by unit, that of all counting as some jobs beside its own."""
    logs = [[[each.log_ratio for each in those] for those in cells.values()] for cells in units]
    squares = [sum((value - fmean(values)) ** 2 for values in cells for value in values)
               for cells in logs]
    free = [sum(len(values) - 1 for values in cells) for cells in logs]
    pooled = max(_FLOOR, sum(squares) / sum(free)) if sum(free) else _FLOOR
    return [(BEFOREHAND * pooled + square) / (BEFOREHAND + each)
            for square, each in zip(squares, free, strict=True)]


def _error_of_half(variance: float, jobs: int) -> float:
    """Return the variance of half a variance, by Cox's method."""
    return variance**2 / (2 * (BEFOREHAND + jobs - 1))
