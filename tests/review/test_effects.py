"""Effects fitted together, held to a brute-force posterior, least squares and made-up firms."""

from __future__ import annotations

import random
from itertools import product
from math import pi, sqrt, tan

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from estimator.review.effects import Cell, Effects, fitted

Jobs = list[tuple[tuple[str, ...], float]]


def cells_of(jobs: Jobs) -> list[Cell]:
    told = sorted({levels for levels, _ in jobs})
    return [Cell(levels, len(gaps), sum(gaps), sum(gap * gap for gap in gaps))
            for levels in told for gaps in [[gap for each, gap in jobs if each == levels]]]


def fit(jobs: Jobs, limit: float = 0.05) -> Effects:
    return fitted(cells_of(jobs), [f"factor {at}" for at in range(len(jobs[0][0]))], limit)


def some_jobs(seed: int, jobs: int, effects: tuple[dict[str, float], ...], scatter: float) -> Jobs:
    """Jobs whose levels are drawn at random, and whose gap is the sum of the effects and chance."""
    rng = random.Random(seed)
    made = []
    for _ in range(jobs):
        levels = tuple(rng.choice(sorted(factor)) for factor in effects)
        gap = sum(factor[level] for factor, level in zip(effects, levels, strict=True))
        made.append((levels, gap + rng.gauss(0.02, scatter)))
    return made


def posterior(jobs: Jobs, scatter: float, at: int, level: str, points: int = 16
              ) -> tuple[float, float]:
    """Mean and error of a level against the others, by brute force.

    Every pair of scatters of effects is tried, half-Cauchy beforehand, each weighed by the density
    of all jobs under its own covariance of jobs (scipy); the effects then follow as conditional
    means of a normal. Shares no step with the module: no cells, no normal equations, no sweeps.
    """
    gaps = np.array([gap for _, gap in jobs])
    names = [(factor, name) for factor in (0, 1)
             for name in sorted({each[factor] for each, _ in jobs})]
    shown = np.array([[float(each[factor] == name) for factor, name in names] for each, _ in jobs])
    count = {name: sum(each[at] == name for each, _ in jobs)
             for factor, name in names if factor == at}
    others = len(jobs) - count[level]
    against = np.array([
        0.0 if factor != at else 1.0 if name == level else -count[name] / others
        for factor, name in names])
    tried = [scatter * tan(pi * (point + 0.5) / (2 * points)) for point in range(points)]
    shares, means, spreads = [], [], []
    for pair in product(tried, tried):
        prior = np.diag([pair[factor] ** 2 for factor, _ in names])
        # What is common to all may be anything: a variance far above all others.
        cover = shown @ prior @ shown.T + scatter**2 * np.eye(len(jobs)) + 100.0
        shares.append(multivariate_normal.logpdf(gaps, np.zeros(len(jobs)), cover))
        gain = prior @ shown.T @ np.linalg.inv(cover)
        means.append(against @ gain @ gaps)
        spreads.append(against @ (prior - gain @ shown @ prior) @ against)
    weights = np.exp(np.array(shares) - max(shares))
    weights /= weights.sum()
    mean = float(weights @ np.array(means))
    return mean, sqrt(float(weights @ (np.array(spreads) + np.array(means) ** 2)) - mean**2)


@pytest.mark.parametrize("effects", [
    ({"tile": 0.0, "slate": 0.3, "metal": 0.05}, {"A": 0.0, "B": 0.1, "C": 0.0}),
    ({"tile": 0.0, "slate": 0.0, "metal": 0.0}, {"A": 0.0, "B": 0.25}),
])
def test_effects_are_those_of_a_brute_force_posterior(
    effects: tuple[dict[str, float], ...]
) -> None:
    """The module holds the other factor's scatter at its likely value; that is worth a tenth of an
    error here, and the errors a tenth too."""
    jobs = some_jobs(11, 24, effects, 0.2)
    found = fit(jobs)
    for at in (0, 1):
        for level, effect in found.of[f"factor {at}"].items():
            mean, error = posterior(jobs, found.scatter, at, level)
            assert effect.alone == pytest.approx(mean, abs=0.1 * error)
            assert effect.error == pytest.approx(error, rel=0.1)


def test_effects_of_many_jobs_are_those_of_least_squares() -> None:
    jobs = some_jobs(3, 4000, ({"a": 0.0, "b": 0.2, "c": -0.1}, {"x": 0.0, "y": 0.15}), 0.1)
    design = np.array([[1.0, each[0] == "b", each[0] == "c", each[1] == "y"] for each, _ in jobs])
    solved = np.linalg.lstsq(design, np.array([gap for _, gap in jobs]), rcond=None)[0]
    found = fit(jobs)
    assert found.of["factor 1"]["y"].alone == pytest.approx(solved[3], abs=1e-3)
    count = {name: sum(each[0] == name for each, _ in jobs) for name in "abc"}
    # "b" against the jobs of "a" (0 by coding) and "c".
    against = solved[1] - solved[2] * count["c"] / (count["a"] + count["c"])
    assert found.of["factor 0"]["b"].alone == pytest.approx(against, abs=1e-3)


def test_jobs_without_scatter_are_given_as_they_stand() -> None:
    found = fit([(("A",), 0.1), (("A",), 0.1), (("B",), 0.3)])
    assert [(each.raw, each.alone, each.over) for each in found.of["factor 0"].values()] == [
        (pytest.approx(0.1), 0, 0), (pytest.approx(0.3), 0, 0)]


def test_a_factor_of_one_level_has_nothing_to_be_held_against() -> None:
    found = fit([(("A", "x"), 0.1), (("A", "y"), 0.2), (("A", "y"), 0.3)])
    assert found.of["factor 0"]["A"].alone == 0
    assert found.of["factor 0"]["A"].raw == pytest.approx(0.2)


def test_cells_and_factors_must_agree() -> None:
    with pytest.raises(ValueError, match="crew"):
        fitted([Cell(("A", "x"), 1, 0.1, 0.01)], ["crew"], 0.05)
    with pytest.raises(ValueError, match="0 cells"):
        fitted([], ["crew"], 0.05)


def test_a_crew_with_the_slow_coverings_is_not_charged_with_them() -> None:
    """Thirty made-up firms of 150 jobs: slate takes a quarter longer, and crew C has most of it."""
    found = accused = 0
    for seed in range(30):
        rng = random.Random(seed)
        jobs: Jobs = []
        for _ in range(150):
            crew = rng.choice("ABC")
            often = (1, 2, 7) if crew == "C" else (5, 4, 1)
            covering = rng.choices(("tile", "pantile", "slate"), often)[0]
            jobs.append(((covering, crew), rng.gauss(0.22 if covering == "slate" else 0.0, 0.2)))
        of = fit(jobs).of
        found += of["factor 0"]["slate"].over > 0.95
        accused += any(each.over > 0.95 for each in of["factor 1"].values())
    assert found >= 27
    assert accused <= 1
