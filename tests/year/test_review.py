"""The review finds what is planted, accuses nobody else, and adds up what the database holds.

What is planted stands in demo_jobs/year/truths.toml. Sums are SQL written by hand, sent to SQLite
itself; the program's own selections of rows are not used.
"""

from __future__ import annotations

import pytest

from bench.truths import judged
from demo_jobs.year.truths import read_truths
from estimator.review.report import Report
from estimator.review.wording import named
from tests.year.by_hand import JOBS, QUOTES, rows
from tests.year.conftest import Made

NO_NAME = named("")
HEADS = JOBS + """
SELECT head, sum(planned), sum(actual) FROM (
    SELECT CASE kind WHEN 'labour' THEN 'labour, ' || task_group
                     WHEN 'provision' THEN 'provision, ' || head ELSE head END AS head,
           amount_minor AS planned, 0 AS actual
    FROM plan_line p JOIN job j ON j.job_id = p.job_id AND j.number = p.number
    UNION ALL
    SELECT CASE c.head WHEN 'overhead of rework' THEN 'overhead' ELSE c.head END, 0, minor
    FROM cost c JOIN job j ON j.job_id = c.job_id
    UNION ALL SELECT 'provision, warranty', 0, minor FROM held)
GROUP BY head HAVING sum(planned) <> 0 OR sum(actual) <> 0 ORDER BY head
"""
SUPPLIERS = """
SELECT o.supplier, count(DISTINCT o.number),
    sum(m.value_minor), sum(l.net_minor - m.value_minor)
FROM purchase_order o
JOIN move m ON m.document = 'order ' || o.number
LEFT JOIN invoice_line l ON l.order_number = o.number AND l.item_code = m.item_code
    AND l.kind = 'goods'
GROUP BY 1 ORDER BY 1
"""
LOST = JOBS + """
SELECT cause || ' (' || task_group || ')', count(DISTINCT t.job_id),
    sum(amount_minor + overhead_minor)
FROM time_line t JOIN job j ON j.job_id = t.job_id WHERE task_group IN ('rework', 'waiting')
GROUP BY 1
UNION ALL
SELECT reason || ' (variation)', count(DISTINCT v.job_id), sum(cost_minor) FROM variation v
JOIN job j ON j.job_id = v.job_id JOIN variation_event a ON a.job_id = v.job_id
WHERE a.event = 'agreed' GROUP BY 1 ORDER BY 1
"""


BANDS = QUOTES + """
SELECT (5 * band) || ' to ' || (5 * band + 5) || ' %', count(*), sum(won), sum(event = 'declined'),
    sum(event = 'open' AND until < :on), sum(event = 'open' AND until >= :on), sum(net),
    sum(won * net)
FROM (SELECT *, (net - cost) * 20 / net AS band, event IN ('accepted', 'closed') AS won FROM quote)
GROUP BY band ORDER BY band
"""
HANGS_ON = JOBS + """
SELECT CASE lead_source WHEN '' THEN 'none or not said' ELSE lead_source END,
    'lead source, by price', count(*), sum(net)
FROM done d JOIN quoted q ON q.job_id = d.job_id AND q.number = d.number GROUP BY 1
UNION ALL SELECT area, 'area, by price', count(*), sum(net)
FROM done d JOIN quoted q ON q.job_id = d.job_id AND q.number = d.number GROUP BY 1
"""
BILLS = """
SELECT sum(net_minor + tax_minor) FROM invoice
WHERE coalesce(due_on, on_date) BETWEEN :on AND date(:on, 'weekday 0', '+84 days')
"""


def test_the_review_finds_what_is_planted_and_accuses_nobody_else(
    reports: dict[str, Report]
) -> None:
    """The wall costs too little of a job to be named by margin; its hours name it."""
    verdicts = dict(judged(reports, read_truths()))
    assert [what for what, so in verdicts.items() if what.startswith("accused") and so] == []
    missed = {what for what, so in verdicts.items() if what.startswith("found") and not so}
    assert missed <= {"found: under-priced wall, by margin"}


@pytest.mark.parametrize("factor", ["kind", "covering", "wall", "crew", "estimator"])
def test_every_margin_is_the_sum_of_the_books_to_the_penny(
    demo_year: Made, reports: dict[str, Report], factor: str
) -> None:
    report = reports[f"margin-by-{factor}"]
    keys = ("jobs", "net_minor", "standard_minor", "actual_minor", "margin_minor", "losses")
    told = sorted(zip((str(name) for name in report.column(factor)),
                      *(report.column(key) for key in keys), strict=True))
    by_hand = rows(demo_year, JOBS + f"""
        SELECT CASE {factor} WHEN '' THEN '{NO_NAME}' ELSE {factor} END, count(*), sum(net),
        sum(standard), sum(actual), sum(net - actual), sum(actual > net) FROM done GROUP BY 1""")
    assert told == sorted(by_hand)


