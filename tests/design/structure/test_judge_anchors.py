"""The judge of wall fixings: duty, choice, findings, questions, and what never happens."""

from __future__ import annotations

from decimal import Decimal as D
from fractions import Fraction as F
from typing import Any, get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.items import BoxPart
from catalogue.specs import WallKind
from estimator.design.judged_facts import JUDGED_FACTS
from estimator.design.sheet import Unknown
from tests.design.structure.frame_referee import bracket_reactions
from tests.design.structure.hung_jobs import (
    STARTER,
    bolt,
    book,
    bracket,
    check,
    converter,
    figure,
    judged,
    module,
    question,
)
from tests.factories import PRICES_FROM

WALLS = get_args(WallKind)
MASSES = st.integers(1, 800)


def missing(value: Any) -> set[str]:
    assert isinstance(value, Unknown)
    return set(value.facts)


# --- the duty ---------------------------------------------------------------------------------


@settings(max_examples=30, deadline=None)
@given(st.integers(1, 200), st.integers(40, 500), st.integers(50, 1000), st.floats(0.1, 0.9))
def test_the_duty_of_the_judge_is_that_of_an_independent_frame_program(
    mass_kg: int, depth_mm: int, couple_mm: int, at: float
) -> None:
    # Depth / 2 and 30 mm of bracket from the wall. Determinate statics: only rounding parts them.
    pull, shear = bracket_reactions(
        mass_kg * 9.81, (depth_mm / 2 + 30) / 1000, couple_mm / 1000, at)
    found = judged(book(bracket(couple_mm), bolt()), module(mass_kg, depth_mm=depth_mm))
    top, every = figure(found, "in the top row"), figure(found, "fixings")
    assert float(figure(found, "pull on each of the top row") * top) == pytest.approx(
        pull, rel=1e-6)
    assert float(figure(found, "shear on each") * every) == pytest.approx(shear, rel=1e-6)


def test_what_no_sheet_gives_is_taken_at_its_worse_end_and_said() -> None:
    # By hand: 300 / 2 + 30 = 180 mm out, rows 100 mm apart, 20 kg on four holes:
    # 196.2 x 180 / 100 / 2 = 176.58 N.
    found = judged(book(bolt()), hung=converter(couple_mm=None, depth_mm=None))
    assert figure(found, "pull on each of the top row", "converter") == F("176.58")
    (worked,) = found.worked
    assert "depth 300 mm, since no sheet gives it" in worked.says
    assert "height between rows 100 mm, since no sheet gives it" in worked.says


def test_of_two_brackets_that_may_serve_the_lower_one_counts() -> None:
    # By hand: 588.6 x 120 / 200 / 2 = 176.58 N.
    found = judged(
        book(bracket(400), bracket(200, code="LOW"), bracket(50, 6, "SIX"), bolt()), module())
    assert figure(found, "pull on each of the top row") == F("176.58")


@given(st.integers(1, 24), st.integers(1, 24), st.sampled_from(["storage", "converter"]))
def test_more_holes_never_raise_the_load_of_a_fixing(few: int, more: int, part: str) -> None:
    def duty(holes: int) -> tuple[F, F]:
        items = book(bracket(holes=holes), bolt())
        found = judged(items, module(bracket_holes=holes)) if part == "storage" else judged(
            items, hung=converter(wall_holes=holes))
        return (figure(found, "pull on each of the top row", part),
                figure(found, "shear on each", part))

    fewer, greater = duty(few), duty(few + more)
    assert greater[0] <= fewer[0]
    assert greater[1] < fewer[1]


# --- the choice -------------------------------------------------------------------------------


@settings(deadline=None)
@given(MASSES, MASSES, st.sampled_from(WALLS))
def test_a_heavier_module_never_passes_where_a_lighter_one_fails(
    mass: int, more: int, wall: str
) -> None:
    light, heavy = (check(judged(STARTER, module(each), storage__wall=wall), "storage-anchor")
                    for each in (mass, mass + more))
    assert heavy.passes <= light.passes


PRICES = st.lists(st.integers(1, 500), min_size=6, max_size=6)
PULLS = st.lists(st.integers(20, 600), min_size=6, max_size=6)
RESIN = st.lists(st.sampled_from([0, 0, 10]), min_size=6, max_size=6)


@settings(deadline=None)
@given(PRICES, PULLS, RESIN)
def test_the_fixing_chosen_is_the_cheapest_of_those_that_pass_alone(
    prices: list[int], pulls: list[int], resin: list[int]
) -> None:
    # Each fixing is judged with no other on offer; resin only where nothing holds without it.
    bolts = [bolt(f"B{n}", pull_n=pulls[n], shear_n=900, resin_ml=resin[n]) for n in range(6)]
    costs = {f"B{n}": prices[n] for n in range(6)}
    passing = [each for each in bolts
               if judged(book(bracket(), each), module()).facts["storage.fixing_code"]]
    dry = [each for each in passing if not each.spec.resin_ml]  # type: ignore[attr-defined]
    chosen = judged(book(bracket(), *bolts, prices=costs), module()).facts["storage.fixing_code"]
    cheapest = min(((costs[each.code], each.code) for each in dry or passing), default=(0, ""))
    assert chosen == cheapest[1]


