"""A survey form filled in and read back is the same survey; what is blank is unknown."""

from __future__ import annotations

import io
import json
from decimal import Decimal as D
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.problems import ProblemsFound
from estimator.cli import main
from estimator.papers.survey_form import survey_form
from estimator.survey.fact import Evidence, Fact
from estimator.survey.form_lines import SHEETS, all_lines, lines_of, things_paths
from estimator.survey.model import Survey
from estimator.survey.toml import answer_of, group_model, read_survey
from estimator.workflow.survey_form import read_form
from tests.workflow.forms import DEMOS, cell_of, filled, read_back, without_places

SURVEYS = sorted(DEMOS.glob("*/survey.toml"))


@pytest.mark.parametrize("path", SURVEYS, ids=lambda path: path.parent.name)
def test_a_survey_goes_into_a_form_and_comes_back_whole(path: Path, tmp_path: Path) -> None:
    survey = read_survey(path)
    assert without_places(read_back(survey_form(survey), tmp_path)) == without_places(survey)


@pytest.mark.parametrize("path", SURVEYS, ids=lambda path: path.parent.name)
def test_the_survey_file_made_of_a_form_is_the_same_survey(path: Path, tmp_path: Path) -> None:
    form, out = tmp_path / "form.xlsx", tmp_path / "survey.toml"
    form.write_bytes(survey_form(read_survey(path)))
    read_form(form, out)
    assert without_places(read_survey(out)) == without_places(read_survey(path))


def test_each_fact_of_the_model_has_one_line_with_its_unit_in_the_label() -> None:
    facts = {(group, name): answer_of(group_model(group), name)
             for group in Survey.model_fields for name in group_model(group).model_fields
             if group != "job" and answer_of(group_model(group), name) is not None}
    lines = {(line.group, line.field): line for line in all_lines().values() if line.is_fact}
    assert set(lines) == set(facts)
    for key, asked in facts.items():
        assert asked is not None
        assert lines[key].label.endswith(f"[{asked.unit}]") == bool(asked.unit), key
    assert set(SHEETS) == set(Survey.model_fields)
    assert set(things_paths()) == {
        "plane.obstructions", "storage.obstructions", "converter.obstructions"}


def test_what_must_be_given_says_so_in_words() -> None:
    required = {line.path for line in lines_of("job") if line.label.endswith("(required)")}
    assert required == {"job.id", "job.parts"}


def test_a_word_is_chosen_from_a_list_and_the_lists_stand_on_a_hidden_sheet() -> None:
    book = openpyxl.load_workbook(io.BytesIO(survey_form()))
    words = book["words"]
    assert words.sheet_state == "hidden"
    at = cell_of(book, "supply.earthing")
    (check,) = [each for each in book["Supply"].data_validations.dataValidation
                if at.coordinate in each.sqref]
    name, _, where = str(check.formula1).lstrip("=").partition("!")
    chosen = [cell.value for (cell,) in book[name][where.replace("$", "")]]
    assert chosen == ["TN-C-S", "TN-S", "TT"]


def test_text_that_begins_like_a_formula_is_text_in_the_form_and_after_it(tmp_path: Path) -> None:
    survey = read_survey(DEMOS / "storage-outside" / "survey.toml")
    book = openpyxl.load_workbook(io.BytesIO(survey_form(survey)))
    cells = [cell for row in book["Job"].iter_rows() for cell in row
             if str(cell.value).startswith("=bring")]
    assert [cell.data_type for cell in cells] == ["s"]
    for text in ("=1+1", "+44 20", "-5", "@home"):
        again = read_back(filled({("storage.place", "Words as noted"): text}), tmp_path)
        assert again.storage.place.words == text


def test_a_fact_that_is_blank_is_unknown_and_one_with_words_alone_keeps_them(
    tmp_path: Path,
) -> None:
    survey = read_back(filled({("board.spare_ways", "Words as noted"): "cover not off"}), tmp_path)
    fact = survey.board.spare_ways
    assert (fact.value, fact.evidence, fact.words) == (None, Evidence.UNKNOWN, "cover not off")
    assert not survey.planes
    assert not survey.legs
    assert survey.site.listed == Fact()


