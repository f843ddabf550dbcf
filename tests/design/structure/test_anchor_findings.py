"""The judge of wall fixings: findings, questions, stacks on the floor, facts for the rules."""

from __future__ import annotations

from decimal import Decimal as D
from fractions import Fraction as F
from typing import Any, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.specs import WallKind
from estimator.design.judged_facts import JUDGED_FACTS
from estimator.design.sheet import Unknown
from tests.design.structure.hung_jobs import (
    STARTER,
    bolt,
    book,
    bracket,
    check,
    converter,
    judged,
    module,
    question,
)

WALLS = get_args(WallKind)


def missing(value: Any) -> set[str]:
    assert isinstance(value, Unknown)
    return set(value.facts)


# --- findings ---------------------------------------------------------------------------------


def test_a_fixing_that_holds_tells_its_share_and_the_most() -> None:
    # By hand: 88.29 / 900 + 147.15 / 1000 = 0.0981 + 0.14715 = 24.525 % of at most 120 %.
    found = check(judged(book(bracket(), bolt()), module()), "storage-anchor")
    assert (found.level, found.value, found.limit, found.unit) == (
        "fine", F("24.525"), F(120), "%")
    assert found.source
    assert found.decides == "fixing maker, or structural engineer"


def test_a_share_at_its_limit_passes_and_one_over_it_is_a_stop() -> None:
    # By hand for 60 kg: 88.29 N over 88.29 N is a pull ratio of 1, and 147.15 / 735.75 is 0.2: 1.2.
    at = bolt(pull_n=D("88.29"), shear_n=D("735.75"))
    over = bolt(pull_n=D("88.29"), shear_n=D("735.74"))
    assert check(judged(book(bracket(), at), module()), "storage-anchor").passes
    stop = check(judged(book(bracket(), over), module()), "storage-anchor")
    assert (stop.level, stop.signed, stop.decides) == ("stop", True, "structural engineer")
    assert "the strongest is overloaded" in stop.says
    assert not isinstance(stop.value, str)
    assert not isinstance(stop.limit, str)
    assert stop.value > stop.limit


@pytest.mark.parametrize(
    ("mounts", "stands"), [("both", True), ("wall", False)])
def test_a_module_that_may_stand_is_offered_the_floor(mounts: str, stands: bool) -> None:
    stop = check(judged(book(bracket()), module(mounts=mounts)), "storage-anchor")
    assert stop.level == "stop"
    assert ("stand it on the floor" in stop.says) is stands
    assert "have an engineer design the fixing" in stop.says


def test_a_converter_is_never_told_to_stand_on_the_floor() -> None:
    stop = check(judged(book(bolt(walls=("concrete",))), hung=converter()), "converter-anchor")
    assert stop.level == "stop"
    assert "floor" not in stop.says


@pytest.mark.parametrize("wall", WALLS)
def test_weak_walls_are_tested_by_pulling_and_solid_ones_are_not(wall: str) -> None:
    # BS 8539 (from memory); which walls: common practice, no source.
    found = judged(STARTER, module(), storage__wall=wall)
    weak = wall in ("perforated brick", "light block", "stone", "stud")
    assert found.facts["storage.proof_tests"] == (3 if weak else 0)
    assert [each.code for each in found.told if each.code == "storage-wall-test"] == (
        ["storage-wall-test"] if weak else [])


@pytest.mark.parametrize(
    ("modules", "pulls"),
    # A fixing maker's answer citing BS 8539, annex B.3: 2.5 %, at least 3: 120 -> 3, 240 -> 6.
    [(1, 3), (30, 3), (31, 4), (60, 6)],
)
def test_more_modules_have_more_fixings_tested(modules: int, pulls: int) -> None:
    found = judged(STARTER, module(), storage__wall="light block", storage__modules=modules)
    assert found.facts["storage.proof_tests"] == pulls
    told = check(found, "storage-wall-test")
    # 1.5 x 88.29 = 132.4 N.
    assert f"{pulls} of {4 * modules} fixings are pulled to 132.4 N" in told.says
    assert (told.level, told.signed) == ("caution", True)


@pytest.mark.parametrize(("wall", "guide"), [("stone", True), ("light block", False)])
def test_a_wall_without_a_published_factor_leaves_the_sheet_a_guide(
    wall: str, guide: bool
) -> None:
    found = judged(STARTER, module(), storage__wall=wall)
    assert ("only a guide" in check(found, "storage-wall-test").says) is guide