def test_resin_that_is_dear_counts_in_the_price_of_a_stud() -> None:
    # By hand: 1 + 20 x 1500 / 285 = 106.3 against 90 + 2 x 1500 / 285 = 100.5 pence.
    wet = [bolt("THIRSTY", resin_ml=20), bolt("SPARING", resin_ml=2)]
    resin = STARTER.items["15030"]
    prices = {"THIRSTY": 1, "SPARING": 90, "15030": 1500}
    found = judged(book(bracket(), *wet, resin, prices=prices), module())
    assert found.facts["storage.fixing_code"] == "SPARING"
    assert found.facts["storage.fixing_resin_ml"] == 2


def test_a_boxed_fixing_that_serves_goes_before_a_cheaper_one_on_the_shelf() -> None:
    boxed = (BoxPart("BOXED", 4, PRICES_FROM),)
    shelf = {"BOXED": 500, "SHELF": 10}
    items = [bracket(), bolt("BOXED"), bolt("SHELF")]
    assert judged(book(*items, prices=shelf), module(boxed=boxed)).facts[
        "storage.fixing_code"] == "BOXED"
    assert judged(book(*items, prices=shelf), module()).facts["storage.fixing_code"] == "SHELF"


def test_boxed_fixings_that_fill_half_the_holes_cost_half() -> None:
    boxed = (BoxPart("BOXED", 2, PRICES_FROM),)
    items = [bracket(), bolt("BOXED"), bolt("SHELF")]
    # By hand: half of 30 is 15, dearer than 14 and cheaper than 16.
    for shelf, chosen in ((14, "SHELF"), (16, "BOXED")):
        found = judged(book(*items, prices={"BOXED": 30, "SHELF": shelf}), module(boxed=boxed))
        assert found.facts["storage.fixing_code"] == chosen


def test_a_boxed_fixing_made_for_another_wall_is_not_counted() -> None:
    boxed = (BoxPart("BOXED", 4, PRICES_FROM),)
    items = [bracket(), bolt("BOXED", walls=("concrete",)), bolt("SHELF")]
    found = judged(book(*items), module(boxed=boxed))
    assert found.facts["storage.fixing_code"] == "SHELF"


@pytest.mark.parametrize(
    ("facts", "code"),
    [
        ({"storage__place": "garage"}, "INSIDE"), ({"storage__place": "outside wall"}, "OUTSIDE"),
        # Nobody knows where it hangs: what stands the weather serves either way.
        ({"storage__place": None}, "OUTSIDE"),
    ],
)
def test_out_of_doors_the_fixing_stands_the_weather(facts: dict[str, Any], code: str) -> None:
    items = [bracket(), bolt("INSIDE"), bolt("OUTSIDE", outdoor=True)]
    found = judged(book(*items, prices={"OUTSIDE": 300}), module(), **facts)
    assert found.facts["storage.fixing_code"] == code


@pytest.mark.parametrize(
    ("facts", "needed"),
    [
        # By hand: bracket 3 + embedment 60, then plaster, fire board 12, backing board 18.
        ({}, 63), ({"storage__plaster_mm": D("12.5")}, D("75.5")),
        ({"storage__combustible_wall": True}, 75), ({"storage__habitable_behind": True}, 75),
        ({"storage__habitable_behind": None}, 75),
        ({"storage__wall": "stud", "storage__combustible_wall": True}, 93),
    ],
)
def test_a_fixing_reaches_through_bracket_boards_and_plaster(
    facts: dict[str, Any], needed: Any
) -> None:
    boards = [STARTER.items[code] for code in ("11012-FB", "11020-CB")]
    walls = ("dense brick", "stud")
    for length, chosen in ((needed, "BOLT"), (D(needed) - D("0.5"), "")):
        fixing = bolt(walls=walls, length_mm=length)
        found = judged(book(bracket(), fixing, *boards), module(), **facts)
        assert found.facts["storage.fixing_code"] == chosen


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


def test_a_fixing_that_nobody_offers_today_is_taken_only_where_no_other_holds() -> None:
    # It then stands in the bill as one that no supplier offers; it is no question of strength.
    alone = book(bracket(), bolt("ASLEEP"), silent=("ASLEEP",))
    assert judged(alone, module()).facts["storage.fixing_code"] == "ASLEEP"
    both = book(bracket(), bolt("ASLEEP"), bolt("SOLD"), silent=("ASLEEP",))
    assert judged(both, module()).facts["storage.fixing_code"] == "SOLD"
