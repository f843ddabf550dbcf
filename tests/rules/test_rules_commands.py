"""The commands `rules check`, `rules list` and `facts`, run in an empty folder."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from estimator.cli import main
from tests.rules.small_job import rule

ROOT = Path(__file__).parents[2]


@pytest.fixture
def empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ESTIMATOR_DB", raising=False)
    return tmp_path


def call(*words: str) -> Result:
    return CliRunner().invoke(main, list(words))


def own_rules(folder: Path, text: str) -> str:
    path = folder / "own" / "mine.toml"
    path.parent.mkdir()
    path.write_text(text, encoding="utf-8")
    return str(path.parent)


def test_the_standard_rules_are_sound_and_no_database_is_made(empty_folder: Path) -> None:
    done = call("rules", "check", "--on", "2026-07-01")
    assert done.exit_code == 0, done.output
    assert done.output.startswith("Rules are sound: ")
    assert list(empty_folder.iterdir()) == []


def test_a_mistake_in_own_rules_is_told_with_its_place_and_status_1(empty_folder: Path) -> None:
    folder = own_rules(empty_folder, rule("storage.mont == 'wall'"))
    done = call("rules", "check", "--rules", folder)
    assert done.exit_code == 1
    assert f"{folder}/mine.toml:4:9: error R104: 'storage.mont' is not a fact" in done.stderr
    assert "did you mean 'storage.mount'?" in done.stderr
    assert "Traceback" not in done.output


def test_machines_get_counts_as_json(empty_folder: Path) -> None:
    done = call("rules", "check", "--json", "--on", "2026-07-01")
    assert done.exit_code == 0
    assert set(json.loads(done.stdout)["counts"]) == {
        "computed facts", "material rules", "tasks", "risks", "checks", "assumptions"}


def test_the_list_shows_own_rules_among_the_others(empty_folder: Path) -> None:
    folder = own_rules(empty_folder, rule("storage.mount == 'wall'", id_="our-own-bracket"))
    rows = json.loads(call("rules", "list", "--rules", folder, "--json").stdout)
    (own,) = [row for row in rows if row["rule"] == "our-own-bracket"]
    assert own == {"rule": "our-own-bracket", "kind": "material", "part": "storage",
                   "when": "storage.mount == 'wall'", "because": "of that"}
    assert "our-own-bracket" in call("rules", "list", "--rules", folder).stdout


def test_facts_are_found_by_words_and_tell_who_reads_them(empty_folder: Path) -> None:
    folder = own_rules(empty_folder, rule("storage.mount == 'wall'", id_="our-own-bracket"))
    rows = json.loads(call("facts", "storage", "HUNG", "--rules", folder, "--json").stdout)
    assert [row["fact"] for row in rows] == ["storage.mount"]
    assert rows[0]["values"] == ["wall", "floor"]
    assert "our-own-bracket" in rows[0]["read by"]
    shown = call("facts", "storage.mount").stdout
    assert "one of: wall, floor" in shown
    assert "No fact has these words" in call("facts", "nothing-of-the-kind").stdout


def test_listing_facts_loads_no_database_library() -> None:
    program = (
        "import sys\nfrom click.testing import CliRunner\nfrom estimator.cli import main\n"
        "assert CliRunner().invoke(main, ['facts', 'storage']).exit_code == 0\n"
        "print([n for n in ('sqlalchemy', 'alembic', 'pandas', 'openpyxl') if n in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", program], cwd=ROOT, check=True,
                          capture_output=True, text=True)
    assert done.stdout.strip() == "[]"
