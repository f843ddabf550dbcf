"""What a command loads: each in a process of its own, as it is typed.

The bounds are those of the goals of `bench/commands.py`; loading is nearly all of a command's time.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SURVEY = "demo_jobs/storage-outside/survey.toml"
QUOTED = (0, 3)  # 3: quoted as a budget, a finding stops a firm price
NEVER_FOR_A_QUOTE = (
    "alembic", "highspy", "openpyxl", "pandas", "numpy", "sqlalchemy.dialects.postgresql")
NEVER_FOR_HELP = (*NEVER_FOR_A_QUOTE, "jinja2", "pydantic", "sqlalchemy", "tomli", "xlsxwriter")
# Leaves a report when the process ends: modules, and the state of the search for garbage.
PROGRAM = """
import atexit, gc, json, os, sys
report, sys.argv = sys.argv[1], ["estimator", *sys.argv[2:]]
def tell():
    told = {"modules": sorted(sys.modules), "threshold": gc.get_threshold()[0],
            "frozen": gc.get_freeze_count()}
    with open(report, "w") as out:
        json.dump(told, out)
atexit.register(tell)
from estimator.cli import run
run()
"""


def report_of(folder: Path, *command: str) -> dict[str, object]:
    report = folder / "report.json"
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM, str(report), *command], cwd=ROOT, check=False,
        capture_output=True, text=True, env=os.environ | {"PYTHONPATH": str(ROOT)})
    assert done.returncode in QUOTED, done.stderr
    told: dict[str, object] = json.loads(report.read_text())
    return told


@pytest.fixture(scope="module")
def quoted(starter_template: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, object]:
    """What a whole quote left behind; the database was made beforehand, as the goal has it."""
    folder = tmp_path_factory.mktemp("quote")
    database = shutil.copy(starter_template, folder / "estimator.db")
    told = report_of(folder, "quote", SURVEY, "--db", str(database), "--out", str(folder / "out"),
                     "--on", "2026-11-02")
    papers = {path.suffix for path in (folder / "out").iterdir()}
    assert papers == {".xlsx", ".html", ".json", ".svg"}
    return told


def loaded(told: dict[str, object], names: tuple[str, ...]) -> list[str]:
    modules = told["modules"]
    assert isinstance(modules, list)
    return [name for name in names if name in modules]


def test_a_quote_for_storage_alone_loads_no_arithmetic_of_roofs(quoted: dict[str, object]) -> None:
    assert loaded(quoted, ("estimator.design.plane_design", "estimator.design.structure.wind",
                           "estimator.design.structure.judge_roof")) == []


def test_a_quote_makes_no_tables_of_stock_and_orders(quoted: dict[str, object]) -> None:
    assert loaded(quoted, ("catalogue.tables.stock", "catalogue.tables.orders",
                           "catalogue.tables.stock_sheets")) == []


def test_a_quote_loads_no_library_that_other_commands_need(quoted: dict[str, object]) -> None:
    assert loaded(quoted, ("sqlalchemy", "xlsxwriter")) == ["sqlalchemy", "xlsxwriter"]
    assert loaded(quoted, NEVER_FOR_A_QUOTE) == []


def test_rails_are_cut_without_the_solver(starter_template: Path, tmp_path: Path) -> None:
    database = shutil.copy(starter_template, tmp_path / "estimator.db")
    told = report_of(tmp_path, "quote", "demo_jobs/panels-and-storage/survey.toml",
                     "--db", str(database), "--out", str(tmp_path / "out"), "--on", "2026-11-02")
    assert loaded(told, ("estimator.buying.cutting.cut",)) == ["estimator.buying.cutting.cut"]
    assert loaded(told, NEVER_FOR_A_QUOTE) == []


def test_a_quote_maps_no_tables_to_classes(quoted: dict[str, object]) -> None:
    assert loaded(quoted, ("sqlalchemy.orm",)) == []


def test_help_loads_nothing_but_the_terminal(tmp_path: Path) -> None:
    told = report_of(tmp_path, "--help")
    assert loaded(told, ("click",)) == ["click"]
    assert loaded(told, NEVER_FOR_HELP) == []


def test_a_process_of_its_own_searches_for_no_garbage(quoted: dict[str, object]) -> None:
    from estimator.cli import SEARCH_AFTER

    assert quoted["threshold"] == SEARCH_AFTER
    assert isinstance(quoted["frozen"], int)
    assert quoted["frozen"] > 100_000  # all that is left is spared the search on leaving


def test_a_command_called_within_a_process_leaves_its_search_for_garbage_alone() -> None:
    import gc

    from click.testing import CliRunner

    from estimator.cli import main

    before = gc.get_threshold()
    assert CliRunner().invoke(main, ["--help"]).exit_code == 0
    assert gc.get_threshold() == before
