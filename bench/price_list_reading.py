"""Measures reading a price list of 100,000 rows against the bare library that reads its cells.

Both run in processes of their own, one after the other, seven rounds; what counts is the processor
time of the reading, user and system together, without the imports, which a command needs for more
than this. The ratio is that of the least times, since other work on the machine only ever adds to
them. Also says the most memory that the process took. Leaves with status 1 if the ratio or the
memory is above its limit.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from bench.big_price_list import COLUMN_MAP, ROWS, write  # noqa: E402

ROUNDS = 7
RATIO, MOST_MB = 1.9, 300.0
# As in a command, no search for cyclic garbage until there are a million objects.
BEGIN = """
import gc, sys, time
from pathlib import Path
from python_calamine import CalamineWorkbook
from catalogue.price_lists.column_map import parse_column_map
from catalogue.price_lists.reading import read_price_list
from catalogue.price_lists.workbook import workbook_table
gc.set_threshold(1_000_000, 50, 50)
columns = parse_column_map(sys.argv[2])
start = time.process_time()
"""
BARE = """
book = CalamineWorkbook.from_path(sys.argv[1])
rows = sum(1 for _ in book.get_sheet_by_name(book.sheet_names[0]).iter_rows()) - 1
"""
OURS = "rows = len(read_price_list(Path(sys.argv[1]), columns).rows)"
END = "\nprint(rows, time.process_time() - start)"


def measured(program: str, path: Path) -> tuple[float, float]:
    """Return processor seconds of the reading and the most memory in MB of its process."""
    with tempfile.TemporaryFile("w+") as said:
        child = subprocess.Popen(
            [sys.executable, "-c", BEGIN + program + END, str(path), COLUMN_MAP], cwd=ROOT,
            stdout=said)
        _, status, used = os.wait4(child.pid, 0)
        child.returncode = os.waitstatus_to_exitcode(status)
        said.seek(0)
        rows, seconds = said.read().split() or ("0", "0")
        if child.returncode or int(rows) != ROWS:
            raise SystemExit("the list was not read whole")
    return float(seconds), used.ru_maxrss / 1024


def main() -> int:
    """Measure; 1 if a limit is passed."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "list.xlsx"
        write(path)
        rounds = [(measured(OURS, path), measured(BARE, path)) for _ in range(ROUNDS)]
    ours, bare = (min(side[0] for side in each) for each in zip(*rounds, strict=True))
    ratio = ours / bare
    memory = max(each[1] for each, _ in rounds)
    print(f"reading a price list of {ROWS:,} rows {ours:.2f} s of processor, its cells alone "
          f"{bare:.2f} s, ratio {ratio:.2f} (limit {RATIO:g}); {memory:.0f} MB (limit {MOST_MB:g})")
    return 1 if ratio > RATIO or memory > MOST_MB else 0


if __name__ == "__main__":
    sys.exit(main())
