"""Measures the import of a price list of 100,000 rows against the bare work, in one run.

The bare work is to read the same workbook with the fastest reader there is and to put the same rows
into a table like that of the offers (the same columns, checks and index, no references; with the
prices of the list before, where there is one), with the journal that the program uses. It is held
against `estimator prices import FILE --supplier S --write`, the whole command from its start: once
into a catalogue of 100,000 items that is linked to the supplier's part numbers and knows none of
his prices, and once where each row changes the price of the list before. What counts is the time on
the wall from start to end, which is what whoever waits for it has; the program reads the database
while it reads the file, so two free processors are needed. The processor time stands beside it.
Ratios are the median of the rounds. Also says how much memory the command had at its height. Leaves
with status 1 if a ratio or the memory is above its limit.
"""

from __future__ import annotations

import shutil
import sqlite3
import statistics
import sys
import tempfile
import time
from collections.abc import Iterable
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from bench import big_price_list as listed  # noqa: E402  the folder must be known first
from bench.commands import resources  # noqa: E402

ROUNDS = 5
LIMIT = 2.0
MEMORY_MB = 500
RISE_MINOR = 3
BARE = """
import sqlite3, sys
import python_calamine
file, day, database = sys.argv[1:]
read = python_calamine.CalamineWorkbook.from_path(file).get_sheet_by_index(0).to_python()
rows = [
    ("I" + code, "S", code, int(pack * 1000), int(per * 1000), int(least * 1000) if least else 0,
     round(price * 100), "GBP", round(cut * 100) if cut else None, carriage, int(days),
     day, "2026-11-02T12:00:00.000000+00:00", "me", "list", 1)
    for code, name, pack, per, price, unit, least, cut, carriage, days in read[1:]]
work = sqlite3.connect(database)
work.executemany(
    "INSERT INTO offer (item_code, supplier, supplier_code, pack, per, least, price_minor,"
    " currency, cut_charge_minor, carriage_class, lead_days, from_date, entered_at, entered_by,"
    " entered_from, price_list_id) VALUES (" + ", ".join("?" * 16) + ")", rows)
work.commit()
work.close()
"""


def make_catalogue(path: Path) -> None:
    """Make a database of 100,000 items, each linked to a part number; plain SQL, for speed."""
    from catalogue import db
    from catalogue.schema import migrate

    engine = db.engine_for(str(path))
    with engine.begin() as work:
        migrate(work)
    engine.dispose()
    rows = [listed.row(number) for number in range(1, listed.ROWS + 1)]
    with sqlite3.connect(path) as plain:
        plain.execute("INSERT INTO supplier VALUES (?, 2, '')", (listed.SUPPLIER,))
        plain.executemany(
            "INSERT INTO item (code, name, family, unit, spec, head, held, bin, waste, vat_class,"
            " serialised, sold_apart, note) VALUES (?, ?, 'fixing', ?, '{}', 'fixings', 'stock',"
            " '', 0, 'standard', 0, 1, '')", [(f"I{row[0]}", row[1], row[5]) for row in rows])
        plain.executemany("INSERT INTO supplier_item VALUES (?, ?, ?)",
                          [(listed.SUPPLIER, row[0], f"I{row[0]}") for row in rows])
        plain.execute("INSERT INTO price_columns VALUES (?, ?, '2026-01-01T00:00:00.000000+00:00')",
                      (listed.SUPPLIER, listed.COLUMN_MAP))
    plain.close()


def make_bare_table(path: Path, like: Path) -> None:
    """Make a database that has the table of offers and its index only."""
    with sqlite3.connect(like) as there:
        made = [sql for (sql,) in there.execute(
            "SELECT sql FROM sqlite_master WHERE tbl_name = 'offer' AND sql IS NOT NULL "
            "ORDER BY type DESC")]
    there.close()
    with sqlite3.connect(path) as bare:
        bare.execute("PRAGMA journal_mode = wal")
        for sql in made:
            bare.execute(sql)
    bare.close()


def used(command: Iterable[Any]) -> tuple[float, float, float]:
    """Return seconds on the wall, processor seconds and megabytes at the height of a command."""
    start = time.perf_counter()
    resource = resources([str(word) for word in command])
    wall = time.perf_counter() - start
    return wall, resource.ru_utime + resource.ru_stime, resource.ru_maxrss / 1024


def race(name: str, file: Path, catalogue: Path, bare: Path, day: str) -> bool:
    """Run both in turn, each on a fresh copy; leave what came of it as `catalogue` and `bare`."""
    copy, bare_copy = catalogue.with_name("copy.db"), catalogue.with_name("bare copy.db")
    script = Path(sys.executable).with_name("estimator")
    rounds = []
    for _ in range(ROUNDS + 1):
        shutil.copy(bare, bare_copy)
        base = used((sys.executable, "-c", BARE, file, day, bare_copy))
        shutil.copy(catalogue, copy)
        ours = used((script, "prices", "import", file, "--supplier", listed.SUPPLIER,
                     "--from", day, "--write", "--db", copy))
        rounds.append((ours, base))
    shutil.copy(copy, catalogue)
    shutil.copy(bare_copy, bare)
    del rounds[0]  # it warmed both up
    ratio, processor = (
        statistics.median(ours[each] / base[each] for ours, base in rounds) for each in (0, 1))
    took, bare_took = (
        statistics.median(side[0] for side in both) for both in zip(*rounds, strict=True))
    height = max(ours[2] for ours, _ in rounds)
    print(f"{name:<18} {took:5.2f} s, bare {bare_took:.2f} s, ratio {ratio:.2f} "
          f"(limit {LIMIT:g}; of processor time {processor:.2f}), {height:.0f} MB "
          f"(limit {MEMORY_MB})")
    return ratio <= LIMIT and height <= MEMORY_MB


def main() -> int:
    """Run the races; 1 if any is lost."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        catalogue, bare = folder / "catalogue.db", folder / "bare.db"
        make_catalogue(catalogue)
        make_bare_table(bare, catalogue)
        listed.write(folder / "first.xlsx")
        listed.write(folder / "second.xlsx", rise_minor=RISE_MINOR)
        won = [
            race("all prices new", folder / "first.xlsx", catalogue, bare,
                 "2026-11-02"),
            race("all changed", folder / "second.xlsx", catalogue, bare,
                 "2026-12-01"),
        ]
    return 0 if all(won) else 1


if __name__ == "__main__":
    sys.exit(main())
