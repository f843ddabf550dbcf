"""Every refused substitute beside the exact words that the user reads; nothing is changed then."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from estimator.cli import main

HERE = Path(__file__).parent / "substitutes"
JOBS = Path(__file__).parents[2] / "demo_jobs"
DAY = ["--on", "2026-11-02", "--db", "estimator.db"]
QUOTE = ["quote", "survey.toml", *DAY]
# Name of the message -> demo job, and the command as typed.
CASES: dict[str, tuple[str, list[str]]] = {
    "no-such-item": ("storage-outside", [*QUOTE, "--substitute", "03040-TF=3060-TE"]),
    "no-offer": ("storage-outside", [*QUOTE, "--substitute", "03505-LK=03501-CP"]),
    "cannot-be-followed": ("storage-outside", [
        *QUOTE, "--substitute", "03040-TE=03040-TE", "--substitute", "12010=12020",
        "--substitute", "12020=12030"]),
    "not-of-this-job": ("storage-outside", [*QUOTE, "--substitute", "02110-ZN=02110-SS"]),
    "not-as-good": ("storage-outside", [
        *QUOTE, "--substitute", "03040-TE=03025-TE", "--substitute", "01136-OU=01136-IN"]),
    "not-known-to-be-as-good": ("storage-outside", [
        *QUOTE, "--substitute", "01505-WF=01533-WF"]),
    "rule-asks-for-more": ("three-phase-stack", [*QUOTE, "--substitute", "04420-F=04420-B"]),
    "no-such-role": ("storage-outside", [
        "catalogue", "substitutes", "03040-TE", "--role", "circut cable", *DAY]),
}


def told(name: str, folder: Path, starter: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    job, typed = CASES[name]
    shutil.copy(starter, folder / "estimator.db")
    shutil.copy(JOBS / job / "survey.toml", folder / "survey.toml")
    monkeypatch.chdir(folder)
    monkeypatch.delenv("ESTIMATOR_DB", raising=False)
    before = {path.name for path in folder.iterdir()}
    result = CliRunner().invoke(main, typed)
    assert result.exit_code == 1, result.output
    assert "Traceback" not in result.output
    after = {path.name for path in folder.iterdir()}
    assert {name for name in after - before if not name.endswith(("-wal", "-shm"))} == set()
    return result.stderr


@pytest.mark.parametrize("name", CASES)
def test_a_refused_substitute_is_told_in_these_words(
    name: str, tmp_path: Path, starter_template: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    expected = (HERE / f"{name}.txt").read_text(encoding="utf-8")
    assert told(name, tmp_path, starter_template, monkeypatch) == expected


def test_there_is_a_case_for_every_code_and_no_stray_message() -> None:
    assert {path.stem for path in HERE.glob("*.txt")} == set(CASES)
    texts = "".join(path.read_text(encoding="utf-8") for path in HERE.glob("*.txt"))
    # E306 needs a catalogue of its own: tests/buying/test_swaps.py has its words.
    assert sorted(set(re.findall(r"error (E3[0-9]{2}):", texts))) == [
        "E301", "E302", "E303", "E304", "E305", "E307", "E308"]
