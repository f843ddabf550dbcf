"""The currents and volt drops that a catalogue states, beside the tables."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from catalogue.items import Item
from catalogue.specs import CableSpec
from estimator.design.electrical.catalogue_rating import rating_check
from estimator.design.electrical.comparing import margin
from estimator.design.electrical.dc_cable import resistance_ohm_km
from estimator.design.electrical.voltage_drop import mv_per_a_m
from tests.catalogue.starter_reading import ITEMS
from tests.design.electrical.packs import GB, cable

# kind and cores of a catalogue's cable -> the table and the method its current is printed under
TABLES = {
    ("flat twin and earth", 2): ("flat twin and earth", "C"),
    ("flexible", 5): ("sheathed three-phase", "C"),
    ("armoured", 2): ("armoured 70", "C"),
    ("armoured", 5): ("armoured 70 three-phase", "C"),
    ("tails", 1): ("single", "C"),
    ("pv d.c.", 1): ("pv d.c.", "adjacent"),
}
RATED = [
    item for item in ITEMS if isinstance(item.spec, CableSpec) and item.spec.clipped_a is not None
]


@pytest.mark.parametrize("item", RATED, ids=lambda item: item.code)
def test_the_starter_catalogue_states_the_tabulated_current_and_drop(item: Item) -> None:
    spec = item.spec
    assert isinstance(spec, CableSpec)
    assert spec.capacity_source
    table, method = TABLES[spec.kind, spec.cores]
    check = rating_check(GB, table, method, spec)
    assert check is not None
    assert (check.level, margin(check)) == ("fine", 0)
    assert spec.mv_per_a_m is not None
    if table == "pv d.c.":  # out and back at 20 degrees: ohm/km twice
        assert 2 * resistance_ohm_km(GB, spec.size_mm2) == F(spec.mv_per_a_m)
    else:
        assert mv_per_a_m(GB, table, method, spec.size_mm2).value == F(spec.mv_per_a_m)


def test_a_current_over_the_tabulated_one_stops_and_names_its_source() -> None:
    stated = cable(size_mm2=6, clipped_a=57, capacity_source="a seller's page")
    check = rating_check(GB, "flat twin and earth", "C", stated)
    assert check is not None
    assert (check.level, check.value, check.limit) == ("stop", 57, 47)
    assert "a seller's page" in check.says


def test_a_blank_current_is_no_check_and_a_blank_source_is_told() -> None:
    assert rating_check(GB, "flat twin and earth", "C", cable(clipped_a=None)) is None
    check = rating_check(GB, "flat twin and earth", "C", cable(size_mm2=6, clipped_a=47))
    assert check is not None
    assert "no source given" in check.says
