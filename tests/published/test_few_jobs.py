"""Shares, shrunk means and their intervals, against a general-purpose statistics library.

SciPy reckons Wilson's interval (`binomtest(...).proportion_ci(method="wilson")`), the one-way
analysis of variance (`f_oneway`) and integrals.
"""

from __future__ import annotations

import random
from math import isclose, sqrt
from statistics import fmean, variance

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from estimator.outcome.few_jobs import pooled_variance, pulled_together, shrunk_means, wilson


@pytest.mark.parametrize(("hits", "tries"), [
    (0, 1), (1, 1), (3, 7), (8, 10), (40, 150), (399, 400)])
@pytest.mark.parametrize("chance", [0.8, 0.95, 0.99])
def test_the_interval_of_a_share_is_the_library_s(hits: int, tries: int, chance: float) -> None:
    theirs = stats.binomtest(hits, tries).proportion_ci(chance, method="wilson")
    assert wilson(hits, tries, chance) == pytest.approx((theirs.low, theirs.high), abs=1e-12)


def test_the_interval_of_a_published_share() -> None:
    # R. G. Newcombe, "Two-sided confidence intervals for the single proportion", Statistics in
    # Medicine 17 (1998), 857-872, table I, from memory: 81 of 263 gives 0.2553 to 0.3662.
    low, high = wilson(81, 263)
    assert (round(low, 4), round(high, 4)) == (0.2553, 0.3662)


def test_no_tries_are_no_share() -> None:
    with pytest.raises(ValueError, match="0 of 0"):
        wilson(0, 0)


def drawn(seed: int, groups: int, size: int, apart: float) -> dict[str, list[float]]:
    source = random.Random(seed)
    return {f"g{number}": [mean + source.gauss(0, 1) for _ in range(size)]
            for number in range(groups) for mean in [source.gauss(0, apart)]}


@pytest.mark.parametrize("seed", range(10))
def test_the_scatter_within_groups_is_that_of_the_analysis_of_variance(seed: int) -> None:
    groups = drawn(seed, 6, 5, 1.5)
    f = stats.f_oneway(*groups.values()).statistic
    between = 5 * variance([fmean(each) for each in groups.values()])
    assert pooled_variance(groups.values()) == pytest.approx(between / f)


def test_eight_schools_are_pulled_together_as_published() -> None:
    # D. B. Rubin, "Estimation in parallel randomized experiments", J. of Educational Statistics
    # 6 (1981), 377-401, as worked in Gelman and others, "Bayesian Data Analysis", table 5.3, from
    # memory: effects and their standard errors; then median and quartiles of the true effects, by
    # simulation. Of a wide scale the half-Cauchy is flat, as it is there.
    effects = [28, 8, -3, 7, -1, 1, 18, 12]
    errors = [15, 10, 16, 11, 9, 11, 10, 18]
    published = [(7, 10, 16), (3, 8, 12), (2, 7, 11), (4, 8, 11), (1, 5, 10), (2, 6, 10),
                 (7, 10, 15), (3, 8, 13)]
    told = pulled_together(effects, [each**2 for each in errors], 1_000, points=20_000)
    for (likely, error, _), (low, median, high) in zip(told, published, strict=True):
        assert likely == pytest.approx(median, abs=2)  # a mean, rounded, of a skew distribution
        assert 1.35 * error == pytest.approx(high - low, abs=3.5)  # rounded


@pytest.mark.parametrize("seed", range(3))
def test_likely_means_and_their_errors_are_those_of_a_plain_integration(seed: int) -> None:
    # SciPy integrates over the scatter between the groups on its own.
    source = random.Random(seed)
    means = [source.gauss(0, 1) for _ in range(4)]
    variances = [source.uniform(0.1, 2) for _ in range(4)]

    def density(scatter: float) -> float:
        spread = [scatter**2 + each for each in variances]
        error = 1 / sum(1 / each for each in spread)
        middle = error * sum(m / s for m, s in zip(means, spread, strict=True))
        fit = np.prod([stats.norm.pdf(m, middle, s**0.5)
                       for m, s in zip(means, spread, strict=True)])
        return float(stats.halfcauchy.pdf(scatter, scale=1.5) * error**0.5 * fit)

    def likely(scatter: float, number: int) -> float:
        spread = [scatter**2 + each for each in variances]
        middle = sum(m / s for m, s in zip(means, spread, strict=True)) / sum(
            1 / s for s in spread)
        weight = scatter**2 / spread[number]
        return density(scatter) * (weight * means[number] + (1 - weight) * middle)

    def squared(scatter: float, number: int) -> float:
        spread = [scatter**2 + each for each in variances]
        error = 1 / sum(1 / s for s in spread)
        middle = error * sum(m / s for m, s in zip(means, spread, strict=True))
        weight = scatter**2 / spread[number]
        mean = weight * means[number] + (1 - weight) * middle
        return density(scatter) * (
            mean**2 + weight * variances[number] + (1 - weight) ** 2 * error)

    whole = integrate.quad(density, 0, np.inf)[0]
    told = pulled_together(means, variances, 1.5)
    for number in range(4):
        theirs = integrate.quad(likely, 0, np.inf, args=(number,))[0] / whole
        assert told[number][0] == pytest.approx(theirs, abs=1e-3)
        second = integrate.quad(squared, 0, np.inf, args=(number,))[0] / whole
        assert told[number][1] == pytest.approx((second - theirs**2) ** 0.5, abs=1e-3)


def test_shrinking_errs_less_than_the_measured_means_and_the_intervals_hold() -> None:
    source = random.Random(7)
    measured_error = shrunk_error = 0.0
    inside = tried = 0
    for _ in range(300):
        truths = [source.gauss(0.1, 0.3) for _ in range(10)]
        groups = {str(number): [truth + source.gauss(0, 1) for _ in range(source.randint(2, 12))]
                  for number, truth in enumerate(truths)}
        for truth, told in zip(truths, shrunk_means(groups).values(), strict=True):
            measured_error += (told.mean - truth) ** 2
            shrunk_error += (told.shrunk - truth) ** 2
            low, high = told.interval(0.8)
            inside += low <= truth <= high
            tried += 1
    assert shrunk_error < 0.6 * measured_error
    assert 0.75 < inside / tried < 0.85  # of 3,000 drawn, 0.8 is meant


def test_one_group_alone_and_groups_of_one_job_are_left_as_they_are() -> None:
    alone = shrunk_means({"slate": [0.1, 0.3]})["slate"]
    assert (alone.shrunk, alone.weight) == (0.2, 1.0)
    assert isclose(alone.error, sqrt(0.02 / 2))
    assert shrunk_means({"slate": [0.1], "tile": [0.3]})["tile"].shrunk == 0.3


def test_a_handful_of_jobs_is_not_ranked() -> None:
    told = shrunk_means({"few": [0.1] * 7, "enough": [0.2, 0.3] * 4})
    assert (told["few"].ranked, told["enough"].ranked) == (False, True)


@given(st.dictionaries(
    st.text(min_size=1, max_size=3), st.lists(st.floats(-10, 10), min_size=1, max_size=6),
    min_size=1, max_size=6))
def test_a_shrunk_mean_lies_between_the_least_and_the_largest_mean(
    groups: dict[str, list[float]]
) -> None:
    told = shrunk_means(groups)
    least, most = (pick(each.mean for each in told.values()) for pick in (min, max))
    assert all(least - 1e-9 <= each.shrunk <= most + 1e-9 for each in told.values())
