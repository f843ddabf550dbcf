"""Like with like: what each covering, wall, crew adds by itself, since no crew chooses its jobs.

A job's gap is taken to be the sum of what all jobs have in common, one effect for each thing that
is told of it (its covering, its wall, its crew), and its own scatter. All effects are fitted
together, so a crew that was given every slow covering is not charged with the covering. The effects
of one factor scatter round nothing, by an amount that nobody knows: each is pulled towards nothing
the more, the fewer jobs it has and the less the effects of its factor seem to scatter.

Beforehand that scatter is held to be half-Cauchy with the scatter of one job as scale, as in
`estimator.outcome.few_jobs`, which this agrees with where there is one factor. For the factor that
is told it is gone through value by value, each weighed by how well it explains the jobs; the
others stand at their likely value meanwhile.

Sources: C. R. Henderson, "Best linear unbiased estimation and prediction under a selection model",
Biometrics 31 (1975), 423-447, for effects fitted together; D. A. Harville, "Maximum likelihood
approaches to variance component estimation and to related problems", Journal of the American
Statistical Association 72 (1977), 320-338, for the restricted likelihood; A. Gelman, J. Hill, M.
Yajima, "Why we (usually) don't have to worry about multiple comparisons", Journal of Research on
Educational Effectiveness 5 (2012), 189-211, for judging pulled effects; from memory.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import pi, sqrt, tan
from statistics import NormalDist
from typing import Any

from estimator.outcome.few_jobs import LEAST_TO_RANK, LIKELY

POINTS = 60  # values of the scatter that are gone through
SWEEPS = 8  # rounds in which the likely scatters settle


@dataclass(frozen=True, slots=True)
class Cell:
    """Jobs that are alike in all that is told of them, by sums of their gap.

    Attributes:
        levels: one for each factor, in one order for all cells ("" is none or unknown).
        jobs: how many; above zero.
        total, squares: sum of the gaps of these jobs, and of their squares.
    """

    levels: tuple[str, ...]
    jobs: int
    total: float
    squares: float


@dataclass(frozen=True, slots=True)
class Effect:
    """What one level of a factor adds, held against the jobs of the other levels.

    Attributes:
        jobs: how many it has.
        raw: mean gap of these jobs, as it stands.
        alone: how much more it adds than the others, like with like, pulled; see the head of
            the module.
        error: its standard error.
        over, under: chance that it adds more than the limit, or less than minus the limit.
    """

    jobs: int
    raw: float
    alone: float
    error: float
    over: float
    under: float

    @property
    def ranked(self) -> bool:
        """Return whether there are enough jobs to rank it."""
        return self.jobs >= LEAST_TO_RANK

    def interval(self, chance: float = LIKELY) -> tuple[float, float]:
        """Return between which values it lies with a chance."""
        half = NormalDist().inv_cdf((1 + chance) / 2) * self.error
        return self.alone - half, self.alone + half


@dataclass(frozen=True, slots=True)
class Effects:
    """All effects that were fitted together.

    Attributes:
        jobs: how many there are.
        common: what all have in common.
        scatter: of one job.
        of: factor -> level -> its effect.
    """

    jobs: int
    common: float
    scatter: float
    of: Mapping[str, Mapping[str, Effect]]


def fitted(cells: Sequence[Cell], factors: Sequence[str], limit: float) -> Effects:
    """Return what each level of each factor adds by itself.

    Without scatter between jobs that are alike nothing is pulled or said to be likely: levels are
    then given as they stand.

    Args:
        cells: the jobs; at least one.
        factors: names, as many as each cell has levels.
        limit: from which on an effect matters; above zero.

    Raises:
        ValueError: if there are no cells, or levels and factors are not as many.
    """
    if not cells or any(len(cell.levels) != len(factors) for cell in cells):
        raise ValueError(f"{len(cells)} cells, and not in each a level of {', '.join(factors)}")
    levels = [sorted({cell.levels[at] for cell in cells}) for at in range(len(factors))]
    told = [(at, name) for at, names in enumerate(levels) if len(names) > 1 for name in names]
    sums = _Sums.of(cells, told)
    scatter = sums.scatter_of_jobs()
    settled = _settle(sums, scatter) if scatter else None
    of: dict[str, dict[str, Effect]] = {}
    for at, factor in enumerate(factors):
        whole = _whole(cells, at, levels[at])
        if settled is None or len(levels[at]) < 2:
            of[factor] = {
                name: Effect(jobs, total / jobs, 0.0, 0.0, 0.0, 0.0)
                for name, (jobs, total) in whole.items()}
            continue
        alone = _gone_through(sums, settled, at, limit)
        of[factor] = {
            name: Effect(whole[name][0], whole[name][1] / whole[name][0], *each)
            for name, each in zip(levels[at], alone, strict=True)}
    common = settled.common if settled else sum(cell.total for cell in cells) / sums.jobs
    return Effects(sums.jobs, common, settled.scatter if settled else 0.0, of)


def _whole(cells: Sequence[Cell], at: int, names: Sequence[str]
           ) -> dict[str, tuple[int, float]]:
    return {name: (sum(cell.jobs for cell in cells if cell.levels[at] == name),
                   sum(cell.total for cell in cells if cell.levels[at] == name))
            for name in names}


@dataclass(frozen=True)
class _Sums:
    """Normal equations of the fit: crossed counts, sums, squares; column 0 is what is common."""

    jobs: int
    counts: Any
    totals: Any
    squares: float
    within: float
    free: int
    factor_of: Any

    @classmethod
    def of(cls, cells: Sequence[Cell], told: Sequence[tuple[int, str]]) -> _Sums:
        import numpy as np

        design = np.array([[1.0, *(float(cell.levels[at] == name) for at, name in told)]
                           for cell in cells])
        jobs = np.array([float(cell.jobs) for cell in cells])
        totals = np.array([cell.total for cell in cells])
        squares = float(sum(cell.squares for cell in cells))
        return cls(
            int(jobs.sum()), design.T @ (design * jobs[:, None]), design.T @ totals, squares,
            max(0.0, squares - float((totals**2 / jobs).sum())), int(jobs.sum()) - len(cells),
            np.array([at for at, _ in told], dtype=int))

    def scatter_of_jobs(self) -> float:
        """Return a first value of the scatter of jobs that are alike; 0 if it shows none."""
        if self.free > 0:
            return sqrt(self.within / self.free)
        mean = float(self.totals[0]) / self.jobs
        spread = self.squares / self.jobs - mean * mean
        return sqrt(spread) if spread > 1e-15 else 0.0


@dataclass
class _Settled:
    """Likely scatter of one job and of the effects of each factor; what all have in common."""

    scatter: float
    between: dict[int, float]
    common: float = 0.0


def _settle(sums: _Sums, scatter: float) -> _Settled:
    """Return scatters that fit together: each factor's is likely, given those of the others."""
    import numpy as np

    state = _Settled(scatter, {int(at): scatter for at in np.unique(sums.factor_of)})
    for _ in range(SWEEPS):
        for at in state.between:
            tried, shares, _, _ = _tried(sums, state, at)
            middle = np.searchsorted(np.cumsum(shares), 0.5)
            state.between[at] = float(tried[min(int(middle), len(tried) - 1)])
        _, means, covers = _solved(sums, state.scatter, _scales(sums, state)[None, :])
        rest = (sums.squares - 2 * means[0] @ sums.totals + means[0] @ sums.counts @ means[0]
                + float((covers[0] * sums.counts).sum()))
        state.scatter = sqrt(max(float(rest) / sums.jobs, 1e-18))
        state.common = float(means[0][0])
    return state


