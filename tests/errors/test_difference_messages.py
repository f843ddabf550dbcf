"""Revisions that cannot be compared, beside the exact words that the user reads."""

from __future__ import annotations

import json
import shutil
import sqlite3
from pathlib import Path

import pytest
from click.testing import CliRunner

from estimator.cli import main

HERE = Path(__file__).parent / "difference"
SURVEY = Path(__file__).parents[2] / "demo_jobs" / "storage-outside" / "survey.toml"
# Name of the message -> the command as typed.
CASES = {
    "itself": ["diff", "D-101", "1", "1"],
    "other-currency": ["diff", "D-101", "1", "2"],
    "no-such-revision": ["diff", "D-101", "1", "7"],
    "no-such-job": ["diff", "D-110", "1", "2"],
}


@pytest.fixture
def desk(tmp_path: Path, starter_template: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A job of two revisions, the second in another currency, as another database may have it."""
    shutil.copy(starter_template, tmp_path / "estimator.db")
    shutil.copy(SURVEY, tmp_path / "survey.toml")
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ESTIMATOR_DB", raising=False)
    quote = ["quote", "survey.toml", "--on", "2026-11-02", "--no-papers"]
    for more in ([], ["--discount", "50", "--reason", "a test", "--name", "A. B."]):
        assert CliRunner().invoke(main, [*quote, *more]).exit_code == 0
    with sqlite3.connect("estimator.db") as work:
        ((text,),) = work.execute("SELECT estimate_json FROM revision WHERE number = 2")
        work.execute("UPDATE revision SET estimate_json = ? WHERE number = 2",
                     (json.dumps({**json.loads(text), "currency": "EUR"}),))
    return tmp_path


@pytest.mark.parametrize("name", CASES)
def test_revisions_that_cannot_be_compared_are_told_in_these_words(desk: Path, name: str) -> None:
    result = CliRunner().invoke(main, CASES[name])
    assert (result.exit_code, result.stdout) == (1, "")
    assert result.stderr == (HERE / f"{name}.txt").read_text(encoding="utf-8")


def test_there_is_a_case_for_every_message_and_no_stray_one() -> None:
    assert {path.stem for path in HERE.glob("*.txt")} == set(CASES)
