"""The blank survey names every fact, and is a survey itself."""

from __future__ import annotations

import re

from catalogue.toml_source import parse_toml
from estimator.survey.group import Obstruction
from estimator.survey.model import Header, Survey
from estimator.survey.template import survey_template
from estimator.survey.toml import answer_of, group_model, survey_from


def switched_on(text: str) -> str:
    """Take away the # of lines that are keys or headers; remarks have a space after the #."""
    return re.sub(r"^#(?=[\w\[])", "", text, flags=re.MULTILINE)


def test_the_blank_survey_reads_as_a_survey_in_which_nothing_is_known() -> None:
    survey = survey_from(parse_toml(survey_template(), "blank.toml"))
    for group in ("site", "storage", "converter", "supply", "board", "metering", "backup"):
        part = getattr(survey, group)
        for name in type(part).model_fields:
            held = getattr(part, name)
            assert held == () if name == "obstructions" else not held.known
    assert survey.planes == ()


def test_the_blank_survey_with_its_lists_switched_on_is_read_too() -> None:
    survey = survey_from(parse_toml(switched_on(survey_template()), "blank.toml"))
    assert [len(survey.planes), len(survey.legs)] == [1, 1]
    assert len(survey.planes[0].obstructions) == 1


def remarks_of(text: str) -> dict[tuple[str, str], str]:
    """Return what stands directly above each key, by table and key."""
    found: dict[tuple[str, str], str] = {}
    table, remark = "", ""
    for line in switched_on(text).splitlines():
        if line.startswith("["):
            table, remark = line.strip("[]"), ""
        elif line.startswith("#"):
            remark += " " + line.lstrip("# ")
        elif line:
            found[table, line.split(" =")[0]] = remark
            remark = ""
    return found


def test_every_fact_of_the_model_stands_in_the_blank_survey_with_its_meaning() -> None:
    remarks = remarks_of(survey_template())
    facts = 0
    for group in Survey.model_fields:
        model = group_model(group)
        for name, field in model.model_fields.items():
            asked = answer_of(model, name)
            if asked is None:
                assert (group, name) in remarks or name == "obstructions"
                continue
            facts += 1
            remark = remarks[group, name]
            assert field.description
            assert field.description.lower() in remark.lower()
            assert not asked.unit or f" in {asked.unit}" in remark
            assert all(f'"{word}"' in remark for word in asked.words)
    assert facts > 90  # the survey of a house holds about a hundred facts


def test_every_key_of_the_header_and_of_a_thing_on_the_roof_is_in_the_blank_survey() -> None:
    data = parse_toml(switched_on(survey_template()), "blank.toml").data
    assert list(data["job"]) == list(Header.model_fields)
    assert list(data["planes"][0]["obstructions"][0]) == list(Obstruction.model_fields)


def test_no_line_of_the_blank_survey_is_wider_than_a_page() -> None:
    assert max(len(line) for line in survey_template().splitlines()) <= 100
