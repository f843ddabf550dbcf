"""Every broken file given to its command: exact message, status 1, nothing changed on disk."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from estimator.cli import main

HERE = Path(__file__).parent
DEMO = HERE.parents[1] / "demo_jobs" / "storage-outside" / "survey.toml"
DAY = "2026-11-02"
BROKEN = [
    path for kind in ("survey", "settings", "rules", "catalogue")
    for path in sorted((HERE / kind).iterdir()) if path.suffix in (".toml", ".csv")
]


def snapshot(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*")) if path.is_file()
    }


def arguments(path: Path, firm: Path) -> list[str]:
    """Return the command that reads a broken file, laid where the command expects it."""
    database = ["--db", str(firm / "estimator.db")]
    if path.parent.name == "survey":
        return ["quote", path.name, "--on", DAY, *database]
    if path.parent.name == "settings":
        shutil.copy(path, firm / "firm.toml")
        (firm / path.name).unlink()
        shutil.copy(DEMO, firm / "survey.toml")
        return ["quote", "survey.toml", "--on", DAY, *database]
    if path.parent.name == "rules":
        return ["rules", "check", "--rules", path.name, "--on", DAY, *database]
    family = path.name.split("-")[0]
    return ["catalogue", "import", path.name, "--family", family, "--write", *database]


@pytest.mark.parametrize("path", BROKEN, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_a_broken_file_changes_nothing(
    path: Path, tmp_path: Path, starter_template: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.copy(starter_template, tmp_path / "estimator.db")
    shutil.copy(path, tmp_path / path.name)
    monkeypatch.chdir(tmp_path)
    typed = arguments(path, tmp_path)
    before = snapshot(tmp_path)
    result = CliRunner().invoke(main, typed)
    assert result.exit_code == 1, result.output
    assert result.exception is None or isinstance(result.exception, SystemExit)
    assert "Traceback" not in result.output
    after = snapshot(tmp_path)
    for side in ("-wal", "-shm"):  # the database library's own; they hold no change
        after.pop(f"estimator.db{side}", None)
    assert after == before


def test_there_is_a_set_of_broken_files_of_each_kind() -> None:
    kinds = [path.parent.name for path in BROKEN]
    assert {kind: kinds.count(kind) >= 5 for kind in set(kinds)} == {
        "survey": True, "settings": True, "rules": True, "catalogue": True}
