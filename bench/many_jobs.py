"""A database of 100,000 finished jobs with 1,000,000 cost lines, made of plain SQL.

No job has an estimate behind it: what a review reads of finished jobs is there, and nothing else.
All figures come of the numbers of the rows, so that they are the same in each run.
"""

from __future__ import annotations

import sqlite3
import sys
from pathlib import Path

JOBS = 100_000
# Cost lines of a job: moves, hours (each of them also bears overhead) and bills.
MOVES, HOURS, BILLS = 4, 4, 2
PLANNED = ("goods", "goods", "bought in", "labour", "labour", "overhead", "provision")
_AT = "'2026-06-30T12:00:00.000000+00:00', 'office'"
# A number that looks like chance, from 0 to 999, of a row's number and a salt.
_CHANCE = "((({row}) * 7919 + {salt} * 104729 + (({row}) / 13) * 1299709) % 1000)"
_NUMBERS = "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < {top}) "


def _chance(row: str, salt: int) -> str:
    return _CHANCE.format(row=row, salt=salt)


def _one_of(names: tuple[str, ...], row: str, salt: int) -> str:
    cases = " ".join(f"WHEN {at} THEN '{name}'" for at, name in enumerate(names))
    return f"CASE {_chance(row, salt)} % {len(names)} {cases} END"


def _steps() -> dict[str, str]:
    day = f"date('2026-01-01', '+' || ({_chance('i', 1)} * 364 / 999) || ' days')"
    job = "'B-' || i"
    moves, hours, bills = (
        f"'B-' || ((i + {each} - 1) / {each})" for each in (MOVES, HOURS, BILLS))
    kinds = " ".join(f"WHEN {at} THEN '{kind}'" for at, kind in enumerate(PLANNED))
    return {
        "jobs": f"INSERT INTO job SELECT {job}, 'a house', {_AT[:34]} FROM n",
        "revisions": "INSERT INTO revision (job_id, number, on_date, survey_text, estimate_json, "
        "inputs_digest, made_at, kind, net_minor, currency) SELECT "
        f"{job}, 1, '2026-01-01', '', '{{}}', '', {_AT[:34]}, 'firm', "
        f"900000 + 500 * {_chance('i', 2)}, 'GBP' FROM n",
        "quotes": "INSERT INTO quoted SELECT "
        f"{job}, 1, {_one_of(('panels', 'storage', 'panels and storage'), 'i', 3)}, "
        f"{_one_of(('natural slate', 'clay pantile', 'plain tile', 'felt', ''), 'i', 4)}, "
        f"{_one_of(('stone', 'dense brick', 'dense block', ''), 'i', 6)}, "
        f"{_one_of(('A. One', 'B. Two', 'C. Three', 'D. Four'), 'i', 7)}, 'S', "
        f"{_one_of(('web page', 'builder'), 'i', 8)}, 'ZZ1', 2, 10, 2, "
        f"40000 + 10 * {_chance('i', 9)}, 700000, 800000 + 400 * {_chance('i', 2)}, "
        "'2026-02-01' FROM n",
        "answers": "INSERT INTO job_event (job_id, revision, event, at, by, why) SELECT "
        f"{job}, 1, 'accepted', {_AT}, '' FROM n",
        "days": "INSERT INTO job_day (job_id, what, on_date, crew, at, by, why) SELECT "
        f"{job}, 'commissioned', {day}, {_one_of(('Ash', 'Beech', 'Cedar', 'Elm'), 'i', 10)}, "
        f"{_AT}, '' FROM n",
        "ends": "INSERT INTO job_event (job_id, revision, event, at, by, why) SELECT "
        f"{job}, 1, 'closed', {_AT}, '' FROM n",
        "plan lines": "INSERT INTO plan_line SELECT 'B-' || ((i - 1) / 7 + 1), 1, (i - 1) % 7 + 1, "
        f"CASE (i - 1) % 7 {kinds} END, CASE (i - 1) % 7 WHEN 6 THEN 'warranty' ELSE 'head' END, "
        "'', CASE (i - 1) % 7 WHEN 3 THEN 'roof' WHEN 4 THEN 'electrical' ELSE '' END, '', "
        f"10000, CASE (i - 1) % 7 WHEN 6 THEN 1520 ELSE 100000 + {_chance('i', 11)} END FROM n",
        "moves": "INSERT INTO move (kind, item_code, quantity, from_place, to_place, job_id, "
        f"document, value_minor, at, by, why) SELECT CASE WHEN {_chance('i', 12)} < 60 THEN "
        "'return' ELSE 'pick' END, 'I' || (i % 50), 1000, 'store', 'van', "
        f"{moves}, '', {_chance('i', 5)} * 150, {_AT}, '' FROM n",
        "hours": "INSERT INTO time_line (row, job_id, person, crew, on_date, begun, ended, "
        "minutes, task_group, task, cause, rate_minor, amount_minor, overhead_minor, at, by) "
        f"SELECT 0, {hours}, 'P', 'Ash', '2026-06-30', '', '', "
        f"120 + {_chance('i', 5)}, "
        f"{_one_of(('roof', 'electrical', 'storage', 'site', 'rework'), 'i', 13)}, '', '', 4398, "
        f"(120 + {_chance('i', 5)}) * 4398 / 60, (120 + {_chance('i', 5)}) * 2385 / 60, {_AT} "
        "FROM n",
        "bill lines": "INSERT INTO invoice_line SELECT 1, i, CASE i % 2 WHEN 0 THEN 'subcontract' "
        f"ELSE 'carriage' END, 'head', {bills}, NULL, NULL, NULL, "
        f"'x', 1000, {_chance('i', 5)} * 40, {_chance('i', 5)} * 40 FROM n",
    }


_TIMES = {"plan lines": len(PLANNED), "moves": MOVES, "hours": HOURS, "bill lines": BILLS}


def make(path: Path, jobs: int = JOBS) -> None:
    """Make the database; says on standard error how far it is."""
    from catalogue import db
    from catalogue.schema import migrate

    engine = db.engine_for(str(path))
    with engine.begin() as work:
        migrate(work)
    engine.dispose()
    with sqlite3.connect(path) as plain:
        plain.execute("PRAGMA synchronous = off")
        plain.executemany(
            "INSERT INTO item (code, name, family, unit, spec, head, held, bin, waste, vat_class,"
            " serialised, sold_apart, note) VALUES (?, 'x', 'fixing', 'each', '{}', ?, 'stock',"
            " '', 0, 'standard', 0, 1, '')", [(f"I{at}", f"head {at % 7}") for at in range(50)])
        plain.executemany("INSERT INTO place VALUES (?, ?, '')",
                          [("store", "store"), ("van", "site")])
        plain.execute("INSERT INTO invoice VALUES (1, 'invoice', 'S', '1', '2026-06-30', NULL, "
                      f"'GBP', 0, 0, '', '', {_AT})")
        for name, sql in _steps().items():
            top = jobs * _TIMES.get(name, 1)
            sys.stderr.write(f"\r{top:>9,} {name:<12}")
            sys.stderr.flush()
            head, _, rest = sql.partition(" SELECT ")
            plain.execute(f"{head} {_NUMBERS.format(top=top)} SELECT {rest}")
    plain.close()
    sys.stderr.write("\n")