@pytest.mark.parametrize("word", ["?", "unknown", " Unknown "])
def test_a_mark_of_interrogation_is_unknown(word: str, tmp_path: Path) -> None:
    survey = read_back(filled({("board.spare_ways", "Answer"): word,
                               ("supply.earthing", "Answer"): word}), tmp_path)
    assert not survey.board.spare_ways.known
    assert not survey.supply.earthing.known


def test_an_answer_without_evidence_is_known_as_most_facts_are(tmp_path: Path) -> None:
    survey = read_back(filled({("job.evidence", "Answer"): "seen",
                               ("site.storeys", "Answer"): 2,
                               ("site.travel_min", "Answer"): 12.5,
                               ("site.travel_min", "How it is known"): "measured"}), tmp_path)
    assert (survey.site.storeys.value, survey.site.storeys.evidence) == (2, Evidence.SEEN)
    assert survey.site.travel_min.value == D("12.5")
    assert survey.site.travel_min.evidence is Evidence.MEASURED


def test_each_fact_says_from_which_cell_it_comes(tmp_path: Path) -> None:
    book = openpyxl.load_workbook(io.BytesIO(survey_form()))
    cell = cell_of(book, "site.storeys")
    survey = read_back(filled({("site.storeys", "Answer"): 2}), tmp_path)
    assert survey.site.storeys.place.endswith(f"form.xlsx:Site!{cell.coordinate}")


def test_a_plane_more_is_a_sheet_copied(tmp_path: Path) -> None:
    def copy(book: Any) -> None:
        for number in range(3):
            sheet = book.copy_worksheet(book["Plane 6"])
            cell_of(book, "plane.pitch_deg", sheet).value = 30 + number

    again = read_back(filled({("plane.pitch_deg", "Answer"): 40}, copy), tmp_path)
    assert [plane.pitch_deg.value for plane in again.planes] == [40, 30, 31, 32]
    assert [plane.name for plane in again.planes] == ["plane 1", "plane 2", "plane 3", "plane 4"]


def test_a_leg_more_is_its_rows_copied_with_their_headers(tmp_path: Path) -> None:
    def copy(book: Any) -> None:
        sheet = book["Legs"]
        headers = [row for row in range(1, sheet.max_row + 1) if sheet.cell(row, 7).value == "Path"]
        first, beyond = headers[0], headers[1]
        for extra in range(4):
            at = sheet.max_row + 2
            for row in range(first, beyond):
                for column in range(1, 8):
                    sheet.cell(at + row - first, column, sheet.cell(row, column).value)
                if sheet.cell(row, 7).value == "leg.length_m":
                    sheet.cell(at + row - first, 2, extra + 1)

    again = read_back(filled({("leg.length_m", "Answer"): 9}, copy), tmp_path)
    assert [leg.length_m.value for leg in again.legs] == [9, 1, 2, 3, 4]


def test_a_survey_of_more_planes_legs_and_remarks_than_the_form_has_goes_in_whole(
    tmp_path: Path,
) -> None:
    survey = read_survey(DEMOS / "slate-hip" / "survey.toml")
    plane, leg = survey.planes[0], survey.legs[0]
    many = survey.model_copy(update={
        "planes": tuple(plane.model_copy(update={"name": f"p{n}"}) for n in range(9)),
        "legs": tuple(leg.model_copy(update={"name": f"l{n}"}) for n in range(11)),
        "job": survey.job.model_copy(update={"remarks": tuple(f"remark {n}" for n in range(12))}),
    })
    assert without_places(read_back(survey_form(many), tmp_path)) == without_places(many)