@pytest.mark.parametrize(("wall", "told"), [("perforated brick", True), ("light block", False)])
def test_in_brick_the_distance_from_the_edge_of_the_wall_is_told(wall: str, told: bool) -> None:
    # Fixing makers in general (from memory): resin in brick at least 150 mm from the edge.
    found = check(judged(STARTER, module(), storage__wall=wall), "storage-wall-test")
    assert ("150 mm from the edge" in found.says) is told


def test_a_module_without_holes_cannot_hang_and_a_converter_may_stand_by_itself() -> None:
    module_stop = check(judged(STARTER, module(bracket_holes=0)), "storage-anchor")
    assert (module_stop.level, module_stop.decides) == ("stop", "maker of the module")
    standing = judged(STARTER, hung=converter(wall_holes=0))
    assert standing.told == ()
    assert standing.facts["converter.fixing_code"] == ""


# --- what nobody knows ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("facts", "asked"),
    [
        ({"storage__wall": None}, {"storage.wall"}),
        ({"storage__mount": None}, {"storage.mount"}),
        ({"storage__plaster_mm": None}, {"storage.plaster_mm"}),
    ],
)
def test_without_its_facts_a_fixing_is_unknown_and_asked_for(
    facts: dict[str, Any], asked: set[str]
) -> None:
    found = judged(STARTER, module(), **facts)
    assert missing(found.facts["storage.fixing_code"]) == asked
    assert missing(found.facts["storage.fixing_resin_ml"]) == asked
    assert set(question(found, "storage-anchor").facts) == asked
    assert not [each for each in found.told if getattr(each, "level", "") == "fine"]


def test_a_mass_that_is_not_on_the_sheet_is_asked_for_and_stops() -> None:
    weightless = module()
    object.__setattr__(weightless, "mass_kg", None)
    found = judged(STARTER, weightless)
    assert missing(found.facts["storage.fixing_code"]) == {"kit.storage.mass_kg"}
    assert question(found, "storage-anchor").worst.level == "stop"


def test_how_many_modules_matters_to_the_tests_and_not_to_the_fixing() -> None:
    found = judged(STARTER, module(), storage__wall="stone", storage__modules=None)
    assert found.facts["storage.fixing_code"] == "09033"
    assert missing(found.facts["storage.proof_tests"]) == {"storage.modules"}
    assert "at least 3 fixings are pulled" in check(found, "storage-wall-test").says


def test_a_wall_that_is_only_assumed_is_priced_and_never_passes() -> None:
    found = judged(STARTER, module(), assumed=("storage.wall",), storage__wall="stone")
    assert found.facts["storage.fixing_code"] == "09033"
    worst = question(found, "storage-anchor").worst
    assert worst.level == "caution"
    assert "priced as stone" in worst.says
    assert [type(each).__name__ for each in found.told] == ["Unanswered"]
    assert {"storage.fixing_code", "storage.proof_tests"} <= found.assumed


@given(st.sampled_from(WALLS))
def test_a_wall_in_which_nothing_holds_makes_an_unknown_wall_a_stop(wall: str) -> None:
    rest = tuple(each for each in WALLS if each != wall)
    found = judged(book(bracket(), bolt(walls=rest)), module(), storage__wall=None)
    worst = question(found, "storage-anchor").worst
    assert worst.level == "stop"
    assert f"if the wall proves to be {wall}, no fixing of the catalogue holds it" in worst.says


def test_plaster_that_is_only_assumed_is_asked_for_beside_the_finding() -> None:
    found = judged(STARTER, module(), assumed=("storage.plaster_mm",),
                   storage__plaster_mm=D(19))
    assert check(found, "storage-anchor").level == "fine"
    asked = question(found, "storage-anchor-length")
    assert (asked.facts, asked.worst.level) == (("storage.plaster_mm",), "caution")
    assert found.assumed == {"storage.fixing_code"}


# --- on the floor -----------------------------------------------------------------------------


@pytest.mark.parametrize("wall", WALLS)
def test_a_stack_on_the_floor_is_screwed_to_every_wall_of_the_starter(wall: str) -> None:
    # Common practice, no source: ordinary screws and plugs, never a rated bolt.
    found = judged(STARTER, module(), storage__mount="floor", storage__wall=wall)
    chosen = STARTER.items[found.facts["storage.anti_tip_code"]]
    assert "anti-tip fixing" in chosen.roles
    assert found.facts["storage.fixing_code"] == ""
    assert found.facts["storage.proof_tests"] == 0
    assert check(found, "storage-anchor").level == "fine"


