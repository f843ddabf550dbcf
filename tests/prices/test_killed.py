"""An import that is killed at any moment leaves the prices as they were or all as they are to be.

The process gets SIGKILL, which nothing can catch, at seeded moments between its start and the time
that a whole run takes; `KILLS=50` kills it fifty times. Half the moments lie in the later part,
where the prices are written.
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path
from shutil import copy

import pytest

from estimator.workflow import prices
from estimator.workflow.price_columns import Layout
from tests.prices.conftest import COLUMNS, HEADER, NEXT, STATEMENT, SUPPLIER, Desk

ROOT = Path(__file__).parents[2]
ROWS = 4_000
KILLS = int(os.environ.get("KILLS", "5"))
SEED = 20_261_102
PROGRAM = f"import sys; sys.path.insert(0, {str(ROOT)!r}); from estimator.cli import run; run()"
OLD_PRICE, NEW_PRICE = 1000, 1250
IN_FORCE = ("SELECT price_minor, count(*) FROM offer WHERE withdrawn_at IS NULL "
            "GROUP BY price_minor ORDER BY price_minor")
OLD, NEW = [(OLD_PRICE, ROWS)], [(OLD_PRICE, ROWS), (NEW_PRICE, ROWS)]


def large_desk(folder: Path, template: Path) -> Desk:
    """Return a desk with some thousand items at one price, and a list that changes all of them."""
    desk = Desk(folder)
    copy(template, desk.database)
    codes = [f"{number:05}" for number in range(ROWS)]
    desk.change("INSERT INTO supplier VALUES (?, 3, '')", [(SUPPLIER,)])
    desk.change(
        "INSERT INTO item (code, name, family, unit, spec, head, held, bin, waste, vat_class,"
        " serialised, sold_apart, note) VALUES (?, 'a thing', 'fixing', 'each', '{}', 'fixings',"
        " 'stock', '', 0, 'standard', 0, 1, '')", [(code,) for code in codes])
    desk.change(STATEMENT, [(code, SUPPLIER, f"P{code}", OLD_PRICE, 5) for code in codes])
    desk.file("list.csv", HEADER + "".join(f"P{code},A thing,1,12.50\n" for code in codes))
    return desk


def typed(desk: Desk) -> list[str]:
    return ["import", str(desk.folder / "list.csv"), "--supplier", SUPPLIER, "--from", NEXT,
            *COLUMNS, "--write"]


def start(desk: Desk) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-c", PROGRAM, "prices", *typed(desk), "--db", str(desk.database)],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def as_before(desk: Desk, kept: Path) -> None:
    for side in ("-wal", "-shm"):
        desk.database.with_name(desk.database.name + side).unlink(missing_ok=True)
    copy(kept, desk.database)


def test_a_killed_import_leaves_all_old_or_all_new_prices(
    empty_template: Path, tmp_path: Path, record_property: Callable[[str, object], None]
) -> None:
    desk = large_desk(tmp_path, empty_template)
    kept = Path(copy(desk.database, tmp_path / "kept.db"))
    began = time.monotonic()
    assert start(desk).wait() == 0
    whole_s = time.monotonic() - began
    assert desk.rows(IN_FORCE) == NEW
    moments = random.Random(SEED)
    found = {"old": 0, "new": 0}
    for number in range(KILLS):
        as_before(desk, kept)
        killed = start(desk)
        time.sleep(moments.uniform(0.6 if number % 2 else 0.0, 1.0) * whole_s)
        killed.kill()
        killed.wait()
        assert desk.rows("PRAGMA integrity_check") == [("ok",)]
        held = desk.rows(IN_FORCE)
        assert held in (OLD, NEW)
        assert desk.rows("SELECT count(*) FROM price_list") == [(int(held == NEW),)]
        found["new" if held == NEW else "old"] += 1
        desk.run(*typed(desk))
        assert desk.rows(IN_FORCE) == NEW
    record_property("prices after the kills", found)
    assert found["old"], "no kill came before the end; the moments say nothing"


@pytest.mark.parametrize("at", [1, 2])
def test_a_failure_while_writing_leaves_the_old_prices(
    empty_template: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, at: int
) -> None:
    desk = large_desk(tmp_path, empty_template)
    before = desk.everything()
    calls = 0

    def stop(done: int, of: int) -> None:
        nonlocal calls
        calls += done > 75  # of a hundred parts: prices are being written
        if calls == at:
            raise KeyboardInterrupt

    monkeypatch.setattr("catalogue.price_recording.AT_ONCE", 1_000)
    wanted = prices.Wanted(desk.folder / "list.csv", SUPPLIER, date(2026, 12, 1),
                           layout=Layout(COLUMNS[1::2]), write=True)
    with pytest.raises(KeyboardInterrupt):
        prices.import_prices(str(desk.database), wanted, stop)
    assert desk.everything() == before
