"""Measures the margin table of a review over 100,000 jobs against plain SQL that yields the same.

Both run on the same database of 1,000,000 cost lines, in turn, each in a process of its own whose
libraries are loaded: the margin table by crew, and one GROUP BY sent to SQLite. The rows must be
the same to the penny. What counts is the time on the wall from the question to the rows; the
processor time stands beside it, and what the whole command takes from its start. The ratio is the
median of the rounds. Also says how much memory each had at its height, and whether the command
showed on a terminal how far it was. Leaves with status 1 if the ratio or the memory is above its
limit, nothing was shown, or a figure differs.
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
FEW = 50  # jobs of the database that warms both up
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
import json, sqlite3, sys, time
database, plain, few = sys.argv[1:]
sqlite3.connect(few).execute(plain).fetchall()
start = time.perf_counter(), time.process_time()
rows = sqlite3.connect(database).execute(plain).fetchall()
took = time.perf_counter() - start[0], time.process_time() - start[1]
print(json.dumps([took, rows]))
"""
OURS = """
import json, sys, time
from datetime import date
from estimator.workflow.review import ReviewRequest, review
database, keys, few = sys.argv[1:]
year = date(2026, 1, 1), date(2026, 12, 31)
def ask(database):
    request = ReviewRequest(year, year[1], database, ("margin-by-crew",))
    return review(request, lambda done, of: None)
ask(few)
start = time.perf_counter(), time.process_time()
report = ask(database).reports[0]
took = time.perf_counter() - start[0], time.process_time() - start[1]
print(json.dumps([took, list(zip(*(report.column(key) for key in keys.split())))]))
"""
KEYS = ("crew", "jobs", "net_minor", "standard_minor", "actual_minor", "margin_minor", "losses")
SCRIPT = Path(sys.executable).with_name("estimator")


def review(database: Path) -> list[str]:
    """Return the command."""
    return [str(SCRIPT), "review", "margin-by-crew", "--year", "2026", "--db", str(database)]


def asked(script: str, *about: object) -> tuple[float, float, list[list[object]]]:
    """Return seconds on the wall, processor seconds and rows of one of the two."""
    done = subprocess.run([sys.executable, "-c", script, *(str(each) for each in about)],
                          check=True, capture_output=True, text=True, cwd=ROOT)
    (wall, processor), rows = json.loads(done.stdout)
    return wall, processor, sorted(rows)


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
        database, few = Path(name) / "many.db", Path(name) / "few.db"
        many_jobs.make(few, FEW)
        many_jobs.make(database)
        return race(database, few)


def race(database: Path, few: Path) -> int:
    """Run both in turn and say what came of it; 1 if a limit is passed."""
    rounds, alike = [], True
    for number in range(ROUNDS):
        ours, plain = asked(OURS, database, " ".join(KEYS), few), asked(BARE, database, PLAIN, few)
        alike = alike and ours[2] == plain[2]
        rounds.append((ours, plain))
        print(f"round {number + 1}: review {ours[0]:.2f} s, plain {plain[0]:.2f} s",
              file=sys.stderr, flush=True)
    ratio, processor = (
        statistics.median(ours[each] / plain[each] for ours, plain in rounds) for each in (0, 1))
    took, plain_took = (
        statistics.median(side[0] for side in both) for both in zip(*rounds, strict=True))
    whole, shown = used(review(database)), shows_progress(database)
    plain_height = used([sys.executable, "-c", BARE, database, PLAIN, few])[2]
    lines = many_jobs.JOBS * (many_jobs.MOVES + many_jobs.HOURS + many_jobs.BILLS)
    print(f"margin table of {many_jobs.JOBS:,} jobs, {lines:,} cost lines: {took:.2f} s, plain SQL "
          f"{plain_took:.2f} s, ratio {ratio:.2f} (limit {LIMIT:g}; of processor time "
          f"{processor:.2f}); the whole command {whole[0]:.2f} s")
    print(f"memory of the command at its height {whole[2]:.0f} MB, of plain SQL "
          f"{plain_height:.0f} MB (limit {MEMORY_MB})")
    print(f"same rows to the penny: {'yes' if alike else 'NO'}; "
          f"progress on a terminal: {'yes' if shown else 'NO'}")
    return 0 if ratio <= LIMIT and whole[2] <= MEMORY_MB and alike and shown else 1


if __name__ == "__main__":
    sys.exit(main())