def test_plaster_and_board_take_the_longer_screw() -> None:
    # By hand: 3 + 19 + 50 = 72 mm, more than 60 and less than 100.
    found = judged(STARTER, module(), storage__mount="floor", storage__plaster_mm=D(19))
    assert found.facts["storage.anti_tip_code"] == "09054"


def test_a_stack_that_nothing_keeps_from_tipping_is_a_stop() -> None:
    found = judged(book(bolt()), module(), storage__mount="floor")
    assert check(found, "storage-anchor").level == "stop"
    assert found.facts["storage.anti_tip_code"] == ""


def test_a_stack_before_an_unknown_wall_is_asked_for() -> None:
    bare = judged(STARTER, module(), storage__mount="floor", storage__wall=None)
    assert missing(bare.facts["storage.anti_tip_code"]) == {"storage.wall"}
    assert bare.facts["storage.fixing_code"] == ""
    assumed = judged(STARTER, module(), assumed=("storage.wall",), storage__mount="floor",
                     storage__wall="light block")
    assert question(assumed, "storage-anchor").worst.level == "caution"
    assert assumed.facts["storage.anti_tip_code"] == "09051"
    assert assumed.assumed == {"storage.anti_tip_code"}


@pytest.mark.parametrize("floor", ["slab", "paving", "soft ground"])
def test_only_a_timber_floor_is_put_before_an_engineer(floor: str) -> None:
    found = judged(STARTER, module(), storage__mount="floor", storage__floor=floor)
    assert not [each for each in found.told if each.code == "storage-floor-load"]


@pytest.mark.parametrize(
    ("modules", "load"),
    [
        # By hand: 60 kg each, at most four a stack, and a stand of 11 kg on 0.70 x 0.45 m.
        (1, F(71) / F("0.315")), (4, F(251) / F("0.315")), (9, F(251) / F("0.315")),
        (None, F(251) / F("0.315")),
    ],
)
def test_the_load_of_a_stack_on_joists_is_held_against_that_of_a_house_floor(
    modules: int | None, load: F
) -> None:
    # UK national annex to BS EN 1991-1-1, table NA.3 (from memory): 1.5 kN/m2 and 2.0 kN.
    found = check(judged(STARTER, module(), storage__mount="floor", storage__modules=modules,
                         storage__floor="suspended timber"), "storage-floor-load")
    assert (found.value, found.limit, found.unit) == (load, 1500 / F("9.81"), "kg/m²")
    assert (found.level, found.signed, found.decides) == (
        "caution", True, "structural engineer")
    assert "203.9 kg on one spot" in found.says


def test_a_floor_that_nobody_looked_at_may_be_of_timber() -> None:
    found = judged(STARTER, module(), storage__mount="floor", storage__floor=None)
    asked = question(found, "storage-floor-load")
    assert (asked.facts, asked.worst.level) == (("storage.floor",), "caution")


def test_a_module_that_hangs_does_not_load_the_floor() -> None:
    found = judged(STARTER, module(), storage__floor="suspended timber")
    assert not [each for each in found.told if each.code == "storage-floor-load"]


# --- facts ------------------------------------------------------------------------------------


@pytest.mark.parametrize("mount", ["wall", "floor", None])
def test_every_fact_of_the_judge_is_in_the_dictionary_and_always_given(mount: str | None) -> None:
    listed = {path for path, *_ in JUDGED_FACTS}
    found = judged(STARTER, module(), converter(), storage__mount=mount)
    assert set(found.facts) == {
        f"{part}.{name}" for part in ("storage", "converter")
        for name in ("fixing_code", "fixing_resin_ml", "proof_tests")} | {"storage.anti_tip_code"}
    assert set(found.facts) <= listed


def test_the_worked_answer_tells_what_was_refused_and_who_decides() -> None:
    weak, other = bolt("WEAK", pull_n=50), bolt("OTHER", walls=("stone",))
    (worked,) = judged(book(bracket(), bolt(), weak, other), module()).worked
    figures = {each.name: each.value for each in worked.sums}
    assert str(figures["refused WEAK"]).startswith("88.3 N pull and 147.2 N shear against 50 N")
    assert figures["refused, each for other walls"] == 1
    assert figures["partial factors in what is allowed"] == F("3.5")  # 2.5 x 1.4, ETAG 029
    assert "fixing maker, or structural engineer decides" in worked.source
