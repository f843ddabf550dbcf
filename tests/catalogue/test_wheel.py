"""A built wheel holds all that the program reads at run time, and works away from its source."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
BUILD = "import sys; from setuptools.build_meta import build_wheel; build_wheel(sys.argv[1])"
FIRST_USE = """
import sys
from pathlib import Path
from catalogue.db import open_database
from catalogue.schema import migrations_folder
open_database(sys.argv[1])
print(migrations_folder())
"""


def folders(top: str) -> set[str]:
    """Return every folder of a package that holds files, as the wheel would name it."""
    found = set()
    for folder in (ROOT / top, *(ROOT / top).rglob("*/")):
        files = [path for path in folder.iterdir() if path.is_file()]
        if files and "__pycache__" not in folder.parts:
            found.add(".".join(folder.relative_to(ROOT).parts))
    return found


def test_every_folder_of_the_program_goes_into_the_wheel() -> None:
    mapped = {"catalogue.migrations", "catalogue.migrations.versions"}
    assert set(PROJECT["tool"]["setuptools"]["packages"]) == (
        folders("catalogue") | folders("estimator") | mapped)


def test_every_kind_of_data_file_goes_into_the_wheel() -> None:
    carried = {"*.py", *PROJECT["tool"]["setuptools"]["package-data"]["*"]}
    kinds = {
        f"*{path.suffix}" for top in ("catalogue", "estimator", "alembic")
        for path in (ROOT / top).rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    } - {"*.md"}  # notes for developers
    assert kinds <= carried


@pytest.fixture(scope="session")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder in which the wheel is unpacked."""
    base = tmp_path_factory.mktemp("wheel")
    source = base / "source"
    for name in ("catalogue", "estimator", "alembic"):
        shutil.copytree(ROOT / name, source / name,
                        ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", source)
    (source / "README.md").write_text("read me\n", encoding="utf-8")
    subprocess.run([sys.executable, "-c", BUILD, str(base)], check=True, cwd=source,
                   capture_output=True)
    (wheel,) = base.glob("*.whl")
    with zipfile.ZipFile(wheel) as packed:
        packed.extractall(base / "installed")
    return base / "installed"


def test_the_wheel_adds_nothing_at_the_top_but_the_two_packages(installed: Path) -> None:
    tops = {path.name for path in installed.iterdir() if not path.name.endswith(".dist-info")}
    assert tops == {"catalogue", "estimator"}


def test_the_installed_program_makes_its_database(installed: Path, tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", FIRST_USE, str(tmp_path / "estimator.db")], check=True, text=True,
        capture_output=True, cwd=tmp_path, env={**os.environ, "PYTHONPATH": str(installed)})
    assert done.stdout.strip() == str(installed / "catalogue" / "migrations")
    assert (tmp_path / "estimator.db").stat().st_size > 100_000
