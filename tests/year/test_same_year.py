"""A year hangs on its seed alone."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from itertools import pairwise
from pathlib import Path

from demo_jobs.year.goods import goods_rows
from demo_jobs.year.year import year
from tests.year.plain import firm

ROOT = Path(__file__).parents[2]
TELL = ("from demo_jobs.year.goods import goods_rows\nfrom demo_jobs.year.year import year\n"
        "from tests.year.plain import firm\nimport hashlib\nmade = year(7, firm())\n"
        "rows = {table.name: rows for table, rows in goods_rows(made).items()}\n"
        "print(hashlib.sha256(repr((made, sorted(rows.items()))).encode()).hexdigest())")


def digest(hash_seed: str) -> str:
    done = subprocess.run(
        [sys.executable, "-c", TELL], cwd=ROOT, check=True, capture_output=True, text=True,
        env={**os.environ, "PYTHONHASHSEED": hash_seed, "PYTHONPATH": str(ROOT)})
    return done.stdout.strip()


def test_the_same_seed_gives_the_same_rows_in_another_process() -> None:
    made = year(7, firm())
    rows = {table.name: rows for table, rows in goods_rows(made).items()}
    here = hashlib.sha256(repr((made, sorted(rows.items()))).encode()).hexdigest()
    assert digest("1") == here
    assert digest("2") == here


def test_another_seed_gives_another_year() -> None:
    assert year(8, firm()).asked != year(7, firm()).asked


def test_a_year_has_its_size() -> None:
    made = year(7, firm())
    assert len(made.asked) == 400
    assert 120 <= len(made.done) <= 190
    assert len({each.crew for each in made.done}) == 3
    assert {each.asked.job for each in made.done} == {
        each.job for each in made.asked if each.answer == "accepted"}


def test_nothing_lies_beyond_the_last_day_but_what_is_planned() -> None:
    made = year(7, firm())
    for each in made.done:
        days = [each.begun, each.commissioned, each.closed, *(one.on for one in each.worked),
                *(one.on for one in each.paid), *(one.on for one in each.billed),
                *(one.on for one in each.bought), *(one.came_on for one in each.bought)]
        assert all(made.first <= day <= made.last for day in days if day is not None)
        assert each.begun is None or each.asked.answered_on < each.begun
        assert all(one.came_on is None or each.begun is None or one.came_on <= each.begun
                   for one in each.bought)


def test_nobody_works_at_two_things_at_once() -> None:
    """The crew's people: on a day each stretch begins when the one before it ends, or later."""
    made = year(7, firm())
    by_day: dict[tuple[str, object], list[tuple[int, int]]] = {}
    for each in made.done:
        for one in each.worked:
            if one.crew:
                by_day.setdefault((one.person, one.on), []).append((one.begun, one.minutes))
    for stretches in by_day.values():
        stretches.sort()
        for (begun, minutes), (then, _) in pairwise(stretches):
            assert then >= begun + minutes - 1  # whole minutes of a stretch are rounded
