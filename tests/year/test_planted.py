"""What is planted is in the records: measured by plain means, without the review.

Means and intervals by scipy.stats; what should be found stands in demo_jobs/year/truths.toml.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable

import numpy as np
from scipy import stats

from demo_jobs.year.records import Asked, Done, Offered
from demo_jobs.year.truths import read_truths
from demo_jobs.year.year import Firm, year
from tests.year.conftest import Made
from tests.year.plain import firm, offers

TRUTHS = read_truths()
ALL = Firm.read(offers, lambda item, buy, period: 0)
SURE = 0.999  # of an interval: a sound year misses one such in a thousand


def minutes(done: Done, groups: Iterable[str]) -> int:
    return sum(one.minutes for one in done.worked if one.group in set(groups))


def ratios(jobs: Iterable[Done], groups: tuple[str, ...], plan: dict[str, float]) -> np.ndarray:
    return np.array([math.log(minutes(each, groups) / plan[each.asked.job]) for each in jobs])


def within(low: float, size: float, high: float) -> bool:
    return low <= size <= high


def finished(made: Made) -> list[Done]:
    return [each for each in made.year.done if each.commissioned is not None]


def planned(made: Made, groups: tuple[str, ...]) -> dict[str, float]:
    """Return the planned minutes of each job, from the database's plan lines, by plain SQL."""
    import sqlite3

    with sqlite3.connect(made.database) as work:
        marks = ", ".join("?" * len(groups))
        return dict(work.execute(
            "SELECT job_id, sum(quantity) * 60.0 / 1000 FROM plan_line p WHERE kind = 'labour' "
            f"AND task_group IN ({marks}) AND number = (SELECT max(revision) FROM job_event e "
            "WHERE e.job_id = p.job_id AND e.event = 'accepted') GROUP BY job_id", groups))


def rise(slow: np.ndarray, others: np.ndarray) -> tuple[float, float]:
    """Return the interval of exp(mean of one - mean of the other) - 1, by Welch's test."""
    found = stats.ttest_ind(slow, others, equal_var=False).confidence_interval(SURE)
    return math.expm1(found.low), math.expm1(found.high)


def test_the_slow_covering_takes_its_share_more_hours(demo_year: Made) -> None:
    truth, jobs = TRUTHS["slow-covering"], finished(demo_year)
    groups = tuple(truth["groups"])
    plan = planned(demo_year, groups)
    slow, others = [], []
    for each in jobs:
        house = ALL.house(each.asked)
        if house.covering:
            (slow if house.covering == truth["covering"] else others).append(each)
    low, high = rise(ratios(slow, groups, plan), ratios(others, groups, plan))
    assert within(low, truth.size, high)
    assert low > 0, "nobody could see it in one year"


def test_the_under_priced_wall_takes_its_share_more_hours_and_fixings(demo_year: Made) -> None:
    truth, jobs = TRUTHS["under-priced-wall"], finished(demo_year)
    groups = tuple(truth["groups"])
    plan = planned(demo_year, groups)
    walls = [each for each in jobs if ALL.house(each.asked).modules]
    on_stone = [each for each in walls if ALL.house(each.asked).wall == truth["wall"]]
    others = [each for each in walls if ALL.house(each.asked).wall != truth["wall"]]
    low, high = rise(ratios(on_stone, groups, plan), ratios(others, groups, plan))
    assert within(low, truth.size, high)
    assert low > 0
    fixings = TRUTHS["wall-fixings"]
    used = [math.log(float((take.out - take.back) / take.goods.quantity))
            for each in on_stone for take in each.taken
            if take.goods.head == fixings["head"] and take.goods.quantity >= 8]
    found = stats.ttest_1samp(used, 0).confidence_interval(SURE)
    # Whole pieces of few, and a swing whose mean is not quite one, move it by a hundredth or two.
    assert within(math.expm1(found.low) - 0.03, fixings.size, math.expm1(found.high) + 0.03)


