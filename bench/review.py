"""Measures the margin table of a review over 100,000 jobs against plain SQL that yields the same.

Both run on the same database of 1,000,000 cost lines, each as a process of its own from its start,
in turn: `estimator review margin-by-crew --json`, and a script that sends one GROUP BY to SQLite
and writes its rows. The rows must be the same to the penny. What counts is the time on the wall
from start to end; the processor time stands beside it. The ratio is the median of the rounds. Also
says how much memory each had at its height, and whether the command showed on a terminal how far
it was.
Leaves with status 1 if the ratio or the memory is above its limit, nothing was shown, or a figure
differs.
"""

from __future__ import annotations

import json
import os
import pty
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from bench import many_jobs  # noqa: E402  the folder must be known first
from bench.price_lists import used  # noqa: E402

ROUNDS = 5
LIMIT = 1.5
MEMORY_MB = 500
PLAIN = """
WITH newest AS (
    SELECT job_id, revision, event, max(id) FROM job_event GROUP BY job_id),
done AS (
    SELECT job_id, on_date, crew, max(id) FROM job_day WHERE what = 'commissioned'
    GROUP BY job_id),
cost AS (
    SELECT m.job_id, CASE m.kind WHEN 'return' THEN -value_minor ELSE value_minor END AS minor,
           0 AS rework FROM move m LEFT JOIN place p ON p.name = m.to_place
    WHERE m.job_id IS NOT NULL AND m.value_minor IS NOT NULL
      AND (m.kind <> 'receive' OR p.kind = 'site')
    UNION ALL
    SELECT job_id, amount_minor + overhead_minor, CASE task_group WHEN 'rework'
           THEN amount_minor + overhead_minor ELSE 0 END FROM time_line
    UNION ALL
    SELECT job_id, cost_minor, 0 FROM invoice_line WHERE job_id IS NOT NULL),
by_job AS (SELECT job_id, sum(minor) AS minor, sum(rework) AS rework FROM cost GROUP BY job_id),
held AS (
    SELECT job_id, number, sum(amount_minor) AS minor FROM plan_line
    WHERE kind = 'provision' AND head = 'warranty' GROUP BY job_id, number),
job AS (
    SELECT done.crew, sold.net_minor AS net, about.cost_minor AS standard,
           by_job.minor + max(0, coalesce(held.minor, 0) - by_job.rework) AS actual
    FROM newest
    JOIN done ON done.job_id = newest.job_id
    JOIN quoted about ON about.job_id = newest.job_id AND about.number = newest.revision
    JOIN revision sold ON sold.job_id = newest.job_id AND sold.number = newest.revision
    JOIN by_job ON by_job.job_id = newest.job_id
    LEFT JOIN held ON held.job_id = newest.job_id AND held.number = newest.revision
    WHERE newest.event = 'closed' AND done.on_date BETWEEN '2026-01-01' AND '2026-12-31')
SELECT crew, count(*), sum(net), sum(standard), sum(actual), sum(net) - sum(actual),
       sum(actual > net) FROM job GROUP BY crew ORDER BY crew
"""
BARE = """
import json, sqlite3, sys
work = sqlite3.connect(sys.argv[1])
print(json.dumps(work.execute(sys.argv[2]).fetchall()))
"""
KEYS = ("crew", "jobs", "net_minor", "standard_minor", "actual_minor", "margin_minor", "losses")
SCRIPT = Path(sys.executable).with_name("estimator")


def review(database: Path) -> list[str]:
    """Return the command."""
    return [str(SCRIPT), "review", "margin-by-crew", "--year", "2026", "--json", "--db",
            str(database)]


def bare(database: Path) -> list[str]:
    """Return the bare work."""
    return [sys.executable, "-c", BARE, str(database), PLAIN]


def same(database: Path) -> bool:
    """Return whether both yield the same rows."""
    ours, plain = (
        json.loads(subprocess.run(command, check=True, capture_output=True, text=True,
                                  cwd=ROOT).stdout)
        for command in (review(database), bare(database)))
    report = ours["reports"][0]
    rows = sorted([row[key] for key in KEYS] for row in report["rows"])
    return rows == sorted(plain)


def shows_progress(database: Path) -> bool:
    """Return whether the command says something on a terminal before it has its answer."""
    ours, theirs = pty.openpty()
    with subprocess.Popen(review(database), stdout=subprocess.DEVNULL, stderr=theirs, cwd=ROOT):
        os.close(theirs)
        try:
            return bool(os.read(ours, 1024).strip())
        except OSError:  # it ended and had said nothing
            return False


def main() -> int:
    """Make the database and run the race; 1 if it is lost."""
    with tempfile.TemporaryDirectory() as name:
        database = Path(name) / "many.db"
        many_jobs.make(database)
        alike, shown = same(database), shows_progress(database)
        rounds = []
        for number in range(ROUNDS):
            rounds.append((used(review(database)), used(bare(database))))
            print(f"round {number + 1}: review {rounds[-1][0][0]:.2f} s, "
                  f"plain {rounds[-1][1][0]:.2f} s", file=sys.stderr, flush=True)
    ratio, processor = (
        statistics.median(ours[each] / plain[each] for ours, plain in rounds) for each in (0, 1))
    took, plain_took = (
        statistics.median(side[0] for side in both) for both in zip(*rounds, strict=True))
    height, plain_height = (
        max(side[2] for side in both) for both in zip(*rounds, strict=True))
    lines = many_jobs.JOBS * (many_jobs.MOVES + many_jobs.HOURS + many_jobs.BILLS)
    print(f"margin table of {many_jobs.JOBS:,} jobs, {lines:,} cost lines: {took:.2f} s, plain SQL "
          f"{plain_took:.2f} s, ratio {ratio:.2f} (limit {LIMIT:g}; of processor time "
          f"{processor:.2f})")
    print(f"memory at its height {height:.0f} MB, plain {plain_height:.0f} MB (limit {MEMORY_MB})")
    print(f"same rows to the penny: {'yes' if alike else 'NO'}; "
          f"progress on a terminal: {'yes' if shown else 'NO'}")
    return 0 if ratio <= LIMIT and height <= MEMORY_MB and alike and shown else 1


if __name__ == "__main__":
    sys.exit(main())
