"""Hours, single jobs, orders and what lies ahead in the review add up what the database holds.

The SQL is written by hand; the program's own selections of rows are not used.
"""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest

from estimator.review.report import Report
from tests.year.by_hand import JOBS, rows
from tests.year.conftest import Made

HOURS = JOBS + """
SELECT task_group, sum(planned), sum(worked) FROM (
    SELECT p.job_id, task_group, quantity AS planned, 0 AS worked FROM plan_line p
    JOIN job j ON j.job_id = p.job_id AND j.number = p.number WHERE kind = 'labour'
    UNION ALL SELECT t.job_id, task_group, 0, minutes FROM time_line t
    JOIN job j ON j.job_id = t.job_id)
WHERE task_group NOT IN ('rework', 'waiting') GROUP BY 1 ORDER BY 1
"""
WAITING = """
SELECT count(*), sum(hours) FROM (
    SELECT max(0, q.hours - coalesce((SELECT sum(minutes) FROM time_line t
        WHERE t.job_id = e.job_id), 0) * 50 / 3) AS hours
    FROM job_event e JOIN quoted q ON q.job_id = e.job_id AND q.number = e.revision
    WHERE e.id = (SELECT max(id) FROM job_event n WHERE n.job_id = e.job_id)
        AND e.event = 'accepted' AND NOT EXISTS (
            SELECT 1 FROM job_day d WHERE d.job_id = e.job_id AND d.what = 'commissioned'))
"""
ORDERS = """
SELECT supplier, count(*), sum(on_date IS NULL), sum(on_date > promised) FROM (
    SELECT o.supplier, max(d.on_date) AS on_date, (SELECT max(comes_on) FROM purchase_line l
        WHERE l.order_number = o.number) AS promised
    FROM purchase_order o LEFT JOIN delivery d ON d.order_number = o.number GROUP BY o.number)
GROUP BY supplier ORDER BY supplier
"""
OWED = """
SELECT sum(r.net_minor - paid) FROM (
    SELECT e.job_id, e.revision, coalesce((SELECT sum(amount_minor) FROM customer_payment c
        WHERE c.job_id = e.job_id), 0) AS paid
    FROM job_event e WHERE e.id = (SELECT max(id) FROM job_event n WHERE n.job_id = e.job_id)
        AND e.event IN ('accepted', 'closed')) s
JOIN revision r ON r.job_id = s.job_id AND r.number = s.revision WHERE r.net_minor > paid
"""


def test_hours_by_task_group_are_the_sum_of_norms_and_time_lines(
    demo_year: Made, reports: dict[str, Report]
) -> None:
    report = reports["norms"]
    told = {str(row[0]).removesuffix(", all jobs"): row[2:4] for row in report.rows
            if str(row[0]).endswith(", all jobs")}
    by_hand = rows(demo_year, HOURS)
    assert sorted(told) == [row[0] for row in by_hand]
    for group, planned, minutes in by_hand:
        reckoned, worked = told[str(group)]
        assert reckoned == pytest.approx(int(str(planned)) / 1000, abs=1e-9)
        # Hours of each of the 129 jobs are cut off to a thousandth.
        exact = int(str(minutes)) / 60
        assert exact - 0.129 <= float(str(worked)) <= exact + 1e-9


def test_the_jobs_that_went_wrong_are_those_that_cost_most_above_their_standard(
    demo_year: Made, reports: dict[str, Report]
) -> None:
    report = reports["single-jobs"]
    keys = ("job", "net_minor", "standard_minor", "actual_minor", "over_minor", "margin_minor")
    told = list(zip(*(report.column(key) for key in keys), strict=True))
    assert told == rows(demo_year, JOBS + f"""
        SELECT job_id, net, standard, actual, actual - standard, net - actual FROM done
        ORDER BY actual - standard DESC, job_id LIMIT {len(told)}""")
    assert len(told) == 10


def test_accepted_work_that_waits_is_the_sum_of_its_hours(
    demo_year: Made, reports: dict[str, Report]
) -> None:
    report = reports["backlog"]
    ((jobs, milli),) = rows(demo_year, WAITING)
    assert report.jobs == sum(report.column("jobs")) == jobs  # type: ignore[arg-type]
    assert sum(report.column("left_hours")) == Decimal(int(str(milli))) / 1000  # type: ignore[arg-type]


def test_orders_that_came_and_came_late_are_those_of_the_books(
    demo_year: Made, reports: dict[str, Report]
) -> None:
    report = reports["supplier-truth"]
    keys = ("supplier", "orders", "open", "late")
    told = sorted(zip(*(report.column(key) for key in keys), strict=True))
    assert told == [tuple(value or 0 for value in row) for row in rows(demo_year, ORDERS)]


@pytest.mark.parametrize("weeks", [13])
def test_what_customers_owe_is_price_less_what_they_paid(
    demo_year: Made, reports: dict[str, Report], weeks: int
) -> None:
    """All that is owed falls due within the weeks shown: no job is planned after them."""
    last = demo_year.year.last
    ((latest,),) = rows(demo_year, "SELECT max(on_date) FROM job_day WHERE what = 'planned'")
    assert date.fromisoformat(str(latest)) < last + timedelta(weeks=weeks - 1)
    report = reports["cash"]
    assert len(report.rows) == weeks
    ((owed,),) = rows(demo_year, OWED)
    assert sum(report.column("comes_minor")) == owed  # type: ignore[arg-type]
