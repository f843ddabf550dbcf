"""What may be said of few jobs: a share with its interval, a group's mean pulled towards all.

A firm finishes a hundred jobs in a year, and a wall or a crew has a handful of them. So nothing is
ranked below `LEAST_TO_RANK` jobs, a share comes with Wilson's interval, and a mean is shrunk: it
counts for the more, the more jobs it has and the less they scatter.

Sources: E. B. Wilson, "Probable inference, the law of succession, and statistical inference",
Journal of the American Statistical Association 22 (1927), 209-212; A. Gelman, J. Carlin, H. Stern,
D. Dunson, A. Vehtari, D. Rubin, "Bayesian Data Analysis", section 5.4, for groups whose true means
scatter normally; A. Gelman, "Prior distributions for variance parameters in hierarchical models",
Bayesian Analysis 1 (2006), 515-534, for what is held of that scatter beforehand; from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import exp, log, pi, sqrt, tan
from statistics import NormalDist, fmean, variance

LEAST_TO_RANK = 8  # common practice, no source: fewer jobs are stories, not a rank
LIKELY = 0.95


def wilson(hits: int, tries: int, chance: float = LIKELY) -> tuple[float, float]:
    """Return between which shares the true one lies with a chance.

    Args:
        hits: such as quotes that were won.
        tries: such as quotes that were answered.
        chance: of the interval, above 0 and below 1.

    Raises:
        ValueError: if there are more hits than tries, or no tries.
    """
    if not 0 <= hits <= tries or not tries:
        raise ValueError(f"{hits} of {tries} is no share")
    z = NormalDist().inv_cdf((1 + chance) / 2)
    share, square = hits / tries, z * z
    middle = (share + square / (2 * tries)) / (1 + square / tries)
    half = z * sqrt(share * (1 - share) / tries + square / (4 * tries * tries)) / (
        1 + square / tries)
    return max(0.0, middle - half), min(1.0, middle + half)


@dataclass(frozen=True, slots=True)
class GroupMean:
    """The mean of one group, as measured and as shrunk.

    Attributes:
        jobs: how many it has.
        mean: of them.
        shrunk: what the next job of the group is likely to come to.
        error: standard error of `shrunk`.
        weight: how much of `mean` is in `shrunk`; the rest is the mean of all groups.
    """

    jobs: int
    mean: float
    shrunk: float
    error: float
    weight: float

    @property
    def ranked(self) -> bool:
        """Return whether there are enough jobs to rank it."""
        return self.jobs >= LEAST_TO_RANK

    def interval(self, chance: float = LIKELY) -> tuple[float, float]:
        """Return between which values the group's true mean lies with a chance."""
        half = NormalDist().inv_cdf((1 + chance) / 2) * self.error
        return self.shrunk - half, self.shrunk + half


def shrunk_means(groups: Mapping[str, Sequence[float]]) -> dict[str, GroupMean]:
    """Return the mean of each group, shrunk towards that of all.

    Jobs are taken to scatter alike within their groups (the pooled variance, taken as known), and
    the true means of the groups to scatter round the mean of all. One group alone, and groups whose
    jobs show no scatter (each has one, or all are alike), are left as they are.

    Args:
        groups: name -> value of each job, such as margin, or log of actual to reckoned hours.

    Raises:
        ValueError: for a group without jobs.
    """
    if empty := sorted(name for name, values in groups.items() if not values):
        raise ValueError(f"no jobs: {', '.join(empty)}")
    within = pooled_variance(groups.values())
    sizes = [len(values) for values in groups.values()]
    means = [fmean(values) for values in groups.values()]
    if len(groups) == 1 or not within:
        return {name: GroupMean(n, mean, mean, sqrt(within / n), 1.0)
                for name, n, mean in zip(groups, sizes, means, strict=True)}
    told = pulled_together(means, [within / n for n in sizes], sqrt(within))
    return {name: GroupMean(n, mean, *each)
            for name, n, mean, each in zip(groups, sizes, means, told, strict=True)}


def pulled_together(
    means: Sequence[float], variances: Sequence[float], scale: float, points: int = 400
) -> list[tuple[float, float, float]]:
    """Return likely true mean, its standard error and the weight of the measured mean, by group.

    The scatter between the groups is not put at one estimate, which would make the errors too
    small, but at every value, each by how well it explains the means; beforehand it is held to be
    half-Cauchy, nearly as likely anywhere below the scale.

    Args:
        means: measured mean of each group.
        variances: of each of these means; above zero.
        scale: of the scatter between groups, such as that of one job.
        points: how many values of the scatter are tried.
    """
    # At these values, each stands for an equal part of what is held beforehand.
    scatters = [scale * tan(pi * (point + 0.5) / (2 * points)) for point in range(points)]
    fits = [_fit(means, variances, scatter * scatter) for scatter in scatters]
    best = max(log_likelihood for log_likelihood, _, _ in fits)
    shares = [exp(log_likelihood - best) for log_likelihood, _, _ in fits]
    whole = sum(shares)
    told = []
    for mean, own in zip(means, variances, strict=True):
        first = second = weights = 0.0
        for scatter, share, (_, middle, error) in zip(scatters, shares, fits, strict=True):
            weight = scatter**2 / (scatter**2 + own)
            likely = weight * mean + (1 - weight) * middle
            first += share * likely
            second += share * (likely**2 + weight * own + (1 - weight) ** 2 * error)
            weights += share * weight
        likely = first / whole
        told.append((likely, sqrt(max(0.0, second / whole - likely**2)), weights / whole))
    return told


def _fit(means: Sequence[float], variances: Sequence[float], between: float
         ) -> tuple[float, float, float]:
    """Return, for one scatter between groups, its log-likelihood, the mean of all, its variance."""
    spread = [between + each for each in variances]
    error = 1 / sum(1 / each for each in spread)
    middle = error * sum(mean / each for mean, each in zip(means, spread, strict=True))
    misfit = sum(log(each) + (mean - middle) ** 2 / each
                 for mean, each in zip(means, spread, strict=True))
    return (log(error) - misfit) / 2, middle, error


def pooled_variance(groups: Iterable[Sequence[float]]) -> float:
    """Return how much jobs scatter round the mean of their group; 0 if no group has two."""
    listed = list(groups)
    free = sum(len(values) - 1 for values in listed)
    if not free:
        return 0.0
    return sum(variance(values) * (len(values) - 1)
               for values in listed if len(values) > 1) / free
