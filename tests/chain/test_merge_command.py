"""`estimator survey merge`, as it is typed."""

from __future__ import annotations

import json
from pathlib import Path

from estimator.survey.toml import read_survey
from tests.chain.desk import codes, run

HEAD = '[job]\nid = "M-1"\nparts = ["storage"]\nevidence = "{}"\n[storage]\n'


def two(desk: Path) -> None:
    (desk / "office.toml").write_text(HEAD.format("customer said") + 'wall = "stud"\n'
                                      'modules = { value = 2, words = "two" }\n')
    (desk / "visit.toml").write_text(HEAD.format("measured") + 'wall = "dense brick"\n')


def test_the_better_known_claim_is_written_and_the_other_told(desk: Path) -> None:
    two(desk)
    result = run("survey", "merge", "visit.toml", "office.toml", "--out", "both.toml")
    assert result.exit_code == 0, result.output
    made = read_survey(desk / "both.toml")
    assert (made.storage.wall.value, made.storage.modules.value) == ("dense brick", 2)
    assert str(made.storage.wall.evidence) == "measured"
    assert "taken  dense brick, measured" in result.output
    assert "left   stud, customer said (office.toml:6)" in result.output


def test_without_a_file_named_the_survey_goes_to_the_standard_output(desk: Path) -> None:
    two(desk)
    result = run("survey", "merge", "office.toml", "visit.toml")
    (desk / "again.toml").write_text(result.stdout)
    assert read_survey(desk / "again.toml").storage.modules.words == "two"
    told = json.loads(run("survey", "merge", "office.toml", "visit.toml", "--json").stdout)
    assert [each["fact"] for each in told["merged"] if each["differs"]] == ["storage.wall"]


def test_a_filled_in_form_is_merged_as_a_survey_file_is(desk: Path) -> None:
    two(desk)
    assert run("survey", "form", "form.xlsx", "--survey", "visit.toml").exit_code == 0
    result = run("survey", "merge", "office.toml", "form.xlsx", "--out", "both.toml")
    assert result.exit_code == 0, result.output
    made = read_survey(desk / "both.toml")
    assert (made.storage.wall.value, made.storage.modules.value) == ("dense brick", 2)
    assert "form.xlsx" in result.output


def test_a_note_is_merged_into_the_job_of_the_others_and_yields_to_what_was_measured(
    desk: Path
) -> None:
    two(desk)
    (desk / "call.txt").write_text("2 mods int gge. gge wall light block. 3 spare.\n")
    result = run("survey", "merge", "call.txt", "visit.toml", "--out", "both.toml")
    assert result.exit_code == 0, result.output
    made = read_survey(desk / "both.toml")
    assert (made.job.id, made.job.parts) == ("M-1", ("storage",))
    assert made.storage.modules.value == 2
    assert (made.storage.wall.value, str(made.storage.wall.evidence)) == (
        "dense brick", "measured")
    assert made.board.spare_ways.value == 3


def test_mistakes_of_every_file_are_told_and_nothing_is_written(desk: Path) -> None:
    (desk / "a.toml").write_text(HEAD.format("seen") + "modules = 0\n")
    (desk / "b.toml").write_text(HEAD.format("seen") + 'wall = "jelly"\n')
    result = run("survey", "merge", "a.toml", "b.toml", "--out", "c.toml", "--json")
    assert (result.exit_code, codes(result)) == (1, {"S003", "S004"})
    assert not (desk / "c.toml").exists()


def test_what_contradicts_itself_only_together_is_told(desk: Path) -> None:
    plane = '[job]\nid = "M-1"\nparts = ["panels"]\nevidence = "seen"\n[[planes]]\nname = "rear"\n'
    (desk / "a.toml").write_text(plane + "rows = 2\ncolumns = 3\n")
    (desk / "b.toml").write_text(plane + "panels = 7\n")
    result = run("survey", "merge", "a.toml", "b.toml", "--out", "c.toml", "--json")
    assert (result.exit_code, codes(result)) == (1, {"S011"})
    assert not (desk / "c.toml").exists()