def test_every_head_of_the_waterfall_is_the_sum_of_the_books_to_the_penny(
    demo_year: Made, reports: dict[str, Report]
) -> None:
    report = reports["waterfall"]
    steps = [row for row in report.rows if row[1] is not None]
    assert sorted((row[0], row[1], row[2]) for row in steps) == rows(demo_year, HEADS)
    assert all(row[3] == row[1] - row[2] for row in steps)  # type: ignore[operator]
    ((margin,),) = rows(demo_year, JOBS + "SELECT sum(net - actual) FROM done")
    assert report.rows[-1][3] == margin
    assert sum(row[3] for row in report.rows[:-1]) == margin  # type: ignore[misc]


def test_the_causes_add_up_to_what_was_spent_above_the_standard(
    demo_year: Made, reports: dict[str, Report]
) -> None:
    report = reports["causes"]
    total = sum(row[3] for row in report.rows if row[0] == "in total")  # type: ignore[misc]
    ((over,),) = rows(demo_year, JOBS + "SELECT sum(actual - standard) FROM done")
    assert total == over


def test_what_suppliers_charged_above_their_orders_is_the_sum_of_the_bills(
    demo_year: Made, reports: dict[str, Report]
) -> None:
    report = reports["suppliers"]
    keys = ("supplier", "orders", "ordered_minor", "over_minor")
    told = sorted(zip(*(report.column(key) for key in keys), strict=True))
    assert told == [tuple(value or 0 for value in row) for row in rows(demo_year, SUPPLIERS)]


def test_what_omissions_cost_is_the_sum_of_hours_and_variations(
    demo_year: Made, reports: dict[str, Report]
) -> None:
    report = reports["omissions"]
    told = sorted(zip(*(report.column(key) for key in ("cause", "jobs", "cost_minor")),
                      strict=True))
    assert told == rows(demo_year, LOST)


def test_quotes_by_their_margin_are_those_of_the_books(
    demo_year: Made, reports: dict[str, Report]
) -> None:
    report = reports["win-rate"]
    keys = ("band", "quotes", "won", "declined", "ran_out", "open", "net_minor", "won_minor")
    told = list(zip(*(report.column(key) for key in keys), strict=True))
    assert told == rows(demo_year, BANDS, on=demo_year.year.last.isoformat())


def test_quotes_that_are_out_are_those_of_the_books(
    demo_year: Made, reports: dict[str, Report]
) -> None:
    report = reports["aged-quotes"]
    ((count, minor, holds),) = rows(
        demo_year, QUOTES + "SELECT count(*), sum(net), sum(until >= :on) FROM quote "
        "WHERE event = 'open'", on=demo_year.year.last.isoformat())
    assert (report.jobs, sum(report.column("net_minor"))) == (count, minor)  # type: ignore[arg-type]
    assert sum(report.column("binding")) == holds  # type: ignore[arg-type]


def test_what_the_firm_hangs_on_is_the_sum_of_its_jobs(
    demo_year: Made, reports: dict[str, Report]
) -> None:
    report = reports["concentration"]
    keys = ("what", "of", "jobs", "minor")
    told = sorted(zip(*(report.column(key) for key in keys), strict=True))
    assert [row for row in told if "price" in str(row[1])] == sorted(rows(demo_year, HANGS_ON))
    goods = dict(rows(demo_year, JOBS + """
        SELECT item_code, sum(minor) FROM (
            SELECT job_id, item_code, CASE WHEN kind = 'return' THEN -value_minor
                ELSE value_minor END AS minor
            FROM move WHERE kind IN ('pick', 'return') OR kind = 'receive'
                AND to_place LIKE 'site %'
            UNION ALL SELECT job_id, item_code, cost_minor FROM invoice_line
            WHERE kind IN ('goods', 'carriage') AND item_code IS NOT NULL) m
        WHERE m.job_id IN (SELECT job_id FROM job) GROUP BY 1"""))
    items = [row for row in told if "goods" in str(row[1])]
    assert len(items) == 10
    assert {row[0]: row[3] for row in items} == {row[0]: goods[row[0]] for row in items}
    assert sorted(goods.values(), reverse=True)[:10] == sorted(  # type: ignore[type-var]
        (row[3] for row in items), reverse=True)  # type: ignore[type-var]


def test_bills_that_fall_due_are_those_of_the_books(
    demo_year: Made, reports: dict[str, Report]
) -> None:
    report = reports["cash"]
    ((due,),) = rows(demo_year, BILLS, on=demo_year.year.last.isoformat())
    assert sum(report.column("goes_minor")) == (due or 0)  # type: ignore[arg-type]
