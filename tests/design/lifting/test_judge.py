"""Lifts of a job judged from what is known of it: people, aid, findings, questions."""

from __future__ import annotations

from decimal import Decimal as D
from fractions import Fraction as F
from typing import Any

import pytest

from estimator.design.judged_facts import JUDGED_FACTS
from tests.design.lifting.lift_job import SIZES, asked, figures, judged, plan, told
from tests.factories import ItemFactory, spec_of

# --- one load ------------------------------------------------------------------------------------


def test_a_hung_module_of_60_kg_takes_an_aid_and_two_people() -> None:
    # Common practice, no source: some 60 kg takes two at the least and an aid. HSE L23 (from
    # memory): hands from below the knuckles to above the elbows 20 kg, three of them half of 60.
    found = judged({"storage": 60})
    assert plan(found, "storage") == (2, True)
    check = told(found, "lift-storage")
    assert (check.level, check.value, check.limit, check.unit) == ("caution", 60, 30, "kg")
    assert (check.subject, check.decides) == ("storage module", "site manager")
    assert "L23" in check.source
    assert "20 kg for one man, hands from 0.35 to 1.2 m, close to the body" in check.says
    assert "no limit in law: avoid, assess, reduce" in check.says


def test_what_the_judge_gives_the_rules_is_in_the_dictionary() -> None:
    listed = {path for path, *_ in JUDGED_FACTS}
    assert set(judged({"storage": 60, "converter": 20, "panel": 21}).facts) <= listed
    assert set(judged({"panel": 21}).facts) == {
        path for path in listed if path.startswith("lift.")}


@pytest.mark.parametrize(
    ("mass_kg", "people", "aid", "level"),
    [
        # HSE L23 (from memory): 20 kg for one, two thirds of 40 for two, half of 60 for three. A
        # third lifter by hand gives way to an aid: to avoid comes before sharing out (Manual
        # Handling Operations Regulations 1992).
        ("20", 2, False, "fine"), ("20.01", 2, False, "caution"), ("26.66", 2, False, "caution"),
        ("26.67", 2, True, "caution"), ("30", 2, True, "caution"), ("45", 2, True, "caution"),
    ],
)
def test_a_converter_is_never_hung_by_one(
    mass_kg: str, people: int, aid: bool, level: str
) -> None:
    found = judged({"converter": mass_kg})
    assert plan(found, "converter") == (people, aid)
    assert told(found, "lift-converter").level == level


def test_what_three_could_lift_by_hand_names_both_guides() -> None:
    check = told(judged({"converter": 28}), "lift-converter")
    assert check.says.startswith(
        "28 kg is over the guide of 26.7 kg for two people, within that of 30 kg for three people "
        "only: assess the lift and use an aid, with two people at the least")
    assert check.limit == F(80, 3)


def test_a_stack_is_judged_by_its_uppermost_module() -> None:
    # Four modules of 480 mm: the hands at the fourth are at 3 x 0.48 + 0.35 = 1.79 m, above the
    # shoulder, 10 kg (HSE L23, from memory); a lone module stays at 0.35 m, 20 kg.
    stack = {"storage__mount": "floor", "storage__modules": 4}
    assert figures(judged({"storage": 40}, **stack))["hands, highest"] == F("1.79")
    assert figures(judged({"storage": 40}, **stack))["guide for one"] == 10
    lone = figures(judged({"storage": 40}, storage__mount="floor", storage__modules=1))
    assert (lone["hands, highest"], lone["guide for one"]) == (F("0.35"), 20)
    # A fifth begins a second stack: the data sheet allows four.
    five = figures(judged({"storage": 40}, storage__mount="floor", storage__modules=5))
    assert five["hands, highest"] == F("1.79")


def test_a_low_load_taken_from_the_floor_is_held_below_the_lower_leg() -> None:
    flat = {**SIZES, "storage": {"width_mm": 320, "height_mm": 160}}
    found = judged({"storage": 11}, sizes=flat, storage__mount="floor", storage__modules=1)
    assert figures(found)["guide for one"] == 10
    assert told(found, "lift-storage").level == "caution"


