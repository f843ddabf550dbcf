"""Reading a survey file: facts with evidence and place, and no mistake that ends in a traceback.

The exact messages stand in tests/errors/survey. Values here are written in the test.
"""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.problems import ProblemsFound
from catalogue.toml_source import TomlSource, parse_toml
from estimator.survey.fact import Evidence, Fact
from estimator.survey.model import Header, Survey
from estimator.survey.toml import (
    SHORT_FORMS,
    answer_of,
    group_model,
    read_survey,
    survey_from,
)

HEAD = '[job]\nid = "S1"\nparts = ["storage"]\nevidence = "measured"\n'


def survey_of(text: str) -> Survey:
    return survey_from(parse_toml(HEAD + text, "s.toml"))


def test_a_plain_value_takes_the_evidence_of_the_survey_and_its_line() -> None:
    survey = survey_of("[storage]\nmodules = 3\n")
    assert survey.storage.modules == Fact[Any](
        value=3, evidence=Evidence.MEASURED, place="s.toml:6")


def test_evidence_is_assumed_when_the_survey_does_not_say() -> None:
    source = parse_toml('[job]\nid = "S1"\nparts = ["storage"]\n[storage]\nmodules = 3', "s.toml")
    assert survey_from(source).storage.modules.evidence is Evidence.ASSUMED


def test_a_fact_in_a_table_keeps_its_words_photo_and_own_evidence() -> None:
    survey = survey_of(
        "[board]\nspare_ways = { value = 0, evidence = 'photographed', words = 'bd full', "
        "photo = 'p7' }\n")
    fact = survey.board.spare_ways
    assert (fact.value, fact.evidence, fact.words, fact.photo) == (
        0, Evidence.PHOTOGRAPHED, "bd full", "p7")


@pytest.mark.parametrize(
    "value",
    ['"unknown"', '"?"', '{ value = "?" }', '{ evidence = "unknown" }', "{ }",
     '{ value = "unknown", evidence = "unknown" }'],
)
def test_a_fact_said_to_be_unknown_is_unknown_and_keeps_its_place(value: str) -> None:
    fact = survey_of(f"[board]\nspare_ways = {value}\n").board.spare_ways
    assert not fact.known
    assert fact.evidence is Evidence.UNKNOWN
    assert fact.place == "s.toml:6"


def test_words_of_an_unknown_fact_are_kept() -> None:
    fact = survey_of("[board]\nspare_ways = { words = '2 or 3 spare?' }\n").board.spare_ways
    assert (fact.value, fact.words) == (None, "2 or 3 spare?")


def test_a_missing_fact_is_unknown_and_never_no_or_zero() -> None:
    survey = survey_of("")
    assert survey.supply.isolator_present.value is None
    assert survey.board.spare_ways.value is None
    assert survey.storage.modules.evidence is Evidence.UNKNOWN


def test_decimals_are_exact_and_whole_numbers_serve_as_lengths() -> None:
    survey = survey_of("[converter]\nto_storage_m = 3\ncircuit_m = 8.20\n")
    assert survey.converter.to_storage_m.value == Decimal(3)
    assert str(survey.converter.circuit_m.value) == "8.20"


def test_planes_and_legs_without_a_name_are_numbered() -> None:
    survey = survey_of("[[planes]]\npitch_deg = 35\n[[planes]]\nname = ''\n[[legs]]\n")
    assert [plane.name for plane in survey.planes] == ["plane 1", "plane 2"]
    assert [leg.name for leg in survey.legs] == ["leg 1"]


def test_obstructions_and_dates_are_read() -> None:
    text = HEAD + "surveyed_on = 2026-05-12\n" + (
        "[[planes]]\nname = 'rear'\neaves_length_m = 3\nslope_length_m = 2\n"
        "[[planes.obstructions]]\nname = 'flue'\nx_m = 2.7\ny_m = 1\nwidth_m = 0.3\n"
        "height_m = 1.0\n")
    survey = survey_from(parse_toml(text, "s.toml"))
    assert survey.job.surveyed_on == date(2026, 5, 12)
    (flue,) = survey.planes[0].obstructions
    # Reaches exactly to both edges of the plane: 2.7 + 0.3 = 3 and 1 + 1 = 2.
    assert (flue.x_m + flue.width_m, flue.y_m + flue.height_m) == (3, 2)


def test_all_mistakes_are_told_in_file_order() -> None:
    with pytest.raises(ProblemsFound) as caught:
        survey_of("[board]\nspare_ways = 'x'\n[supply]\nfuse = 60\nphases = 4\n[storage]\n"
                  "mount = 'shelf'\n")
    told = [(problem.code, problem.where.line) for problem in caught.value.problems]
    assert told == [("S002", 6), ("S001", 8), ("S004", 9), ("S003", 11)]


def test_short_forms_point_at_words_that_exist() -> None:
    words: set[str] = set()
    for group in Survey.model_fields:
        model = group_model(group)
        for name in model.model_fields:
            asked = answer_of(model, name)
            words |= set(asked.words if asked else ())
    words |= {"storage", "panels", "converter", "backup"}
    assert set(SHORT_FORMS.values()) <= words


