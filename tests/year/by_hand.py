"""SQL written by hand over the demo year, sent to SQLite itself."""

from __future__ import annotations

import sqlite3

from tests.year.conftest import Made

# Finished jobs with what they were sold for, reckoned at, and cost.
JOBS = """
WITH job AS (
    SELECT e.job_id, e.revision AS number,
        (SELECT crew FROM job_day d WHERE d.job_id = e.job_id AND what = 'commissioned') AS crew
    FROM job_event e WHERE e.event = 'closed'),
cost AS (
    SELECT job_id, 'goods' AS kind, (SELECT head FROM item WHERE code = item_code) AS head,
        CASE WHEN kind = 'return' THEN -value_minor ELSE value_minor END AS minor
        FROM move WHERE job_id IS NOT NULL AND (kind IN ('pick', 'return')
            OR kind = 'receive' AND to_place LIKE 'site %')
    UNION ALL SELECT job_id, 'labour', 'labour, ' || task_group, amount_minor FROM time_line
    UNION ALL SELECT job_id, 'overhead', CASE task_group WHEN 'rework' THEN 'overhead of rework'
        ELSE 'overhead' END, overhead_minor FROM time_line
    UNION ALL SELECT job_id, kind, head, cost_minor FROM invoice_line WHERE job_id IS NOT NULL),
held AS (
    SELECT j.job_id, max(0, (SELECT coalesce(sum(amount_minor), 0) FROM plan_line p
        WHERE p.job_id = j.job_id AND p.number = j.number AND head = 'warranty')
        - (SELECT coalesce(sum(minor), 0) FROM cost c WHERE c.job_id = j.job_id
           AND head IN ('labour, rework', 'overhead of rework'))) AS minor FROM job j),
done AS (
    SELECT j.*, q.kind_of_job AS kind, q.covering, q.wall, q.estimator, r.net_minor AS net,
        (SELECT sum(amount_minor) FROM plan_line p
         WHERE p.job_id = j.job_id AND p.number = j.number) AS standard,
        (SELECT sum(minor) FROM cost c WHERE c.job_id = j.job_id)
        + (SELECT minor FROM held h WHERE h.job_id = j.job_id) AS actual
    FROM job j JOIN revision r ON r.job_id = j.job_id AND r.number = j.number
    JOIN quoted q ON q.job_id = j.job_id AND q.number = j.number)
"""
# Every quote by the revision it is judged by: the first accepted one, else the newest.
QUOTES = """
WITH judged AS (
    SELECT j.id, coalesce(
        (SELECT revision FROM job_event e WHERE e.job_id = j.id AND event = 'accepted'
         ORDER BY e.id LIMIT 1),
        (SELECT max(number) FROM revision r WHERE r.job_id = j.id)) AS number,
        coalesce((SELECT event FROM job_event e WHERE e.job_id = j.id ORDER BY e.id DESC LIMIT 1),
                 'open') AS event
    FROM job j WHERE EXISTS (SELECT 1 FROM job_day d WHERE d.job_id = j.id AND what = 'sent')),
quote AS (
    SELECT judged.*, r.net_minor AS net, q.cost_minor AS cost, q.valid_until AS until
    FROM judged JOIN revision r ON r.job_id = judged.id AND r.number = judged.number
    JOIN quoted q ON q.job_id = judged.id AND q.number = judged.number)
"""


def rows(made: Made, sql: str, **given: object) -> list[tuple[object, ...]]:
    with sqlite3.connect(made.database) as work:
        return work.execute(sql, given).fetchall()