def test_the_unlucky_crew_has_the_slow_roofs_and_is_as_quick_as_the_others(
    demo_year: Made
) -> None:
    truth, jobs = TRUTHS["unlucky-crew"], finished(demo_year)
    covering = TRUTHS["slow-covering"]["covering"]
    slates = [each for each in jobs if ALL.house(each.asked).covering == covering]
    theirs = sum(each.crew == truth["crew"] for each in slates)
    share = stats.binomtest(theirs, len(slates)).proportion_ci(SURE)
    assert within(share.low, truth.size, share.high)
    factors = {True: [], False: []}  # type: dict[bool, list[float]]
    for each in jobs:
        factors[each.crew == truth["crew"]].append(math.log(each.factor))
    assert stats.ttest_ind(factors[True], factors[False], equal_var=False).pvalue > 1 - SURE
    hours = defaultdict(list)
    plan = planned(demo_year, ("roof", "electrical", "storage", "site", "travel", "office"))
    for each in jobs:
        actual = sum(one.minutes for one in each.worked)
        hours[each.crew == truth["crew"]].append(actual / plan[each.asked.job])
    assert np.mean(hours[True]) > np.mean(hours[False]), "it does not even look bad"


def test_the_hours_of_a_job_swing_together_by_their_share() -> None:
    """Over ten years drawn without estimates: the factors alone."""
    logs = [math.log(each.factor) for seed in range(10) for each in year(seed, firm()).done]
    wanted = math.log(1 + TRUTHS["job-factor"].size ** 2)
    # (n - 1) s^2 / sigma^2 follows chi-squared with n - 1 degrees of freedom.
    spread = (len(logs) - 1) * np.var(logs, ddof=1) / wanted
    low, high = stats.chi2.interval(SURE, len(logs) - 1)
    assert within(low, spread, high)
    mean = stats.ttest_1samp(logs, -wanted / 2).pvalue
    assert mean > 1 - SURE


def test_one_supplier_charges_more_for_each_month_since_the_quote(demo_year: Made) -> None:
    truth = TRUTHS["creeping-supplier"]
    months, rises = [], []
    for each in demo_year.year.done:
        quoted = each.asked.revisions[-1].on
        for bought in each.bought:
            for line in bought.lines:
                net = line.ordered_minor * line.quantity / line.buy.per + line.buy.cut_charge_minor
                if bought.supplier != truth["supplier"]:
                    assert abs(line.charged_minor - net) <= 0.5
                elif net > 10_000 and bought.came_on is not None:
                    months.append((bought.came_on - quoted).days / 30.4375)
                    rises.append(line.charged_minor / float(net) - 1)
    fit = stats.linregress(months, rises)
    assert math.isclose(fit.slope, truth.size, rel_tol=0.02)
    assert len(months) > 50


def test_fewer_quotes_are_taken_the_more_they_earn() -> None:
    """Over ten years: a straight line through taken or not, at the margins of the quotes."""
    truth = TRUTHS["win-rate"]
    asked: list[Asked] = [each for seed in range(10) for each in year(seed, firm()).asked
                          if each.answer]
    margins = [margin(offers(each.revisions[-1].choice)) for each in asked]
    fit = stats.linregress(margins, [each.answer == "accepted" for each in asked])
    # Who never answers is not among them, so that both chance and slope stand a little higher.
    assert fit.slope < -truth.size / 2
    assert abs(fit.slope + truth.size) < 4 * fit.stderr


def margin(offered: Offered) -> float:
    return 1 - offered.cost_minor / offered.net_minor


def test_most_ask_from_one_source(demo_year: Made) -> None:
    truth = TRUTHS["lead-source"]
    asked = demo_year.year.asked
    found = stats.binomtest(
        sum(each.lead_source == truth["source"] for each in asked), len(asked)).proportion_ci(SURE)
    assert within(found.low, truth.size, found.high)
