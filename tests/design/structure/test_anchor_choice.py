"""The cheapest fixing that passes, the reason of every refusal, and what never happens."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D
from fractions import Fraction as F
from typing import Any, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.price_book import PriceBook
from catalogue.specs import WallKind
from estimator.design.structure.anchor_choice import AnchorChoice, PricedFixing, choose_anchor
from estimator.design.structure.anchors import judge_anchor, judge_concrete, judge_steel, judge_sum
from estimator.design.structure.bracket import Bracket, fixing_duty
from tests.catalogue.starter_reading import ABOUT, ITEMS, OFFERS
from tests.design.structure.rules_in_force import ANCHORS, G, duty, hole, priced

BOOK = PriceBook.of(ABOUT.prices_from, ITEMS, OFFERS)
STARTER = tuple(
    PricedFixing(item, offer.unit_price_minor)
    for item in BOOK.items.values()
    if item.family == "fixing" and (offer := BOOK.offer(item.code)) is not None
)
RATIOS = st.decimals("0", "1.5", places=3)


def reasons(choice: AnchorChoice) -> dict[str, str]:
    return {each.code: each.because for each in choice.refused}


def test_the_cheapest_that_passes_is_chosen_and_the_dearer_are_named() -> None:
    found = choose_anchor(
        duty(), hole(), [priced("C", 90), priced("A", 120), priced("B", 70)], ANCHORS)
    assert found.item is not None
    assert (found.item.code, found.cost_minor) == ("B", 70)
    assert found.dearer == ("C", "A")
    assert found.refused == ()
    assert found.judged is not None
    assert found.judged.passes


def test_a_tie_goes_to_the_lower_code() -> None:
    found = choose_anchor(duty(), hole(), [priced("B", 70), priced("A", 70)], ANCHORS)
    assert found.item is not None
    assert found.item.code == "A"


def test_resin_counts_in_the_price_of_a_fixing() -> None:
    # By hand: a stud of 60 with 10 ml at 4 a ml costs 100, more than a bolt of 90.
    both = [priced("BOLT", 90), priced("STUD", 60, resin_ml=10)]
    dear = choose_anchor(duty(), hole(), both, ANCHORS, F(4))
    free = choose_anchor(duty(), hole(), both, ANCHORS)
    assert dear.item is not None
    assert free.item is not None
    assert (dear.item.code, free.item.code) == ("BOLT", "STUD")


@pytest.mark.parametrize(
    ("spec", "because"),
    [
        ({"role": "board fixing"}, "it is no wall fixing"),
        ({"walls": ("concrete",)}, "it is not for dense brick"),
        ({"load_rated": False}, "it is not rated for a load"),
        ({"depth_mm": None}, "its sheet gives no depth in the wall"),
        ({"pull_n": None}, "its sheet gives no recommended load"),
        ({"shear_n": None}, "its sheet gives no recommended load"),
        ({"pull_n": 0}, "its sheet gives no recommended load"),
    ],
)
def test_a_fixing_that_does_not_serve_is_refused_with_its_reason(
    spec: dict[str, Any], because: str
) -> None:
    found = choose_anchor(duty(), hole(), [priced("X", 10, **spec)], ANCHORS)
    assert found.item is None
    assert reasons(found) == {"X": because}


def test_an_indoor_fixing_is_refused_outdoors() -> None:
    both = [priced("IN", 10), priced("OUT", 20, outdoor=True)]
    found = choose_anchor(duty(), hole(outdoor=True), both, ANCHORS)
    assert found.item is not None
    assert found.item.code == "OUT"
    assert reasons(found) == {"IN": "it is not for outdoors"}


def test_plaster_makes_a_short_fixing_too_short() -> None:
    # By hand: 3 + 12 + 60 = 75 mm fits exactly; one more millimetre of plaster does not.
    fits = choose_anchor(duty(), hole(plaster_mm=12), [priced("X", 10)], ANCHORS)
    short = choose_anchor(duty(), hole(plaster_mm=13), [priced("X", 10)], ANCHORS)
    assert fits.item is not None
    assert reasons(short) == {
        "X": "75 mm is shorter than fixture, plaster and embedment together (76 mm)"}


def test_a_weak_fixing_is_refused_with_loads_and_limits() -> None:
    # By hand: 600 / 900 + 800 / 1000 = 1.4667 against 1.2 in dense brick.
    found = choose_anchor(duty(600, 800), hole(), [priced("X", 10)], ANCHORS)
    assert reasons(found)["X"].startswith(
        "600 N pull and 800 N shear against 900 N and 1000 N: pull and shear together take "
        "146.7 % of what is allowed (120 %)")


def test_a_perforated_wall_allows_less_together_than_a_solid_one() -> None:
    # ETAG 029, annex C (from memory): sum at most 1.2 in solid masonry, 1.0 in hollow.
    # By hand: 540 / 900 + 500 / 1000 = 1.1.
    walls = ("dense brick", "perforated brick")
    item = priced("X", 10, walls=walls)
    solid, hollow = (choose_anchor(duty(540, 500), hole(w), [item], ANCHORS) for w in walls)
    assert solid.item is not None
    assert hollow.item is None


def test_a_floor_standing_unit_takes_the_ordinary_screw() -> None:
    # Common practice, no source: the bracket only stops tipping.
    found = choose_anchor(
        fixing_duty("floor", 60, Bracket(90, 400, 2, 2), G), hole("dense brick", plaster_mm=5),
        STARTER, ANCHORS)
    assert found.item is not None
    assert found.item.code == "09050"
    assert found.judged is None
    assert found.cautions == ()


def test_every_wall_of_the_catalogue_has_a_rule() -> None:
    assert set(get_args(WallKind)) <= set(ANCHORS.walls)


@pytest.mark.parametrize("wall", get_args(WallKind))
def test_the_starter_catalogue_hangs_a_module_of_60_kg_in_every_wall(wall: str) -> None:
    # Bracket of 4 holes, unit 90 mm out, 400 mm tall: 66 N pull and 147 N shear.
    asked = fixing_duty("wall", 60, Bracket(90, 400, 4, 2), G)
    found = choose_anchor(asked, hole(wall), STARTER, ANCHORS)
    assert found.item is not None
    assert found.item.code.startswith("09")
    prices = {each.item.code: each.price_minor for each in STARTER}
    assert all(prices[found.item.code] <= prices[code] for code in found.dearer)
    codes = {found.item.code, *found.dearer, *reasons(found)}
    assert codes == set(prices)


def test_no_fixing_in_the_catalogue_leaves_no_choice_and_all_reasons() -> None:
    found = choose_anchor(duty(50_000, 50_000), hole("stud"), STARTER, ANCHORS)
    assert found.item is None
    assert found.judged is None
    assert len(found.refused) == len(STARTER)
    assert found.decides == "fixing maker"


def test_an_unknown_wall_is_no_wall_to_rate() -> None:
    with pytest.raises(KeyError, match="cob"):
        judge_anchor(F(1, 2), F(1, 2), "cob", ANCHORS)


@given(st.integers(1, 3000), st.integers(1, 3000), st.integers(0, 1000), st.integers(0, 1000),
       st.sampled_from(get_args(WallKind)))
def test_a_heavier_unit_never_finds_a_cheaper_fixing(
    pull: int, shear: int, more_pull: int, more_shear: int, wall: str
) -> None:
    light = choose_anchor(duty(pull, shear), hole(wall), STARTER, ANCHORS)
    heavy = choose_anchor(
        duty(pull + more_pull, shear + more_shear), hole(wall), STARTER, ANCHORS)
    if light.cost_minor is None:
        assert heavy.cost_minor is None
    elif heavy.cost_minor is not None:
        assert heavy.cost_minor >= light.cost_minor
    assert set(reasons(light)) <= set(reasons(heavy))


@given(RATIOS, RATIOS, RATIOS, RATIOS, st.sampled_from(get_args(WallKind)))
def test_pull_and_shear_together_never_pass_more_easily_with_more(
    pull: D, shear: D, more_pull: D, more_shear: D, wall: str
) -> None:
    for judge in (judge_steel, judge_concrete):
        less = judge(pull, shear, ANCHORS)
        assert less.passes >= judge(pull + more_pull, shear + more_shear, ANCHORS).passes
    assert judge_anchor(pull, shear, wall, ANCHORS).passes >= judge_anchor(
        pull + more_pull, shear + more_shear, wall, ANCHORS).passes


@given(RATIOS, RATIOS)
def test_pull_and_shear_count_alike(pull: D, shear: D) -> None:
    for judge in (judge_steel, judge_concrete):
        assert judge(pull, shear, ANCHORS).passes == judge(shear, pull, ANCHORS).passes


@given(RATIOS, RATIOS)
def test_nothing_passes_with_a_single_ratio_above_one(pull: D, shear: D) -> None:
    if max(pull, shear) > 1:
        assert not judge_steel(pull, shear, ANCHORS).passes
        assert not judge_concrete(pull, shear, ANCHORS).passes
        assert not judge_sum(pull, shear, F("1.2"), ANCHORS).passes


def test_a_sum_at_its_limit_passes_and_a_ten_thousandth_over_fails() -> None:
    # Exact fractions: 0.6 + 0.6 is 1.2, which floats do not promise.
    assert judge_sum(D("0.6"), D("0.6"), F("1.2"), ANCHORS).passes
    assert not judge_sum(D("0.6"), D("0.6001"), F("1.2"), ANCHORS).passes


def test_a_firm_may_ask_for_more_room_at_the_edge() -> None:
    far = replace(ANCHORS, edge_mm=replace(ANCHORS.edge_mm, value=F(300)))
    found = choose_anchor(duty(), hole(edge_mm=299), [priced("X", 10, resin_ml=5)], far)
    assert reasons(found) == {
        "X": "299 mm from the edge of the wall is less than 300 mm"}
