"""`estimator catalogue substitutes`: what it prints of the starter catalogue.

Prices by hand: a drum of 100 m at 184.00 is 1.84 a metre.
"""

from __future__ import annotations

import json
from typing import Any

import pytest

from tests.chain.desk import DAY, run


def listed(url: str, *typed: str) -> dict[str, Any]:
    result = run("catalogue", "substitutes", *typed, "--on", DAY, "--db", url, "--json")
    assert result.exit_code == 0, result.output
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def text(url: str, *typed: str) -> str:
    result = run("catalogue", "substitutes", *typed, "--on", DAY, "--db", url)
    assert result.exit_code == 0, result.output
    return result.stdout


def test_thicker_cables_are_listed_by_price_with_what_is_better(starter_url: str) -> None:
    lines = text(starter_url, "03040-TE").splitlines()
    assert lines[:6] == [
        "03040-TE  Flat twin and earth 4 mm², grey, drum 100 m, as circuit cable",
        "  £1.28 a m",
        "MAY STAND IN",
        "  03060-TE  Flat twin and earth 6 mm², grey, drum 100 m, £1.84 a m",
        "      better: size_mm2 6, clipped_a 47, mv_per_a_m 7.3",
        "  03100-TE  Flat twin and earth 10 mm², grey, drum 100 m, £3.12 a m",
    ]
    assert lines[9:12] == [
        "MAY NOT, nearest first",
        "  03060-5C  Five-core sheathed cable 6 mm², black, by the metre",
        "      kind: flexible is not flat twin and earth (current, fixing and protection of a "
        "cable go by its",
    ]
    assert max(map(len, lines)) <= 100


def test_a_thinner_cable_says_by_how_much_it_fails(starter_url: str) -> None:
    said = " ".join(text(starter_url, "03040-TE").split())
    assert "size_mm2: 2.5 mm² is less than 4 mm² (a thinner conductor runs hotter" in said


def test_where_nothing_may_stand_in_it_says_so(starter_url: str) -> None:
    assert "NOTHING MAY STAND IN\n" in text(starter_url, "01505-WF")


def test_machines_get_every_field_of_every_candidate(starter_url: str) -> None:
    found = listed(starter_url, "06503-03", "--role", "current clamp")
    assert (found["item"], found["role"]) == ("06503-03", "current clamp")
    first = found["candidates"][0]
    assert (first["item"], first["may_stand_in"]) == ("06505-05", True)
    assert first["offer"] == {
        "supplier": "Storage Depot", "pack": "1", "minor": 1900, "currency": "GBP"}
    lead = next(each for each in first["fields"] if each["field"] == "lead_m")
    assert (lead["verdict"], lead["original"], lead["candidate"]) == ("better", "3", "5")
    assert lead["source"] == "common practice, no source"


def test_a_shorter_clamp_lead_is_no_substitute(starter_url: str) -> None:
    found = listed(starter_url, "06505-05")["candidates"]
    assert [(each["item"], each["may_stand_in"]) for each in found] == [
        ("06510-10", True), ("06503-03", False)]


def test_every_converter_s_list_counts_for_a_storage_module(starter_url: str) -> None:
    (stack,) = [each for each in listed(starter_url, "01505-WF")["candidates"]
                if each["item"] == "01526-HV"]
    (partners,) = [each for each in stack["fields"] if each["field"] == "partners"]
    assert partners["verdict"] == "worse"
    assert "01136-OU" in partners["says"]


@pytest.mark.parametrize(("typed", "code"), [
    (("03040",), "E301"), (("03040-TE", "--role", "tails cable"), "E308")])
def test_a_mistake_is_told_with_its_code(starter_url: str, typed: tuple[str, ...],
                                         code: str) -> None:
    result = run("catalogue", "substitutes", *typed, "--on", DAY, "--db", starter_url, "--json")
    assert result.exit_code == 1
    assert [each["code"] for each in json.loads(result.stdout)["problems"]] == [code]
