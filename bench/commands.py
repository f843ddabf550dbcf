"""Measures commands against the imports that such a program usually makes, in one run.

`estimator --help` against `import click`, and a whole quote (survey to workbook and quote page)
against `import click, sqlalchemy.orm, pydantic`. What counts is the processor time of each child
process, user and system together, since the clock on the wall also counts what else the machine
does. Each round runs both, one after the other; the ratio is the median of seven rounds. Byte code
is warm and the database is made. Once libraries are loaded, the papers of sixty lines are held
against a bare workbook. Leaves with status 1 if a ratio is above its limit.
"""

from __future__ import annotations

import io
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

ROUNDS = 7
LINES = 60
PAPERS_LIMIT = 2.0
SURVEY = "demo_jobs/storage-outside/survey.toml"
HELD_STATUSES = (0, 3)  # 3: quoted as a budget, a finding stops a firm price


@dataclass(frozen=True)
class Race:
    """A command, the imports it is held against, and how many times as long it may take."""

    name: str
    command: Sequence[str]
    imports: str
    limit: float


def environment() -> dict[str, str]:
    """The caller's environment, with byte code written and used."""
    return {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}


def seconds(command: Sequence[str]) -> float:
    """Return the processor seconds of a command that is left to finish."""
    used = resources(command)
    return used.ru_utime + used.ru_stime


def resources(command: Sequence[str]) -> resource.struct_rusage:
    """Return what a command used that is left to finish."""
    with tempfile.TemporaryFile("w+") as said:
        child = subprocess.Popen(
            command, cwd=ROOT, env=environment(), stdout=subprocess.DEVNULL, stderr=said)
        _, status, used = os.wait4(child.pid, 0)
        child.returncode = os.waitstatus_to_exitcode(status)
        said.seek(0)
        if child.returncode not in HELD_STATUSES:
            raise SystemExit(
                f"{' '.join(command)} left with {child.returncode}:\n{said.read()}")
    return used


def ratio(race: Race) -> float:
    """Return the median ratio of seven rounds after one that warms both up."""
    imports = [sys.executable, "-c", f"import {race.imports}"]
    seconds(race.command)
    seconds(imports)
    rounds = [(seconds(race.command), seconds(imports)) for _ in range(ROUNDS)]
    found = statistics.median(ours / bare for ours, bare in rounds)
    ours, bare = (statistics.median(side) * 1000 for side in zip(*rounds, strict=True))
    print(f"{race.name:<18} {ours:7.0f} ms of processor, import {race.imports}: {bare:.0f} ms, "
          f"ratio {found:.2f} (limit {race.limit:g})")
    return found


def bare_workbook() -> bytes:
    """Return a workbook of sixty lines by sixty cells, half of them text, by the library."""
    import xlsxwriter

    out = io.BytesIO()
    with xlsxwriter.Workbook(out, {"in_memory": True}) as book:
        sheet = book.add_worksheet()
        for line in range(LINES):
            for cell in range(0, 60, 2):
                sheet.write_string(line, cell, f"line {line} cell {cell}")
                sheet.write_number(line, cell + 1, line * cell)
    return out.getvalue()


def papers_ratio() -> float:
    """Return how many bare workbooks the workbook and quote page of sixty lines take."""
    from estimator.papers.contract import EstimateJson
    from estimator.papers.quote_page import quote_page
    from estimator.papers.workbook import bill_workbook
    from estimator.settings import Settings
    from tests.papers.sample import large_estimate

    made = EstimateJson.of(large_estimate(LINES), 1)

    def papers() -> None:
        bill_workbook(made)
        quote_page(made, Settings())

    rounds = [(_took(papers), _took(bare_workbook)) for _ in range(ROUNDS + 1)][1:]
    found = statistics.median(ours / bare for ours, bare in rounds)
    ours, bare = (statistics.median(side) * 1000 for side in zip(*rounds, strict=True))
    print(f"{'papers':<18} {ours:7.0f} ms for workbook and quote page of {LINES} lines, a bare "
          f"workbook: {bare:.0f} ms, ratio {found:.2f} (limit {PAPERS_LIMIT:g})")
    return found


def _took(work: Callable[[], object]) -> float:
    start = time.process_time()
    work()
    return time.process_time() - start


def main() -> int:
    """Run the races; 1 if any is lost."""
    script = str(Path(sys.executable).with_name("estimator"))
    with tempfile.TemporaryDirectory() as folder:
        races = (
            Race("estimator --help", (script, "--help"), "click", 1.5),
            Race(
                "estimator quote",
                (script, "quote", SURVEY, "--db", f"{folder}/bench.db", "--out", folder),
                "click, sqlalchemy.orm, pydantic", 2.0,
            ),
        )
        lost = [race.name for race in races if ratio(race) > race.limit]
    if papers_ratio() > PAPERS_LIMIT:
        lost.append("papers")
    for name in lost:
        print(f"too slow: {name}")
    return 1 if lost else 0


if __name__ == "__main__":
    sys.exit(main())