def test_a_file_is_named_as_asked(tmp_path: Path) -> None:
    path = tmp_path / "survey.toml"
    path.write_text(HEAD + "[storage]\nmodules = 3\n")
    assert read_survey(path, "jobs/s.toml").storage.modules.place == "jobs/s.toml:6"


# --- whatever is in the file, the answer is a survey or problems ------------------------------

NAMES = sorted({name for group in Survey.model_fields for name in group_model(group).model_fields})
KNOWN_KEYS = [*Survey.model_fields, *NAMES, "value", "evidence", "x"]
KEYS = st.sampled_from(KNOWN_KEYS) | st.text(max_size=5)
WORDS = st.sampled_from(["storage", "panels", "?", "unknown", "seen", "3", "3 m", "wall", "yes"])
SCALARS = (
    st.booleans() | st.integers(-5, 10**14) | WORDS | st.text(max_size=8) | st.dates()
    | st.datetimes() | st.times()
    | st.decimals(allow_nan=False, allow_infinity=False, min_value=-(10**9), max_value=10**9,
                  places=3)
)
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=4),
    max_leaves=8,
)


@st.composite
def nearly_surveys(draw: st.DrawFn) -> dict[str, Any]:
    """Data with the shape of a survey in which any value may be anything."""
    data: dict[str, Any] = draw(st.dictionaries(KEYS, VALUES, max_size=2))
    for group in draw(st.lists(st.sampled_from(list(Survey.model_fields)), max_size=5)):
        names = st.sampled_from(list(group_model(group).model_fields))
        table = st.dictionaries(names | KEYS, VALUES, max_size=4)
        data[group] = draw(st.lists(table, max_size=2) if group in ("planes", "legs") else table)
    if draw(st.booleans()):
        data["job"] = {"id": "S1", "parts": ["storage"], **draw(st.dictionaries(KEYS, VALUES))}
    return data


def survey_or_problems(source: TomlSource) -> None:
    try:
        survey = survey_from(source)
    except ProblemsFound as found:
        assert found.problems  # noqa: PT017
        # S099 is the net below the reader's own checks; nothing may fall that far.
        assert all(p.code != "S099" and p.says and p.where.file for p in found.problems)  # noqa: PT017
    else:
        assert survey.job.parts


@given(nearly_surveys())
def test_any_nested_data_is_a_survey_or_problems(data: dict[str, Any]) -> None:
    survey_or_problems(TomlSource("s.toml", data))


@given(st.sampled_from(list(Survey.model_fields)), st.data())
def test_any_value_of_any_key_is_a_survey_or_problems(group: str, data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(list(group_model(group).model_fields)))
    table = {name: data.draw(VALUES)}
    head = {"id": "S1", "parts": ["storage"]}
    if group == "job":
        survey_or_problems(TomlSource("s.toml", {"job": {**head, **table}}))
    else:
        value = [table] if group in ("planes", "legs") else table
        survey_or_problems(TomlSource("s.toml", {"job": head, group: value}))


@given(st.binary() | st.text().map(lambda text: (HEAD + text).encode()))
def test_any_bytes_in_a_file_are_a_survey_or_problems(
    tmp_path_factory: pytest.TempPathFactory, content: bytes
) -> None:
    path = tmp_path_factory.mktemp("s") / "survey.toml"
    path.write_bytes(content)
    try:
        survey = read_survey(path)
    except ProblemsFound as found:
        assert found.problems  # noqa: PT017
    else:
        assert survey.job.id == "S1"


def test_a_time_is_told_and_not_taken_for_a_date() -> None:
    source = TomlSource("s.toml", {"job": {
        "id": "S1", "parts": ["storage"], "surveyed_on": datetime(2026, 5, 1, 8)}})  # noqa: DTZ001
    with pytest.raises(ProblemsFound, match="leave the time out: 2026-05-01"):
        survey_from(source)


def test_every_field_of_the_header_can_be_typed_in() -> None:
    assert "parts" in Header.model_fields
    text = (
        'title = "t"\ncustomer = "c"\naddress = "a"\nsurveyor = "s"\nestimator = "e"\n'
        'supply_date = 2026-07-01\nremarks = ["r"]\nprivate_remarks = ["p"]\n')
    assert survey_of(text).job.private_remarks == ("p",)


@pytest.mark.parametrize(("fact", "told"), [
    ("eaves_length_m = 201", "200"), ("slope_length_m = 200.5", "200"), ("rows = 51", "50"),
    ("columns = 101", "100"), ("panels = 1001", "1000"),
])
def test_a_plane_larger_than_a_house_has_is_refused(tmp_path: Path, fact: str, told: str) -> None:
    path = tmp_path / "survey.toml"
    path.write_text(f'[job]\nid = "L"\nparts = ["panels"]\n[[planes]]\nname = "south"\n{fact}\n')
    with pytest.raises(ProblemsFound) as refused:
        read_survey(path)
    (problem,) = refused.value.problems
    assert problem.code == "S004"
    assert told in problem.mend.replace(",", "") + problem.says.replace(",", "")
