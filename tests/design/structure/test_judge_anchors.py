"""The judge of wall fixings: the duty, the choice, and what never happens to them."""

from __future__ import annotations

from decimal import Decimal as D
from fractions import Fraction as F
from typing import Any, get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.items import BoxPart
from catalogue.specs import WallKind
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
)
from tests.factories import PRICES_FROM

WALLS = get_args(WallKind)
MASSES = st.integers(1, 800)


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


def test_a_fixing_that_nobody_offers_today_is_taken_only_where_no_other_holds() -> None:
    # It then stands in the bill as one that no supplier offers; it is no question of strength.
    alone = book(bracket(), bolt("ASLEEP"), silent=("ASLEEP",))
    assert judged(alone, module()).facts["storage.fixing_code"] == "ASLEEP"
    both = book(bracket(), bolt("ASLEEP"), bolt("SOLD"), silent=("ASLEEP",))
    assert judged(both, module()).facts["storage.fixing_code"] == "SOLD"
