"""Who lifts what the job takes along: plans of the checks, and the filter for all else."""

from __future__ import annotations

from decimal import Decimal as D
from typing import Any

import pytest

from catalogue.items import Item
from estimator.design.lifting.lines import Carried, who_lifts
from estimator.practice.pack import country_folder, read_practice
from tests.design.lifting.lift_job import judged, lift_case
from tests.design.lifting.rules_in_force import ON, PRACTICE
from tests.factories import ItemFactory, spec_of


def thing(mass_kg: str | None, unit: str = "each") -> Item:
    return ItemFactory(
        family="mounting", code="THING", unit=unit, spec=spec_of("mounting"),
        mass_kg=None if mass_kg is None else D(mass_kg))


def lifted(*items: Item, practice: Any = PRACTICE, **facts: Any) -> str | None:
    sheet = lift_case({"panel": 20}, **facts).sheet
    return who_lifts(Carried(items, (), sheet), practice, ON).get("THING")


@pytest.mark.parametrize(
    ("mass_kg", "words"),
    [
        # HSE L23: 25 kg for one at the waist; two thirds of 50 kg for two.
        ("25", None), ("25.1", "two people"), ("33.3", "two people"),
        ("33.4", "two people and an aid"), (None, None),
    ],
)
def test_a_line_too_heavy_for_one_says_who_lifts_it(mass_kg: str | None, words: str | None) -> None:
    assert lifted(thing(mass_kg)) == words


def test_on_stairs_one_more_lifts_it() -> None:
    # Common practice, no source.
    assert lifted(thing("30"), site__carry_steps=3) == "three people"
    assert lifted(thing("42"), site__carry_steps=3) == "three people and an aid"
    assert lifted(thing("20"), site__carry_steps=3) is None


def test_what_is_sold_by_length_is_not_lifted_as_a_whole() -> None:
    assert lifted(thing("30", unit="m")) is None


def test_what_the_checks_planned_holds() -> None:
    worked = judged({"storage": 60, "converter": None}).worked
    case = lift_case({"storage": 60, "converter": None})
    items = [item for item in case.kit.items.values() if item is not None]
    found = who_lifts(Carried(items, worked, case.sheet), PRACTICE, ON)
    assert found == {"storage-1": "two people and an aid",
                     "converter-1": "two people and an aid; weigh it first"}


@pytest.mark.parametrize("country", ["us", "anz"])
def test_a_pack_without_the_filter_says_nothing_of_other_lines(country: str) -> None:
    practice = read_practice([country_folder(country)])
    assert lifted(thing("60"), practice=practice) is None
