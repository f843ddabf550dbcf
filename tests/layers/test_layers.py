"""The import contracts of pyproject.toml hold, and each would catch what it is there for."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from estimator.cli import COMMANDS

ROOT = Path(__file__).parents[2]
HEAVY = ("alembic", "jinja2", "openpyxl", "pandas", "pydantic", "sqlalchemy", "xlsxwriter")

# What is planted: file, import -> the contract that must break.
PLANTED = {
    "the catalogue stands alone: it never imports the estimator":
        ("catalogue/references.py", "import estimator.settings"),
    "an estimate flows one way, from survey to papers":
        ("estimator/settings.py", "import estimator.price"),
    "the catalogue's values know no files, and its files know no database":
        ("catalogue/columns.py", "import catalogue.rows"),
    "a price list is read from single cells up to rows: what reads a cell knows no file":
        ("catalogue/price_lists/prices.py", "import catalogue.price_lists.rows"),
    # cost reaches the database library through another module, not by itself
    "what calculates knows no database, terminal, spreadsheet or page":
        ("estimator/cost.py", "import catalogue.loading"),
    "papers render an estimate: they reach no database and no command":
        ("estimator/papers/words.py", "import catalogue.recording"),
    "commands reach database, workbooks and pages through the workflow":
        ("estimator/cli/start.py", "import xlsxwriter"),
    "the migration library has one user, catalogue.schema, and pandas none":
        ("catalogue/exchange.py", "import pandas"),
}


def lint_imports(folder: Path) -> subprocess.CompletedProcess[str]:
    """Run the check of imports in a folder that holds both packages and pyproject.toml."""
    program = "from importlinter.cli import lint_imports_command; lint_imports_command()"
    return subprocess.run(
        [sys.executable, "-c", program, "--no-cache"], cwd=folder, capture_output=True, text=True,
        check=False, env={"COLUMNS": "200", "NO_COLOR": "1", "PATH": ""},
    )


@pytest.fixture
def copied(tmp_path: Path) -> Path:
    """A copy of both packages' Python files with the contracts."""
    for name in ("catalogue", "estimator"):
        for source in (ROOT / name).rglob("*.py"):
            target = tmp_path / source.relative_to(ROOT)
            target.parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(source, target)
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    return tmp_path


def test_all_imports_keep_to_the_contracts() -> None:
    done = lint_imports(ROOT)
    assert done.returncode == 0, done.stdout
    for name in PLANTED:
        assert f"{name} KEPT" in done.stdout


@pytest.mark.parametrize("contract", PLANTED)
def test_a_planted_import_breaks_its_contract(contract: str, copied: Path) -> None:
    file, planted = PLANTED[contract]
    path = copied / file
    path.write_text(path.read_text(encoding="utf-8") + f"\n{planted}\n", encoding="utf-8")
    done = lint_imports(copied)
    assert done.returncode == 1
    assert f"{contract} BROKEN" in done.stdout


@pytest.mark.parametrize(
    ("package", "contract"), [
        ("estimator", "an estimate flows one way, from survey to papers"),
        ("catalogue", "the catalogue's values know no files, and its files know no database"),
    ])
def test_a_module_without_a_place_breaks_the_layers(
    package: str, contract: str, copied: Path
) -> None:
    (copied / package / "newcomer.py").write_text("", encoding="utf-8")
    done = lint_imports(copied)
    assert done.returncode == 1
    assert f"{contract} BROKEN" in done.stdout


def test_the_modules_of_commands_load_no_heavy_library_before_a_command_runs() -> None:
    modules = ", ".join(sorted({module for module, _, _ in COMMANDS.values()}))
    program = (
        f"import sys, estimator.cli, {modules}\n"
        f"print([name for name in {HEAVY!r} if name in sys.modules])")
    done = subprocess.run([sys.executable, "-c", program], cwd=ROOT, check=True,
                          capture_output=True, text=True)
    assert done.stdout.strip() == "[]"
