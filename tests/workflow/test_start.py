"""Laying a firm's folder, finding it again, and leaving alone what is there."""

from __future__ import annotations

import json
import re
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner

from catalogue.problems import ProblemsFound
from catalogue.toml_source import parse_toml
from estimator.cli import main
from estimator.labour.norms import standard_norms
from estimator.practice.pack import country_folder, read_practice
from estimator.rules.dictionary import fact_dictionary, practice_definitions
from estimator.rules.load import STANDARD_RULES, load_rule_book, read_rule_files
from estimator.settings import Settings
from estimator.settings_file import read_settings
from estimator.survey.template import survey_template
from estimator.survey.toml import read_survey
from estimator.workflow import start as start_module
from estimator.workflow.firm import FirmFiles, database_of
from estimator.workflow.folder import find_firm_folder
from estimator.workflow.start import firm_files, start_firm


def everything(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*")) if path.is_file()
    }


def told(folder: Path) -> str:
    with pytest.raises(ProblemsFound) as caught:
        start_firm(folder)
    return str(caught.value)


def switched_on(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    path.write_text(re.sub(r"^#(?=[\w\[])", "", text, flags=re.MULTILINE), encoding="utf-8")


def test_a_new_folder_holds_settings_survey_and_places_for_own_data(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "firm"
    laid = start_firm(folder)
    assert [path.relative_to(folder).as_posix() for path in laid] == [
        "README.txt", "firm.toml", "rules/example.toml", "norms/example.toml",
        "practice/example.toml", "jobs/blank-survey.toml"]
    assert set(everything(folder)) == set(firm_files())
    assert list((tmp_path / "new").iterdir()) == [folder]
    assert read_settings(folder / "firm.toml") == Settings()
    assert read_survey(folder / "jobs" / "blank-survey.toml").job.id == "J0001"


def test_an_empty_folder_is_filled_and_stays_the_same_folder(tmp_path: Path) -> None:
    folder = tmp_path / "firm"
    folder.mkdir()
    before = folder.stat().st_ino
    start_firm(folder)
    assert set(everything(folder)) == set(firm_files())
    assert folder.stat().st_ino == before
    assert list(tmp_path.iterdir()) == [folder]


def test_a_folder_with_anything_in_it_is_refused_and_left_alone(tmp_path: Path) -> None:
    (tmp_path / "firm.toml").write_text("# mine\n")
    (tmp_path / "jobs").mkdir()
    assert told(tmp_path) == (
        f"{tmp_path}: error F001: the folder is not empty: firm.toml, jobs\n"
        "    name a new or an empty folder; nothing was changed in this one")
    assert everything(tmp_path) == {"firm.toml": b"# mine\n"}


def test_a_long_list_in_the_way_is_cut_short(tmp_path: Path) -> None:
    for number in range(13):
        (tmp_path / f"f{number:02}").write_text("")
    assert "f09 and 3 more" in told(tmp_path)


def test_a_file_of_the_same_name_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "firm"
    path.write_text("mine")
    assert "F001: there is a file of this name already" in told(path)
    assert path.read_text() == "mine"


def test_a_folder_below_a_file_cannot_be_written(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("mine")
    assert "error F002: the folder cannot be" in told(tmp_path / "file" / "firm")


@pytest.mark.parametrize("there", [True, False])
def test_a_failure_half_way_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, there: bool
) -> None:
    folder = tmp_path / "firm"
    if there:
        folder.mkdir()
    real = Path.rename

    def fails(self: Path, target: Path) -> Path:
        if Path(target).name in ("practice", "firm"):
            raise OSError(28, "No space left on device")
        return real(self, target)

    monkeypatch.setattr(Path, "rename", fails)
    assert "error F002: the folder cannot be written: No space left on device" in told(folder)
    assert list(tmp_path.rglob("*")) == ([folder] if there else [])


def test_the_examples_change_nothing_while_they_are_switched_off(tmp_path: Path) -> None:
    folder = tmp_path / "firm"
    start_firm(folder)
    for name in ("rules", "norms", "practice"):
        assert parse_toml((folder / name / "example.toml").read_text(), name).data == {}


def test_the_examples_are_sound_when_they_are_switched_on(tmp_path: Path) -> None:
    folder = tmp_path / "firm"
    start_firm(folder)
    for name in ("rules", "norms", "practice"):
        switched_on(folder / name / "example.toml")
    practice = read_practice([country_folder("gb"), folder / "practice"])
    assert str(practice.number("edge_zone_m", date(2026, 8, 1))) == "0.5"
    assert standard_norms([folder / "norms" / "example.toml"])["load-van"].likely == 25
    facts = fact_dictionary(practice_definitions(practice, date(2026, 8, 1)))
    book = load_rule_book(read_rule_files([STANDARD_RULES, folder / "rules"]), facts)
    assert "our-dust-sheets" in {rule.id for rule in book.rules}


def test_the_folder_is_found_from_a_survey_deep_inside_it(tmp_path: Path) -> None:
    folder = tmp_path / "firm"
    start_firm(folder)
    survey = folder / "jobs" / "blank-survey.toml"
    assert find_firm_folder(survey) == folder
    assert find_firm_folder(folder) == folder
    assert find_firm_folder(folder / "jobs" / "none yet" / "survey.toml") == folder
    assert database_of(None, FirmFiles(folder)) == str(folder / "estimator.db")
    assert database_of("other.db", FirmFiles(folder)) == "other.db"


def test_the_nearest_folder_counts_and_outside_there_is_none(tmp_path: Path) -> None:
    outer, inner = tmp_path, tmp_path / "branch"
    inner.mkdir()
    (outer / "firm.toml").write_text("")
    (inner / "firm.toml").write_text("")
    assert find_firm_folder(inner / "survey.toml") == inner
    (inner / "firm.toml").unlink()
    (outer / "firm.toml").unlink()
    (outer / "firm.toml").mkdir()  # a folder of that name is no settings file
    assert find_firm_folder(inner) is None
    assert database_of(None, FirmFiles(None)) is None


# --- the command -------------------------------------------------------------------------------


def test_the_command_lays_a_folder_and_says_so(tmp_path: Path) -> None:
    result = CliRunner().invoke(main, ["start", str(tmp_path / "firm"), "--json"])
    assert result.exit_code == 0
    files = json.loads(result.output)["files"]
    assert files[1] == (tmp_path / "firm" / "firm.toml").as_posix()
    assert Path(files[1]).is_file()


def test_the_command_refuses_a_folder_in_use_with_status_1(tmp_path: Path) -> None:
    (tmp_path / "x").write_text("")
    result = CliRunner().invoke(main, ["start", str(tmp_path)])
    assert result.exit_code == 1
    assert "error F001: the folder is not empty: x" in result.output


def test_the_command_prints_a_blank_survey() -> None:
    result = CliRunner().invoke(main, ["start", "--blank-survey"])
    assert (result.exit_code, result.output) == (0, survey_template())


@pytest.mark.parametrize("words", [["start"], ["start", "x", "--blank-survey"]])
def test_the_command_wants_a_folder_or_a_blank_survey(words: list[str]) -> None:
    assert CliRunner().invoke(main, words).exit_code == 2


def test_the_readme_names_every_file_that_is_laid() -> None:
    readme = start_module.README
    for name in firm_files():
        assert name.split("/")[0] in readme or name == "README.txt"
