"""The spread of a cost against closed forms and general-purpose libraries.

SciPy has the distributions; NumPy draws the jobs of the calibration by methods and a stream of its
own. A tolerance is four standard errors of the simulation: of a share, the binomial
sqrt(p (1 - p) / n); of a quantile, that over the density there (textbook, such as H. Cramer,
"Mathematical Methods of Statistics", section 28.5; from memory).
"""

from __future__ import annotations

from decimal import Decimal
from math import log, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from catalogue.money import Money
from estimator.labour.hours import hours_of
from estimator.learning.draws import Draws
from estimator.learning.risk import Simulated, simulated
from estimator.learning.uncertain_cost import (
    ANSWERS,
    PRICES,
    Between,
    OpenRisk,
    TaskHours,
    UncertainCost,
)
from estimator.settings import Labour
from tests.money.factories import tasks_of

ERRORS = 4  # standard errors that a simulation may be off: one in 16,000 is
RATE = 6783.0


def share_error(share: float, runs: int) -> float:
    return sqrt(share * (1 - share) / runs)


def run(cost: UncertainCost, runs: int = 20_000, seed: int = 1) -> Simulated:
    return simulated(cost, "GBP", seed, runs)


# --- draws -----------------------------------------------------------------------------------


def test_the_stream_is_that_of_the_mersenne_twister_of_python() -> None:
    # The first number of random.Random(1), as printed in countless tutorials; from memory.
    assert Draws(1).share() == 0.13436424411240122


@pytest.mark.parametrize(("first", "second"), [(2 / 3, 10 / 3), (1.97, 4.59), (4, 4), (10, 0.7)])
def test_beta_draws_are_those_of_the_library_s_distribution(first: float, second: float) -> None:
    draws = Draws(3)
    drawn = [draws.beta(first, second) for _ in range(5_000)]
    assert stats.kstest(drawn, stats.beta(first, second).cdf).pvalue > 0.001


@pytest.mark.parametrize("shape", [0.3, 1.0, 2.5, 40.0])
def test_gamma_draws_are_those_of_the_library_s_distribution(shape: float) -> None:
    draws = Draws(4)
    drawn = [draws.gamma(shape) for _ in range(5_000)]
    assert stats.kstest(drawn, stats.gamma(shape).cdf).pvalue > 0.001


# --- one source of spread at a time, against its closed form ----------------------------------


@given(st.floats(0, 50), st.floats(0.01, 50), st.floats(0, 1))
def test_the_distribution_of_a_task_has_the_mean_and_deviation_of_its_three_points(
    low: float, width: float, way: float
) -> None:
    task = TaskHours("task", low, low + way * width, low + width)
    theirs = stats.beta(*task.shape, loc=task.low, scale=task.high - task.low)
    assert theirs.mean() == pytest.approx((task.low + 4 * task.likely + task.high) / 6)
    assert theirs.std() == pytest.approx((task.high - task.low) / 6)


def test_hours_have_mean_and_deviation_of_the_quote() -> None:
    # The tasks of the published three-point example (8, 10, 24) and three more, in minutes.
    points = [("480", "600", "1440"), ("30", "45", "80"), ("40", "60", "110"), ("15", "25", "90")]
    tasks = tasks_of(points)
    quoted = hours_of(tasks, Labour(job_factor_cv=Decimal("0.12")))
    cost = UncertainCost(
        0, tuple(TaskHours("task", *(int(p) / 60 for p in each)) for each in points), 0.12, 100.0)
    assert cost.mean_minor == pytest.approx(100 * float(quoted.mean))
    assert cost.sd_minor == pytest.approx(100 * quoted.sd)
    found = run(cost)
    error = found.sd / sqrt(found.runs)
    assert found.mean == pytest.approx(cost.mean_minor, abs=ERRORS * error)
    # The error of a standard deviation: sd / 2 x sqrt((kurtosis - 1) / n).
    fourth = float(stats.kurtosis(found.costs, fisher=False))
    assert found.sd == pytest.approx(
        cost.sd_minor, abs=ERRORS * found.sd / 2 * sqrt((fourth - 1) / found.runs))


