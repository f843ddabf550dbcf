"""Lifts of a job under other packs, and what never happens whatever is lifted."""

from __future__ import annotations

from decimal import Decimal as D
from fractions import Fraction as F
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.practice.pack import country_folder, read_practice
from tests.design.lifting.lift_job import judged, plan, told

# --- other packs ---------------------------------------------------------------------------------


def test_a_pack_without_a_guide_says_so_and_prices_an_aid() -> None:
    anz = read_practice([country_folder("anz")])
    found = judged({"storage": 60, "converter": 20, "panel": 20}, practice=anz)
    check = told(found, "lift-guide")
    assert check.level == "caution"
    assert check.says.startswith("the pack has no lifting guide")
    assert check.source
    assert found.facts["lift.aid"] is True
    assert found.facts["lift.storage_people"] == 0  # the crew of the norm
    assert told(found, "lift-steps").level == "fine"


def test_the_niosh_equation_is_the_guide_of_the_american_pack() -> None:
    # NIOSH publication 94-110: 23 kg at the best; it holds for one person, so what one may not
    # lift takes an aid. H 20 + 18 / 2 = 29 cm, V 35, D 85 cm, fair grip: 23 x 25/29 x 0.88 x
    # (0.82 + 4.5/85) x 0.95 = 14.470 kg, by hand.
    us = read_practice([country_folder("us")])
    light, heavy = (judged({"converter": kg}, practice=us) for kg in ("14.46", "14.48"))
    assert plan(light, "converter") == (2, False)
    assert plan(heavy, "converter") == (2, True)
    check = told(heavy, "lift-converter")
    assert float(F(str(check.limit))) == pytest.approx(14.470, abs=0.0005)
    assert "94-110" in check.source
    assert light.worked[0].method == "NIOSH equation for one person"


# --- what never happens --------------------------------------------------------------------------

PACKS = {country: read_practice([country_folder(country)]) for country in ("gb", "us")}
MASSES = st.decimals("0.1", "150", places=2)
WAYS = st.fixed_dictionaries({
    "storage__mount": st.sampled_from(["wall", "floor", None]),
    "storage__modules": st.sampled_from([1, 2, 4, 9, None]),
    "storage__third_person": st.sampled_from([True, False, None]),
    "site__carry_steps": st.sampled_from([0, 1, 3, 12, None]),
})


@given(MASSES, MASSES, WAYS, st.sampled_from(["storage", "converter", "panel"]),
       st.sampled_from(["gb", "us"]))
def test_a_heavier_load_never_takes_fewer_people_nor_loses_its_aid(
    one: D, other: D, way: dict[str, Any], slot: str, country: str
) -> None:
    practice = PACKS[country]
    light, heavy = (judged({slot: kg}, practice=practice, **way) for kg in sorted((one, other)))
    assert light.facts[f"lift.{slot}_people"] <= heavy.facts[f"lift.{slot}_people"]
    assert light.facts["lift.aid"] <= heavy.facts["lift.aid"]
    assert light.facts[f"lift.{slot}_people"] >= 2
    unweighed = judged({slot: None}, practice=practice, **way)
    assert unweighed.facts[f"lift.{slot}_people"] >= heavy.facts[f"lift.{slot}_people"]


@given(MASSES, WAYS)
def test_no_lift_is_a_stop_and_none_is_left_without_source_and_who_decides(
    mass: D, way: dict[str, Any]
) -> None:
    found = judged({"storage": mass, "converter": mass, "panel": mass}, **way)
    for each in found.told:
        check = getattr(each, "worst", each)
        assert check.level in ("fine", "caution")
        assert check.source
        assert check.decides
        assert check.limit != ""


def test_a_job_without_heavy_parts_has_no_lift_and_no_way_in() -> None:
    found = judged({})
    assert (found.told, found.worked) == ((), ())
    assert set(found.facts.values()) == {0}
