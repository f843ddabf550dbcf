import re
from dataclasses import replace

import pytest

from estimator.papers.cautions import all_cautions, cautions_for
from estimator.papers.contract import EstimateJson
from tests.papers import sample
from tests.papers.reading import firm_json


def ids(estimate: EstimateJson, paper: str) -> list[str]:
    return [each.id for each in cautions_for(estimate, paper)]


def built_in(year: object) -> EstimateJson:
    made = sample.firm_estimate()
    job = {**made.sheet.job, "site.build_year": year}
    return EstimateJson.of(replace(made, sheet=replace(made.sheet, job=job)), 1)


def test_each_caution_has_a_source_and_its_standing():
    for each in all_cautions():
        assert each.source, each.id
        assert each.standing in ("published", "common practice"), each.id
        assert ("no source" in each.source) <= (each.standing == "common practice"), each.id
        assert set(each.papers) <= {"site", "customer"}, each.id
    assert len({each.id for each in all_cautions()}) == len(all_cautions())


def test_each_caution_says_when_it_stands():
    for each in all_cautions():
        assert (each.always or each.parts or each.families or each.groups or each.tasks
                or each.lifted or each.below), each.id


def test_safe_isolation_is_told_in_its_order():
    # Order of HSE guidance note GS38 and trade guides to safe isolation: identify, switch off, lock
    # off, prove the tester, test the three pairs, prove the tester again.
    steps = next(each.steps for each in all_cautions() if each.id == "isolation-order")
    assert [re.split(r"[ .]", step)[0] for step in steps] == [
        "Identify", "Switch", "Lock", "Prove", "Test", "Prove"]
    assert steps[4] == "Test line to neutral, line to earth, neutral to earth."


@pytest.mark.parametrize("words", [
    # Texts that must survive: regulation 14 of the 1989 regulations; GS38; scaffold measures of
    # the Work at Height Regulations 2005; licensed asbestos work of the 2012 regulations.
    "unreasonable to make them dead", "4 mm at the most", "guard rail 950 mm", "gap 470 mm",
    "for licensed people", "earth probe first", "Never part d.c. plugs under load",
    "live whenever light falls on them", "cannot be made dead inside", "Never draw a fuse",
])
def test_the_usual_cautions_are_there(words):
    assert any(words in each.says for each in all_cautions())


def test_a_storage_job_has_the_storage_cautions_and_none_of_the_roofs():
    found = ids(firm_json(), "site")
    assert {"dead-work", "isolation-order", "storage-live", "fire-separation"} <= set(found)
    assert not {"live-in-light", "work-at-height", "fragile-roof", "island-earth"} & set(found)


def test_roof_work_brings_the_cautions_of_the_roof():
    made = sample.firm_estimate()
    roof = sample.task("roof-fixing", "fix a roof hook", "roof", "4", (10, 14, 24))
    found = ids(EstimateJson.of(replace(made, tasks=(*made.tasks, roof)), 1), "site")
    assert {"work-at-height", "fragile-roof"} <= set(found)


def test_a_load_that_takes_two_is_flagged_and_one_of_25_kg_is_not():
    # HSE L23 lifting filter, 25 kg; the sample's storage module has 60 kg, its converter 28 kg.
    light = tuple(
        replace(row, mass_kg="25" if row.mass_kg else "") for row in sample.ROWS)
    assert "two-person-lift" in ids(firm_json(), "site")
    assert "two-person-lift" not in ids(EstimateJson.of(sample.firm_estimate(light), 1), "site")


@pytest.mark.parametrize(("year", "told"), [(1974, True), (1999, True), (2000, False)])
def test_asbestos_is_told_for_buildings_from_before_2000(year, told):
    # Control of Asbestos Regulations 2012 and HSE: use was banned in 1999.
    assert ("asbestos" in ids(built_in(year), "site")) is told
    assert ("customer-asbestos" in ids(built_in(year), "customer")) is told


def test_an_unknown_year_counts_as_old():
    assert "asbestos" in ids(built_in(None), "site")


def test_the_customer_gets_the_customers_cautions_only():
    found = cautions_for(firm_json(), "customer")
    assert [each.id for each in found] == [
        "customer-storage", "customer-asbestos", "customer-power-off"]