def test_the_sum_of_many_alike_tasks_has_the_quantiles_of_a_normal_sum() -> None:
    # Forty symmetrical tasks: the beta of (0, 1, 2) is symmetrical, and so the sum is normal but
    # for a fourth moment of 3 - 0.5/40.
    cost = UncertainCost(0, (TaskHours("task", 0, 1, 2),) * 40, 0.0, 100.0)
    found, theirs = run(cost, 5_000), stats.norm(4000, 100 * sqrt(40) / 3)
    for share in (0.1, 0.5, 0.8, 0.9):
        x = theirs.ppf(share)
        assert found.quantile(share) == pytest.approx(
            x, abs=ERRORS * share_error(share, 5_000) / theirs.pdf(x))


@pytest.mark.parametrize("runs", [1_000, 16_000, 64_000])
def test_one_log_normal_factor_converges_to_the_library_s_quantiles(runs: int) -> None:
    cost = UncertainCost(500_000, (TaskHours("task", 20, 20, 20),), 0.12, RATE)
    width = sqrt(log(1 + 0.12**2))
    theirs = stats.lognorm(width, loc=500_000, scale=20 * RATE / sqrt(1 + 0.12**2))
    assert theirs.std() == pytest.approx(cost.sd_minor)
    found = run(cost, runs)
    for share in (0.1, 0.5, 0.8, 0.9):
        x = theirs.ppf(share)
        error = share_error(share, runs) / theirs.pdf(x)
        assert found.quantile(share) == pytest.approx(x, abs=ERRORS * error)
        # What the program says of its own error is near what theory says.
        assert found.error(share) == pytest.approx(error, rel=0.6 if runs == 1_000 else 0.25)


def test_open_risks_happen_as_often_as_their_chances_say() -> None:
    # By hand: 0.25 x 140 and 0.15 x 180, both happen in 0.0375 of jobs, none in 0.6375.
    cost = UncertainCost(10_000, risks=(OpenRisk("a", 0.25, 14_000), OpenRisk("b", 0.15, 18_000)))
    found = run(cost)
    for price, chance in ((10_000, 0.3625), (24_000, 0.15), (28_000, 0.0375), (42_000, 0.0)):
        loss, low, high = found.chance_of_loss(Money(price))
        assert loss == pytest.approx(chance, abs=ERRORS * share_error(chance, found.runs))
        assert low <= chance <= high
    assert cost.mean_minor == 10_000 + 3_500 + 2_700
    assert cost.sd_minor == pytest.approx(sqrt(0.1875 * 14_000**2 + 0.1275 * 18_000**2))


def test_prices_and_answers_lie_evenly_between_their_ends() -> None:
    cost = UncertainCost(
        0, ranges=(Between("supplier", PRICES, -300, 300), Between("covering", ANSWERS, 0, 600)))
    # The sum of two alike uniform variables has a triangular density.
    theirs, found = stats.triang(0.5, loc=-300, scale=1200), run(cost)
    assert (theirs.mean(), theirs.std()) == pytest.approx((cost.mean_minor, cost.sd_minor))
    assert stats.kstest(found.costs, theirs.cdf).pvalue > 0.001


# --- what is told of it ----------------------------------------------------------------------


def test_a_sure_cost_is_told_to_the_penny() -> None:
    found = run(UncertainCost(763_344, (TaskHours("task", 2, 2, 2),), 0.0, 100.0), 1_000)
    assert {found.at_most(share) for share in (0.1, 0.5, 0.9)} == {Money(763_544)}
    assert (found.error(0.8), found.sd) == (0, 0)
    assert found.chance_of_loss(Money(763_544))[0] == 0
    assert found.chance_of_loss(Money(763_543))[0] == 1
    assert len(found.picture(12)) == 1


@given(
    st.lists(st.integers(0, 500), min_size=2, max_size=60), st.integers(1, 99),
    st.sampled_from([1, 7, 50]))
def test_the_price_for_a_chance_is_the_least_that_loses_no_more_often(
    costs: list[int], percent: int, step: int
) -> None:
    found = Simulated(tuple(sorted(map(float, costs))), 1, "GBP")
    tried = (price for price in range(0, 600, step)
             if 100 * sum(cost > price for cost in costs) <= percent * len(costs))
    assert found.price_for(percent / 100, step) == Money(next(tried))