def test_a_plinth_slab_too_heavy_for_one_is_told_and_takes_the_aid() -> None:
    slab = ItemFactory(family="mounting", code="SLAB", roles=("plinth slab",), mass_kg=D(42),
                       spec=spec_of("mounting"))
    base = ItemFactory(family="mounting", code="BASE", roles=("storage floor base",),
                       mass_kg=D("6.5"), spec=spec_of("mounting"))
    soft = {"storage__mount": "floor", "storage__modules": 1, "storage__floor": "soft ground"}
    found = judged({"storage": 15}, others=(slab, base), **soft)
    assert (told(found, "lift-base").value, found.facts["lift.aid"]) == (42, True)
    firm = judged({"storage": 15}, others=(slab, base), **{**soft, "storage__floor": "slab"})
    assert not [each for each in firm.told if each.code == "lift-base"]
    assert firm.facts["lift.aid"] is False


@pytest.mark.parametrize(
    ("way", "mass_kg", "aid"),
    [
        # HSE L23: 25 kg for one, 33.3 for two. A full fire board of 36 kg (invented).
        ({"storage__combustible_wall": True}, "36", True),
        ({"storage__habitable_behind": True}, "36", True),
        ({"storage__combustible_wall": True}, "30", False),
        ({"storage__combustible_wall": True}, "25", None),
        ({"storage__combustible_wall": None}, "36", None),  # not in the bill, so not told
        ({}, "36", None),
    ],
)
def test_a_board_behind_the_storage_is_told_where_the_rules_add_it(
    way: dict[str, Any], mass_kg: str, aid: bool | None
) -> None:
    half = ItemFactory(family="sheet", code="HALF", roles=("fire board",), mass_kg=D(9),
                       spec=spec_of("sheet", width_mm=600, height_mm=1200))
    full = ItemFactory(family="sheet", code="FULL", roles=("fire board",), mass_kg=D(mass_kg),
                       spec=spec_of("sheet", width_mm=1200, height_mm=2400))
    found = judged({"storage": 15}, others=(half, full), **way)
    boards = [each for each in found.told if each.code == "lift-board"]
    assert len(boards) == (aid is not None)
    assert found.facts["lift.aid"] is bool(aid)


def test_an_aid_for_a_board_that_is_only_assumed_rests_on_a_guess() -> None:
    full = ItemFactory(family="sheet", code="FULL", roles=("fire board",), mass_kg=D(36),
                       spec=spec_of("sheet", width_mm=1200, height_mm=2400))
    guess = frozenset({"storage.combustible_wall"})
    found = judged({"storage": 15}, others=(full,), assumed=guess, storage__combustible_wall=True)
    assert found.facts["lift.aid"] is True
    assert found.assumed == {"lift.aid"}
    sure = judged({"storage": 15}, others=(full,), assumed=guess, storage__combustible_wall=True,
                  storage__habitable_behind=True)
    assert sure.assumed == frozenset()


# --- stairs, carry, turns ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("mass_kg", "steps", "people", "aid"),
    [
        # One person more on stairs (common practice, no source), who bears nothing: panels are 25,
        # 33.3 and 37.5 kg for one, two, three (HSE L23, team page).
        ("25", 2, 2, False), ("25", 3, 2, False), ("25.1", 3, 3, False), ("33.33", 3, 3, False),
        ("33.34", 3, 3, True),
    ],
)
def test_stairs_take_one_person_more(mass_kg: str, steps: int, people: int, aid: bool) -> None:
    found = judged({"panel": mass_kg}, site__carry_steps=steps)
    assert plan(found, "panel") == (people, aid)
    assert found.facts["lift.people"] == people


def test_the_surveyors_word_on_the_way_in_counts_for_storage_alone() -> None:
    found = judged({"storage": 60, "converter": 24}, storage__third_person=True)
    assert found.facts["lift.storage_people"] == 3
    assert found.facts["lift.converter_people"] == 2
    assert told(found, "lift-turns").level == "caution"


@pytest.mark.parametrize(("far_m", "level"), [("10", "fine"), ("10.01", "caution")])
def test_a_carry_is_held_against_ten_metres(far_m: str, level: str) -> None:
    # HSE L23 (from memory): the filter holds to about 10 m.
    check = told(judged({"panel": 20}, site__parking_distance_m=D(far_m)), "lift-carry")
    assert (check.level, check.value, check.limit, check.unit) == (level, F(far_m), 10, "m")


