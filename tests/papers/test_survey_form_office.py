"""A spreadsheet program that opens a form and saves it again loses nothing, as .xlsx or as .ods."""

from pathlib import Path

import pytest

from catalogue.problems import ProblemsFound
from estimator.papers.survey_form import survey_form
from estimator.survey.toml import read_survey
from estimator.workflow.survey_form import read_form
from tests.workflow.forms import DEMOS, filled, without_places

pytestmark = pytest.mark.office

SURVEYS = {path.parent.name: path for path in sorted(DEMOS.glob("*/survey.toml"))}


@pytest.fixture(scope="module", params=["xlsx", "ods"])
def saved(request, saved_as) -> dict[str, Path]:
    books = {name: survey_form(read_survey(path)) for name, path in SURVEYS.items()}
    books["like-formulas"] = filled({
        ("storage.place", "Words as noted"): "=1+1", ("storage.wall", "Words as noted"): "+44 20",
        ("storage.floor", "Words as noted"): "-5", ("storage.frost", "Words as noted"): "@home",
        ("job.title", "Answer"): "00420", ("job.supply_date", "Answer"): "2027-01-11",
    })
    books["damaged"] = filled({}, damage)
    return saved_as(books, request.param)


def damage(book):
    """Answer with formulas, one of them an error, and merge two answers."""
    site = book["Site"]
    site["B6"], site["B7"] = "=1000+988", "=1/0"
    site.merge_cells("B9:B10")


@pytest.mark.parametrize("name", SURVEYS)
def test_each_demo_survey_comes_back_whole_from_a_spreadsheet_program(saved, name):
    again = read_form(saved[name]).survey
    assert without_places(again) == without_places(read_survey(SURVEYS[name]))


def test_text_that_looks_like_a_formula_or_a_number_is_still_text(saved):
    again = read_form(saved["like-formulas"]).survey
    storage = again.storage
    said = [storage.place.words, storage.wall.words, storage.floor.words, storage.frost.words]
    assert said == ["=1+1", "+44 20", "-5", "@home"]
    assert again.job.title == "00420"
    assert str(again.job.supply_date) == "2027-01-11"


def test_a_fact_from_a_saved_file_names_its_cell(saved):
    again = read_form(saved["storage-outside"]).survey
    assert "Storage!B" in again.storage.modules.place


def test_formulas_errors_and_merged_cells_are_told_from_either_kind_of_file(saved):
    with pytest.raises(ProblemsFound) as found:
        read_form(saved["damaged"])
    told = [(problem.code, problem.where.cell) for problem in found.value.problems]
    assert told == [("X010", "Site!B6"), ("X010", "Site!B7"), ("X011", "Site!B9")]