def test_amounts_are_raised_against_the_firm() -> None:
    found = Simulated((100.2, 100.2, 300.0), 1, "GBP")
    assert found.at_most(0.5) == Money(101)
    assert found.price_for(0.01, 500) == Money(500)


def test_every_run_is_in_the_picture() -> None:
    found = run(UncertainCost(0, (TaskHours("task", 1, 2, 5),), 0.2, 100.0), 2_000)
    bars = found.picture(12)
    assert len(bars) == 12
    assert sum(count for _, _, count in bars) == 2_000
    inner = bars[5]
    assert inner[2] == sum(inner[0] < cost <= inner[1] for cost in found.costs)


def test_the_same_seed_gives_the_same_figures_and_another_one_others() -> None:
    cost = UncertainCost(0, (TaskHours("task", 1, 2, 5),), 0.12, RATE)
    assert run(cost, 1_000, 7) == run(cost, 1_000, 7)
    assert run(cost, 1_000, 7).costs != run(cost, 1_000, 8).costs


def test_what_cannot_be_simulated_is_refused() -> None:
    with pytest.raises(ValueError, match="two runs"):
        run(UncertainCost(1), 1)
    with pytest.raises(ValueError, match="above 0 and below 1"):
        run(UncertainCost(1), 10).quantile(1.0)
    with pytest.raises(ValueError, match="do not mix"):
        run(UncertainCost(1), 10).losses(Money(1, "EUR"))


# --- calibration -----------------------------------------------------------------------------


def drawn_job(source: np.random.Generator) -> UncertainCost:
    tasks = []
    for _ in range(source.integers(3, 9)):
        low, *more = np.sort(source.uniform(0.2, 6, 3))
        tasks.append(TaskHours("task", float(low), *map(float, more)))
    risks = tuple(OpenRisk("risk", float(source.uniform(0.05, 0.5)), int(source.integers(5e3, 4e4)))
                  for _ in range(source.integers(0, 4)))
    prices = Between("supplier", PRICES, -float(source.uniform(1e3, 2e4)), 1e4)
    return UncertainCost(500_000, tuple(tasks), float(source.uniform(0.05, 0.2)), RATE, risks,
                         (prices,))


def actual(job: UncertainCost, source: np.random.Generator) -> float:
    """Draw what a job came to from the same assumptions, all by NumPy and from the definitions."""
    mean = sum((t.low + 4 * t.likely + t.high) / 6 for t in job.tasks)
    own = sum(((t.high - t.low) / 6) ** 2 for t in job.tasks)
    hours = 0.0
    for t in job.tasks:
        m = ((t.low + 4 * t.likely + t.high) / 6 - t.low) / (t.high - t.low)
        k = 36 * m * (1 - m) - 1
        hours += t.low + (t.high - t.low) * source.beta(m * k, (1 - m) * k)
    width = sqrt(log(1 + (job.job_cv * mean) ** 2 / (mean**2 + own)))
    hours *= source.lognormal(-width**2 / 2, width)
    return float(
        job.sure_minor + job.hour_minor * hours
        + sum(r.cost_minor for r in job.risks if source.uniform() < r.chance)
        + sum(source.uniform(b.low_minor, b.high_minor) for b in job.ranges))


def test_of_400_jobs_drawn_from_the_same_assumptions_four_in_five_stay_under_p80() -> None:
    # 40 jobs of all sorts, ten actuals each. If P80 is right, 320 of 400 stay under it on average;
    # 95 in 100 such tests lie within binomial 304 and 335, 76.0 to 83.8 %.
    source = np.random.default_rng(2026)
    under = 0
    for seed in range(40):
        job = drawn_job(source)
        p80 = run(job, 1_500, seed).quantile(0.80)
        under += sum(actual(job, source) <= p80 for _ in range(10))
    low, high = stats.binom(400, 0.8).interval(0.95)
    assert (low, high) == (304, 335)
    assert 0.75 <= under / 400 <= 0.85
    assert low <= under <= high
