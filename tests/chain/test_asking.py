"""`estimator survey ask` and `survey break`, as they are typed."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.chain.desk import DAY, codes, run


@pytest.mark.usefixtures("asked_once")
def test_survey_ask_lists_questions_writes_the_call_list_and_keeps_nothing(desk: Path) -> None:
    (desk / "thin.toml").write_text(
        '[job]\nid = "A-1"\nparts = ["storage"]\nevidence = "seen"\n[storage]\nmodules = 1\n')
    before = (desk / "estimator.db").read_bytes()
    result = run("survey", "ask", "thin.toml", "--on", DAY, "--out", "calls.csv")
    assert result.exit_code == 0, result.output
    assert "ASK FIRST" in result.output
    assert "storage.wall" in (desk / "calls.csv").read_text()
    assert (desk / "estimator.db").read_bytes() == before
    as_json = json.loads(run("survey", "ask", "thin.toml", "--on", DAY, "--json").stdout)
    assert {each["fact"] for each in as_json["questions"]} >= {"storage.wall", "storage.place"}


def test_survey_break_draws_the_picture_it_is_asked_for_and_refuses_another(desk: Path) -> None:
    (desk / "thin.toml").write_text(
        '[job]\nid = "A-1"\nparts = ["storage"]\nevidence = "seen"\n[storage]\nmodules = 2\n')
    result = run("survey", "break", "thin.toml", "--on", DAY, "--out", "a.svg")
    assert result.exit_code == 0, result.output
    assert (desk / "a.svg").read_text().startswith("<svg")
    refused = run("survey", "break", "thin.toml", "--on", DAY, "--out", "a.png", "--json")
    assert (refused.exit_code, codes(refused)) == (1, {"F007"})
    assert not (desk / "a.png").exists()