@pytest.mark.parametrize(("steps", "level"), [(0, "fine"), (1, "caution"), (11, "caution")])
def test_any_step_on_the_way_in_is_told(steps: int, level: str) -> None:
    # Common practice, no source: the guide is for level ground.
    check = told(judged({"panel": 20}, site__carry_steps=steps), "lift-steps")
    assert (check.level, check.value, check.limit) == (level, steps, 0)


def test_turns_are_asked_of_storage_only() -> None:
    assert not [e for e in judged({"panel": 20}).told if e.code == "lift-turns"]
    assert told(judged({"storage": 20}), "lift-turns").level == "fine"


# --- what nobody knows ---------------------------------------------------------------------------


@pytest.mark.parametrize("slot", ["storage", "converter", "panel"])
def test_a_blank_data_sheet_prices_an_aid_and_asks(slot: str) -> None:
    found = judged({slot: None})
    assert plan(found, slot) == (2, True)
    question = asked(found, f"lift-{slot}")
    assert question.facts == (f"kit.{slot}.mass_kg",)
    assert (question.worst.level, question.worst.value) == ("caution", "not known")
    assert found.assumed >= {f"lift.{slot}_people", "lift.aid", "lift.people"}


def test_a_blank_data_sheet_on_a_way_nobody_walked_prices_the_larger_crew() -> None:
    found = judged({"storage": None}, storage__third_person=None)
    assert plan(found, "storage") == (3, True)
    assert asked(found, "lift-storage").facts == (
        "kit.storage.mass_kg", "storage.third_person")


def test_steps_nobody_counted_are_asked_where_people_hang_on_them() -> None:
    found = judged({"converter": 24}, site__carry_steps=None)
    assert plan(found, "converter") == (3, False)
    assert asked(found, "lift-converter").facts == ("site.carry_steps",)
    assert told(found, "lift-converter").limit == F(80, 3)  # what is sure without stairs
    assert found.assumed == {"lift.converter_people", "lift.people"}


def test_steps_nobody_counted_leave_a_light_load_alone() -> None:
    found = judged({"converter": 20}, site__carry_steps=None)
    assert told(found, "lift-converter").level == "fine"
    assert found.assumed == frozenset()
    assert asked(found, "lift-steps").facts == ("site.carry_steps",)


def test_a_hard_way_in_that_is_assumed_stays_a_question() -> None:
    guess = frozenset({"storage.third_person"})
    found = judged({"storage": 60}, storage__third_person=True, assumed=guess)
    assert plan(found, "storage") == (3, True)
    assert asked(found, "lift-storage").facts == ("storage.third_person",)
    assert asked(found, "lift-turns").worst.level == "caution"
    assert told(found, "lift-storage").level == "caution"  # 60 kg takes an aid on any way
    assert found.assumed == {"lift.storage_people", "lift.people"}


def test_a_height_that_no_data_sheet_gives_is_taken_at_its_worst() -> None:
    blank: dict[str, Any] = {**SIZES, "converter": {"width_mm": 180, "height_mm": None}}
    found = judged({"converter": 18}, sizes=blank)
    assert plan(found, "converter") == (2, True)  # 10 kg for one, from the floor
    assert asked(found, "lift-converter").facts == ("kit.converter.height_mm",)


def test_the_mount_nobody_knows_is_taken_at_its_worst() -> None:
    found = judged({"storage": 25}, storage__mount=None, storage__modules=4)
    assert plan(found, "storage") == (2, True)
    assert asked(found, "lift-storage").facts == ("storage.mount",)


@pytest.mark.parametrize(
    "path",
    ["storage__mount", "storage__modules", "storage__third_person", "site__carry_steps",
     "site__parking_distance_m"],
)
@pytest.mark.parametrize("mount", ["wall", "floor"])
def test_a_missing_fact_never_makes_a_lift_easier(path: str, mount: str) -> None:
    masses = {"storage": 25, "converter": 24, "panel": 27}
    known = judged(masses, storage__mount=mount)
    found = judged(masses, **{"storage__mount": mount, path: None})
    for name in ("lift.storage_people", "lift.converter_people", "lift.panel_people", "lift.aid"):
        assert found.facts[name] >= known.facts[name]