def test_rows_moved_columns_moved_and_sheets_renamed_read_the_same(tmp_path: Path) -> None:
    answers = {("site.storeys", "Answer"): 2, ("site.bats", "Answer"): "no",
               ("site.bats", "Photo"): "p7", ("board.circuits", "Answer"): 10}

    def move(book: Any) -> None:
        sheet = book["Site"]
        sheet.title = "Das Haus"
        sheet.move_range("A5:G9", rows=60)
        sheet.move_range("E4:E80", cols=9)
        book["Board"].insert_rows(2, 3)

    plain, moved = read_back(filled(answers), tmp_path), read_back(filled(answers, move), tmp_path)
    assert without_places(moved) == without_places(plain)
    assert moved.site.bats.photo == "p7"


def test_a_hidden_row_is_read_all_the_same(tmp_path: Path) -> None:
    def hide(book: Any) -> None:
        book["Site"].row_dimensions[cell_of(book, "site.storeys").row].hidden = True
        book["Board"].sheet_state = "hidden"

    survey = read_back(filled({("site.storeys", "Answer"): 3, ("board.circuits", "Answer"): 8},
                              hide), tmp_path)
    assert (survey.site.storeys.value, survey.board.circuits.value) == (3, 8)


VISIBLE = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), max_size=40)
LENGTHS = st.decimals(0, 1000, places=6)


@settings(deadline=None, max_examples=8)
@given(said=st.lists(st.tuples(LENGTHS, VISIBLE), min_size=12, max_size=20))
def test_any_words_and_any_length_come_back_as_they_went(
    said: list[tuple[D, str]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    legs = [{"name": f"leg {number}",
             "length_m": {"value": metres, "evidence": "measured", "words": words}}
            for number, (metres, words) in enumerate(said)]
    survey = Survey.model_validate({"job": {"id": "J-1", "parts": ["storage"]}, "legs": legs})
    found = read_back(survey_form(survey), tmp_path_factory.mktemp("form"))
    assert [(leg.length_m.value, leg.length_m.words) for leg in found.legs] == said


def test_the_same_survey_gives_the_same_bytes() -> None:
    survey = read_survey(DEMOS / "slate-hip" / "survey.toml")
    assert survey_form(survey) == survey_form(survey)


def test_the_commands_write_a_form_read_it_and_replace_nothing_unasked(tmp_path: Path) -> None:
    run = CliRunner().invoke
    form, out = tmp_path / "form.xlsx", tmp_path / "survey.toml"
    demo = str(DEMOS / "slate-hip" / "survey.toml")
    assert run(main, ["survey", "form", str(form), "--survey", demo]).exit_code == 0
    refused = run(main, ["survey", "form", str(form)])
    assert refused.exit_code == 1
    assert "F008" in refused.stderr
    done = run(main, ["survey", "read", str(form), "--out", str(out)])
    assert (done.exit_code, done.stdout) == (0, f"Written: {out}\n")
    assert run(main, ["survey", "read", str(form), "--out", str(out)]).exit_code == 1
    again = ["survey", "read", str(form), "--out", str(out), "--replace", "--json"]
    as_json = json.loads(run(main, again).stdout)
    assert as_json["toml"] == out.read_text(encoding="utf-8")
    assert run(main, ["survey", "read", str(form)]).stdout == as_json["toml"]


def test_a_blank_form_asks_for_number_and_parts_alone(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound) as found:
        read_back(survey_form(), tmp_path)
    told = [(problem.code, problem.where.cell) for problem in found.value.problems]
    book = openpyxl.load_workbook(io.BytesIO(survey_form()))
    assert told == [("S006", f"Job!{cell_of(book, 'job.id').coordinate}"),
                    ("S006", f"Job!{cell_of(book, 'job.parts').coordinate}")]


@pytest.mark.parametrize("text", [
    "_x0041_", "a_x000D_b", "line one\nline two", "tab\there", "http://a.example/x", "1e5", "TRUE",
    "'quoted", "&amp; <b>", "?",
])
def test_text_that_a_workbook_might_take_for_something_else_comes_back(
    text: str, tmp_path: Path
) -> None:
    survey = Survey.model_validate({
        "job": {"id": "J-1", "parts": ["storage"], "title": text},
        "metering": {"route_m": {"value": 3, "evidence": "seen", "words": text, "photo": text}}})
    again = read_back(survey_form(survey), tmp_path)
    assert without_places(again) == without_places(survey)
