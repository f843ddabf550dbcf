"""The rails of a whole job: one cut over all planes, rounded up once."""

from __future__ import annotations

from decimal import Decimal as D
from fractions import Fraction as F

from catalogue.items import Item
from catalogue.money import Money
from catalogue.price_book import PriceBook
from estimator.design import rails, roof
from estimator.design.plane_design import PlaneDesign
from estimator.design.rail_cut import RailCut, cut_rails, rail_facts
from estimator.design.sheet import Unknown
from tests.factories import ItemFactory, OfferFactory, PriceBookFactory, spec_of

WIDTH, HEIGHT = F("1.134"), F("1.762")
FIELD = roof.Field(F(20), F(20), F("0.4"), F("0.02"))
JOB = {"practice.saw_cut_m": D("0.003"), "practice.rail_offcut_m": D(1)}


def rail(code: str, stick_m: str, profile: str = "40 x 40", span_m: str = "1.2") -> Item:
    made: Item = ItemFactory(code=code, family="mounting", roles=("rail",), spec=spec_of(
        "mounting", max_span_m=span_m, max_overhang_m="0.3", stick_m=stick_m, profile=profile))
    return made


def book(*rails_on_offer: tuple[Item, int]) -> PriceBook:
    """Return a price book with rails at prices in minor units and a joiner at 3.10."""
    joiner = ItemFactory(code="J", family="mounting", roles=("rail joiner",))
    made: PriceBook = PriceBookFactory(
        items=[joiner, *(item for item, _ in rails_on_offer)],
        offers=[OfferFactory(item="J", price=Money(310)),
                *(OfferFactory(item=item.code, price=Money(price))
                  for item, price in rails_on_offer)])
    return made


def plane(rows: int, columns: int, rafters: str = "0.6") -> PlaneDesign:
    layout = roof.block(rows, columns, (WIDTH, HEIGHT), True, FIELD)
    held = rails.rails_of(layout, rails.RailRule(F(rafters), F("1.2"), F("0.3"), F("0.1")))
    return PlaneDesign(layout, {"plane.rail_lines": held.lines}, held)


def cut_of(planes: list[PlaneDesign], prices: PriceBook, code: str) -> RailCut:
    names = [f"plane {i}" for i in range(1, len(planes) + 1)]
    found = cut_rails(planes, names, prices.items[code], prices, JOB)
    assert found is not None
    return found


SHORT = rail("R33", "3.3")
LONG = rail("R44", "4.4")


def test_two_rows_of_six_take_nine_sticks_and_eight_joiners() -> None:
    # The worked example (common practice, no source): 7.104 = 3.3 + 3.3 + 0.504 m on four lines;
    # the four ends of 0.504 m come from one stick.
    cut = cut_of([plane(2, 6)], book((SHORT, 1580)), "R33")
    assert cut.shares == ((9, 0, 8),)
    assert cut.lawful


def test_ends_left_over_on_one_plane_serve_on_another() -> None:
    # Each plane by itself: 2 lines of 3.562 m = 2 x (3.3 + 0.262): an end of 0.262 m is shorter
    # than the overhang, so 3.261 + 0.301; three sticks. Two planes: 4 x 3.261 and 4 x 0.301 from
    # one more = 5 sticks, not 6. By hand.
    alone = cut_of([plane(1, 3)], book((SHORT, 1580)), "R33")
    both = cut_of([plane(1, 3), plane(1, 3)], book((SHORT, 1580)), "R33")
    assert alone.shares == ((3, 0, 2),)
    assert sum(sticks for sticks, _, _ in both.shares) == 5
    assert [joiners for _, _, joiners in both.shares] == [2, 2]


def test_sticks_are_counted_with_the_plane_of_their_first_piece_and_add_up_to_the_job() -> None:
    planes = [plane(1, 3), plane(2, 6), plane(1, 1)]
    cut = cut_of(planes, book((SHORT, 1580), (LONG, 2160)), "R33")
    bought = cut.plan.cut.bought()
    assert sum(sticks for sticks, _, _ in cut.shares) == bought.get("R33", 0)
    assert sum(others for _, others, _ in cut.shares) == bought.get("R44", 0)
    assert sum(joiners for _, _, joiners in cut.shares) == cut.plan.joiners


def test_two_lengths_of_one_profile_are_mixed_where_that_costs_less() -> None:
    # 9 x 15.80 + 8 x 3.10 = 167.00 with 3.3 m alone. By hand with two 4.4 m sticks: two lines of
    # 4.4 + 2.704, two of 3.3 + 3.3 + 0.504; 2.704 and 0.504 fit on 3.3 m together twice:
    # 2 x 21.60 + 6 x 15.80 + 6 x 3.10 = 156.60.
    cut = cut_of([plane(2, 6)], book((SHORT, 1580), (LONG, 2160)), "R33")
    assert cut.other is not None
    assert cut.other.code == "R44"
    assert cut.plan.cost_minor == 15660


def test_rails_of_another_profile_or_span_or_of_none_are_never_mixed() -> None:
    for other in (rail("R44", "4.4", "40 x 62"), rail("R44", "4.4", span_m="1.6")):
        assert cut_of([plane(2, 6)], book((SHORT, 1580), (other, 1)), "R33").other is None
    plain, longer = rail("P33", "3.3", ""), rail("P44", "4.4", "")
    assert cut_of([plane(2, 6)], book((plain, 1580), (longer, 1)), "P33").other is None


def test_a_stick_too_long_for_a_saw_cut_more_is_not_shared() -> None:
    # Lines of 1.334 m: two and a saw cut take 2.671 m of 3.3 m, three would take 4.008 m.
    cut = cut_of([plane(2, 1)], book((SHORT, 1580)), "R33")
    assert cut.shares == ((2, 0, 0),)


def test_a_plane_whose_rails_are_unknown_leaves_the_others_cut() -> None:
    lost = PlaneDesign(None, {"plane.rail_lines": Unknown("plane[1].rafter_spacing_m")})
    none = PlaneDesign(None, {"plane.rail_lines": 0})
    planes = [plane(2, 6), lost, none]
    cut = cut_of(planes, book((SHORT, 1580)), "R33")
    known, unknown, without = rail_facts(planes, cut, SHORT)
    assert known == {"plane.rail_sticks": 9, "plane.rail_other_code": "",
                     "plane.rail_other_sticks": 0, "plane.joiners": 8}
    assert unknown["plane.rail_sticks"].facts == {"plane[1].rafter_spacing_m"}
    assert without["plane.rail_sticks"] == without["plane.joiners"] == 0


def test_where_no_joint_is_lawful_the_cut_says_so() -> None:
    # rafters 4 m apart: a piece between two others would have to be longer than a stick
    cut = cut_of([plane(1, 12, "4.0")], book((SHORT, 1580)), "R33")
    assert not cut.lawful