def _scales(sums: _Sums, state: _Settled) -> Any:
    import numpy as np

    return np.array([state.between[int(at)] for at in sums.factor_of])


def _tried(sums: _Sums, state: _Settled, at: int) -> tuple[Any, Any, Any, Any]:
    """Return values of one factor's scatter, how likely each is, and the fit with each.

    The values each stand for an equal part of what is held beforehand.
    """
    import numpy as np

    tried = np.array([state.scatter * tan(pi * (point + 0.5) / (2 * POINTS))
                      for point in range(POINTS)])
    scales = np.where(sums.factor_of[None, :] == at, tried[:, None], _scales(sums, state)[None, :])
    likely, means, covers = _solved(sums, state.scatter, scales)
    shares = np.exp(likely - likely.max())
    return tried, shares / shares.sum(), means, covers


def _solved(sums: _Sums, scatter: float, scales: Any) -> tuple[Any, Any, Any]:
    """Return log-likelihood, effects and their covariance for each row of scatters of effects.

    The likelihood is the restricted one: what is common to all is integrated out. Terms that no
    scatter of effects changes are left out.
    """
    import numpy as np

    rows, width = scales.shape[0], len(sums.totals)
    held = np.zeros((rows, width))
    held[:, 1:] = 1 / scales**2
    system = sums.counts[None, :, :] / scatter**2 + held[:, None, :] * np.eye(width)[None, :, :]
    covers = np.linalg.inv(system)
    means = covers @ (sums.totals / scatter**2)
    _, size = np.linalg.slogdet(system)
    likely = (-np.log(scales).sum(axis=1) - size / 2
              + means @ (sums.totals / scatter**2) / 2)
    return likely, means, covers


def _gone_through(sums: _Sums, state: _Settled, at: int, limit: float
                  ) -> list[tuple[float, float, float, float]]:
    """Return effect, error, chance over and under the limit for each level of a factor."""
    import numpy as np

    _, shares, means, covers = _tried(sums, state, at)
    told = []
    for against in _against_the_others(sums, at):
        values = means @ against
        spreads = np.einsum("i,kij,j->k", against, covers, against)
        mean = float(shares @ values)
        error = sqrt(max(0.0, float(shares @ (values**2 + spreads)) - mean * mean))
        over = under = 0.0
        for share, value, spread in zip(shares, values, spreads, strict=True):
            law = NormalDist(float(value), sqrt(float(spread)))
            over += float(share) * (1 - law.cdf(limit))
            under += float(share) * law.cdf(-limit)
        told.append((mean, error, over, under))
    return told


def _against_the_others(sums: _Sums, at: int) -> list[Any]:
    """Return, by level of a factor, the weights that hold it against the jobs of the others."""
    import numpy as np

    columns = np.flatnonzero(sums.factor_of == at) + 1
    jobs = np.diag(sums.counts)
    found = []
    for column in columns:
        others = [each for each in columns if each != column]
        weights = np.zeros(len(jobs))
        weights[others] = -jobs[others] / jobs[others].sum()
        weights[column] = 1.0
        found.append(weights)
    return found
