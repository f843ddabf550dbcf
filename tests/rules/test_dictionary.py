"""The dictionary of facts against the survey and specification models it is built from."""

from __future__ import annotations

from datetime import date

from catalogue.specs import FAMILIES
from estimator.design.plane_facts import PLANE_FACTS
from estimator.practice.pack import country_folder, read_practice
from estimator.rules.dictionary import KIT, fact_dictionary, practice_definitions
from estimator.rules.facts import FactDef
from estimator.survey.fact import Fact
from estimator.survey.model import Survey

FACTS = fact_dictionary({})


def test_every_surveyed_fact_has_a_path_a_meaning_and_a_type() -> None:
    survey = Survey.model_validate({"job": {"id": "J1", "parts": ["storage"]}})
    for group in ("site", "storage", "converter", "supply", "board", "metering", "backup",
                  "wishes"):
        for field, value in getattr(survey, group):
            if isinstance(value, Fact):
                assert FACTS[f"{group}.{field}"].meaning
                assert FACTS[f"{group}.{field}"].origin == "survey"


def test_the_types_units_and_words_are_those_of_the_survey() -> None:
    modules, mount = FACTS["storage.modules"], FACTS["storage.mount"]
    assert (modules.type, modules.unit, modules.ask) == ("whole", "", "How many storage modules?")
    assert (mount.type, mount.values) == ("text", ("wall", "floor"))
    assert (FACTS["supply.fuse_a"].type, FACTS["supply.fuse_a"].unit) == ("number", "A")
    assert FACTS["storage.frost"].type == "flag"


def test_facts_of_planes_and_legs_repeat_and_the_others_do_not() -> None:
    for path, fact in FACTS.items():
        assert fact.scope == (path.split(".")[0] if path.startswith(("plane.", "leg.")) else "")


def test_every_field_of_a_chosen_item_s_data_sheet_is_a_fact() -> None:
    for kit, (family, _) in KIT.items():
        for field in (*FAMILIES[family].model_fields, "code", "name", "mass_kg"):
            assert FACTS[f"kit.{kit}.{field}"].origin == "data sheet"
    assert FACTS["kit.panel.voc_v"].unit == "V"
    assert FACTS["kit.converter.phases"].type == "whole"
    assert FACTS["kit.converter.storage_allowed"].type == "texts"
    assert FACTS["kit.converter.rcd_type"].values == ("none", "A", "F", "B")


def test_what_the_roof_design_works_out_is_in_the_dictionary() -> None:
    for name, *_ in PLANE_FACTS:
        assert FACTS[f"plane.{name}"].origin == "computed"


def test_the_parts_of_the_job_are_flags() -> None:
    assert {path for path, fact in FACTS.items()
            if path.startswith("job.") and fact.type == "flag"} == {
        "job.storage", "job.panels", "job.converter", "job.backup"}


def test_the_journeys_of_the_job_are_a_whole_number() -> None:
    assert FACTS["job.trips"].type == "whole"


def test_practice_values_join_with_their_units() -> None:
    practice = read_practice([country_folder("gb")])
    facts = practice_definitions(practice, date(2026, 7, 1))
    assert facts["practice.edge_zone_m"] == FactDef(
        "practice.edge_zone_m", "number", "m",
        "clear zone to eaves, verge, ridge, hip and valley unless uplift is designed for",
        origin="practice")
    assert "practice.edge_zone_m" in fact_dictionary(facts)
