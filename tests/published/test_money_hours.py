"""Hours and their spread against published three-point examples."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

import pytest

from estimator.labour.hours import hours_of, quantile
from estimator.settings import Labour
from tests.money.factories import tasks_of

NO_JOB_FACTOR = Labour(job_factor_cv=Decimal(0))
MINUTES = 60


def test_points_8_10_24_have_mean_12_and_variance_7_11() -> None:
    # Lecture slides on the program evaluation and review technique: te = (8 + 40 + 24) / 6.
    (task,) = tasks_of([("8", "10", "24")])
    assert task.mean == 12
    assert round(task.sd**2, 2) == Fraction("7.11")


def test_a_board_change_of_4_7_or_9_hours_takes_6_83_on_average() -> None:
    # A poll of electricians: none under 4 h, most 6 to 8 h, few above 8 h; (4 + 28 + 9) / 6.
    (task,) = tasks_of([("240", "420", "540")])
    assert round(task.mean / MINUTES, 2) == Fraction("6.83")


@pytest.mark.parametrize(
    ("chance", "months"),
    [(0.0228, 17), (0.3085, 20), (0.8413, 23), (0.9772, 25), (0.95, 24.29)],
)
def test_the_yacht_is_finished_by_the_dates_of_the_normal_table(
    chance: float, months: float
) -> None:
    # Textbook problem of a pleasure yacht: expected 21 months, variance 4; the chances are those
    # of the printed normal table at z = -2, -0.5, 1, 2 and 1.645, four places.
    assert quantile(Fraction(21), math.sqrt(4), chance) == pytest.approx(months, abs=0.005)


def test_the_spread_of_a_job_is_the_root_of_the_summed_variances() -> None:
    # gristprojectmanagement.us, "Info": variances add up to 14.98, so the spread is 3.87 on a
    # total of 103 days; adding the deviations themselves would give 10.05, far too much. The
    # page's totals are checked; how they split between its activities is ours. Its day stands
    # for our minute.
    sds = ("0.67", "1.00", "1.67", "0.83", "1.1273", "1.1273", "1.1273", "2.4981")
    tasks = tasks_of([
        ("0", str(3 * Decimal(sd)), str(6 * Decimal(sd))) for sd in sds
    ])
    assert sum(task.sd for task in tasks) == pytest.approx(10.05, abs=0.005)
    spread = hours_of(tasks, NO_JOB_FACTOR).sd * MINUTES
    assert spread == pytest.approx(3.87, abs=0.005)


def test_two_thirds_of_such_jobs_end_between_99_13_and_106_87_days() -> None:
    # Same page: 103 less and plus one spread of 3.87, 68.26 % of cases.
    spread = math.sqrt(14.98)
    assert quantile(Fraction(103), spread, 0.5 - 0.6826 / 2) == pytest.approx(99.13, abs=0.01)
    assert quantile(Fraction(103), spread, 0.5 + 0.6826 / 2) == pytest.approx(106.87, abs=0.01)
