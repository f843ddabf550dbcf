"""An item may stand in for another only if every hard field is equal or better.

Directions are common practice, no source, where no standard is named beside the field in
hard_fields.toml; standards are checked in tests/published/test_substitutes.py.
"""

from __future__ import annotations

import copy
import dataclasses
from decimal import Decimal as D
from typing import Any

import pytest

from catalogue.hard_fields import HARD_FIELDS, hard_fields, read_hard_fields
from catalogue.items import Item
from catalogue.price_book import PriceBook
from catalogue.specs import FAMILIES
from catalogue.substitutes import (
    FieldVerdict,
    judge,
    judge_partners,
    may_stand_in,
    substitutes_for,
)
from catalogue.toml_source import read_toml
from tests.catalogue.hard_values import HARD_VALUES, SAME
from tests.factories import ItemFactory, OfferFactory, PriceBookFactory, spec_of

CASES = [(family, field) for family, rows in HARD_VALUES.items() for field in rows]


def of(family: str, **changes: Any) -> Item:
    """Return an item of a family; what its item and specification share is given once."""
    about = {name: changes.pop(name) for name in ("code", "roles", "unit") if name in changes}
    return ItemFactory(family=family, spec=spec_of(family, **changes), **about)


def tried(family: str, **changes: Any) -> Item:
    """Return an item of a role for which no field has a direction of its own."""
    return of(family, roles=("some role",), **changes)


def verdict(original: Item, candidate: Item, field: str, role: str = "") -> FieldVerdict:
    (found,) = [each for each in judge(original, candidate, role) if each.field == field]
    return found


# -- the data --------------------------------------------------------------------------------------


@pytest.mark.parametrize("family", FAMILIES)
def test_every_field_of_every_family_is_hard_or_soft(family: str) -> None:
    """A new field of a data sheet must be classified before it is sold."""
    assert set(hard_fields().families[family].spec) == set(FAMILIES[family].model_fields)


def test_there_is_no_family_too_many() -> None:
    assert set(hard_fields().families) == set(FAMILIES)


@pytest.mark.parametrize("family", FAMILIES)
def test_every_field_of_an_item_is_hard_or_soft(family: str) -> None:
    names = {field.name for field in dataclasses.fields(Item)} - {"spec"}  # its fields are apart
    assert set(hard_fields().families[family].item) == names


def test_every_field_says_why_and_who_says_so() -> None:
    for family, fields in hard_fields().families.items():
        for name, field in {**fields.item, **fields.spec}.items():
            assert field.why, (family, name)
            assert field.source, (family, name)


@pytest.mark.parametrize("family", FAMILIES)
def test_every_hard_field_is_tried_below(family: str) -> None:
    hard = {name for name, field in hard_fields().families[family].spec.items()
            if field.must != "soft"}
    assert set(HARD_VALUES[family]) == hard


@pytest.mark.parametrize("change", [
    {"must": "bigger", "why": "x"}, {"why": "x"}, {"must": "equal", "soft": "x", "why": "x"},
    {"must": "equal", "why": "x", "colour": "red"},
    {"must": "equal", "why": "x", "roles": {"trunking": "bigger"}},
])
def test_a_word_that_means_nothing_is_refused(change: dict[str, Any]) -> None:
    data = copy.deepcopy(read_toml(HARD_FIELDS).data)
    data["family"]["cable"]["fields"]["size_mm2"] = change
    with pytest.raises(ValueError, match="size_mm2"):
        read_hard_fields(data)


# -- each direction at its edge --------------------------------------------------------------------


@pytest.mark.parametrize(("family", "field"), CASES)
def test_the_same_value_is_equal(family: str, field: str) -> None:
    value = HARD_VALUES[family][field][0]
    found = verdict(tried(family, **{field: value}), tried(family, **{field: value}), field)
    assert (found.verdict, found.says) == ("equal", "")


@pytest.mark.parametrize(("family", "field"), [
    case for case in CASES if HARD_VALUES[case[0]][case[1]][1] is not SAME])
def test_a_value_a_step_to_the_good_side_is_better(family: str, field: str) -> None:
    value, better, _ = HARD_VALUES[family][field]
    found = verdict(tried(family, **{field: value}), tried(family, **{field: better}), field)
    assert found.verdict == "better"
    assert found.passes


@pytest.mark.parametrize(("family", "field"), [
    case for case in CASES if HARD_VALUES[case[0]][case[1]][2] is not SAME])
def test_a_value_a_step_to_the_bad_side_is_worse(family: str, field: str) -> None:
    value, _, worse = HARD_VALUES[family][field]
    candidate = tried(family, **{field: worse})
    found = verdict(tried(family, **{field: value}), candidate, field)
    assert found.verdict == "worse"
    assert found.says
    assert not may_stand_in(judge(tried(family, **{field: value}), candidate))


@pytest.mark.parametrize(("family", "field"), [
    case for case in CASES
    if type(HARD_VALUES[case[0]][case[1]][0]) in (int, D, str, tuple)
    and hard_fields().families[case[0]].spec[case[1]].must not in ("equal", "ip")
    and HARD_VALUES[case[0]][case[1]][1] is not SAME])
def test_what_is_better_is_worse_the_other_way_round(family: str, field: str) -> None:
    value, better, _ = HARD_VALUES[family][field]
    found = verdict(tried(family, **{field: better}), tried(family, **{field: value}), field)
    assert found.verdict == "worse"


def blank_ones() -> list[tuple[str, str, Any]]:
    found = []
    for family, field in CASES:
        info = FAMILIES[family].model_fields[field]
        if not info.is_required() and info.default in (None, "", ()):
            found.append((family, field, info.default))
    return found


@pytest.mark.parametrize(("family", "field", "blank"), blank_ones())
def test_a_blank_where_the_original_has_a_value_is_not_known_to_be_as_good(
    family: str, field: str, blank: Any
) -> None:
    value = HARD_VALUES[family][field][0]
    found = verdict(tried(family, **{field: value}), tried(family, **{field: blank}), field)
    assert found.verdict == "unknown"
    assert found.says.startswith("nothing is known of it, where ")


@pytest.mark.parametrize(("family", "field", "passes"), [
    # Nobody counted on a current that is on no data sheet, so any will do.
    ("cable", "clipped_a", True), ("fixing", "pull_n", True), ("converter", "dc_max_v", True),
    ("storage", "clear_side_mm", True), ("mounting", "coverings", True),
    # A blank limit may mean that there is none, so a stated one may be worse.
    ("mounting", "pitch_max_deg", False), ("mounting", "rafter_min_mm", False),
    ("device", "board_family", False), ("electronics", "plug_family", False),
    ("earthing", "size_mm", False),
])
def test_a_value_where_the_original_is_blank(family: str, field: str, passes: bool) -> None:
    blank = FAMILIES[family].model_fields[field].default
    found = verdict(tried(family, **{field: blank}), tried(family, **{
        field: HARD_VALUES[family][field][0]}), field)
    assert found.verdict == ("better" if passes else "unknown")


# -- what every item has ---------------------------------------------------------------------------


def test_a_thing_of_another_family_is_never_a_substitute() -> None:
    found = judge(of("cable"), of("lead"))
    assert [each.field for each in found if not each.passes] == ["family", "roles", "unit"]


def test_the_unit_must_be_the_same() -> None:
    found = verdict(of("lead", unit="pair"), of("lead", unit="each"), "unit")
    assert (found.verdict, found.says) == ("worse", "each is not pair")


def test_the_role_that_is_needed_is_enough() -> None:
    both = of("fixing", roles=("wall fixing", "anti-tip fixing"))
    one = of("fixing", roles=("wall fixing",))
    assert verdict(both, one, "roles", "wall fixing").passes
    assert verdict(both, one, "roles", "anti-tip fixing").says == "it lacks anti-tip fixing"
    assert verdict(both, one, "roles").says == "it lacks anti-tip fixing"
    assert verdict(one, both, "roles").verdict == "better"


@pytest.mark.parametrize("family", ["converter", "storage"])
@pytest.mark.parametrize("field", ["length_mm", "width_mm", "height_mm"])
def test_what_hangs_on_a_wall_must_fit_its_place(family: str, field: str) -> None:
    def made(size: int) -> Item:
        return dataclasses.replace(of(family), **{field: size})

    assert verdict(made(400), made(400), field).verdict == "equal"
    assert verdict(made(400), made(399), field).verdict == "better"
    assert verdict(made(400), made(401), field).says == "401 mm is more than 400 mm"


def test_mass_name_place_and_box_are_soft() -> None:
    found = {each.field for each in judge(of("storage"), of("storage"))}
    assert not found & {"mass_kg", "name", "bin", "contents", "waste", "note"}


def test_trunking_may_be_larger_and_a_gland_must_fit() -> None:
    small, large = of("containment", size_mm=25), of("containment", size_mm=50)
    assert verdict(small, large, "size_mm", "trunking").verdict == "better"
    assert verdict(large, small, "size_mm", "trunking").says == "25 mm is less than 50 mm"
    assert verdict(small, large, "size_mm", "armoured gland").says == "50 mm is not 25 mm"


def test_what_has_two_roles_must_do_for_both() -> None:
    both = ("armoured gland", "trunking")
    small, large = (of("containment", size_mm=size, roles=both) for size in (25, 50))
    assert verdict(small, large, "size_mm").says == "50 mm is not 25 mm"
    assert verdict(small, large, "size_mm", "trunking").passes


def test_the_colour_of_a_sheath_says_nothing_and_that_of_a_core_all() -> None:
    grey, white = of("cable", colour="grey"), of("cable", colour="white")
    assert may_stand_in(judge(grey, white, "circuit cable"))
    green, blue = (of("cable", kind="earth", roles=("earth cable",), colour=colour)
                   for colour in ("green and yellow", "blue"))
    assert verdict(green, blue, "colour", "earth cable").says == "blue is not green and yellow"


def test_words_name_both_values_and_their_unit() -> None:
    found = verdict(of("cable", size_mm2=4), of("cable", size_mm2=D("2.50")), "size_mm2")
    assert found.says == "2.5 mm² is less than 4 mm²"


# -- partners --------------------------------------------------------------------------------------


def test_every_converter_that_permits_the_original_must_permit_the_substitute() -> None:
    old, new, other = (of("storage", code=code) for code in ("S1", "S2", "S3"))
    book = PriceBookFactory(items=[
        old, new, other, of("converter", code="C1", storage_allowed=("S1", "S2")),
        of("converter", code="C2", storage_allowed=("S1", "S2", "S3"))])
    first, second = judge_partners(old, new, book), judge_partners(old, other, book)
    assert first is not None
    assert first.passes
    assert second is not None
    assert second.says == "it lacks C1"
    assert judge_partners(of("panel"), of("panel"), book) is None


def test_a_module_on_no_list_is_not_known_to_suit() -> None:
    book = PriceBookFactory(items=[
        of("storage", code="S1"), of("storage", code="S2"),
        of("converter", code="C1", storage_allowed=("S1",))])
    found = judge_partners(book.items["S1"], book.items["S2"], book)
    assert found is not None
    assert found.verdict == "unknown"


# -- the ranked list -------------------------------------------------------------------------------


def test_those_that_may_stand_in_come_first_by_price_then_the_nearest_misses() -> None:
    items = [
        of("cable", code="OLD", size_mm2=4), of("cable", code="DEAR", size_mm2=10),
        of("cable", code="CHEAP", size_mm2=6), of("cable", code="NONE", size_mm2=6),
        of("cable", code="THIN", size_mm2=D("2.5")),
        of("cable", code="WORST", size_mm2=D("2.5"), clipped_a=27),
        of("cable", code="TAILS", roles=("tails cable",)), of("lead", code="LEAD"),
    ]
    prices = {"OLD": 100, "DEAR": 300, "CHEAP": 200, "THIN": 50, "WORST": 40}
    book = PriceBookFactory(items=items, offers=[
        OfferFactory(item=code, price=OfferFactory().price.times(D(cents) / 1000))
        for code, cents in prices.items()])
    found = substitutes_for(book.items["OLD"], "circuit cable", book)
    assert [(each.item.code, each.passes) for each in found] == [
        ("CHEAP", True), ("DEAR", True), ("NONE", True), ("THIN", False), ("WORST", False)]
    assert [each.field for each in found[-1].failing] == ["size_mm2", "clipped_a"]
    assert found[2].offer is None


def test_the_book_for_choosing_puts_the_substitute_at_the_original_s_price() -> None:
    """By hand: OLD at 1.00, NEW at 3.00, OTHER at 2.00; for choosing, NEW costs 1.00."""
    items = [of("cable", code=code) for code in ("OLD", "NEW", "OTHER")]
    book = PriceBookFactory(items=items, offers=[
        OfferFactory(item="OLD", price=OfferFactory().price.times(D("0.1"))),
        OfferFactory(item="NEW", price=OfferFactory().price.times(D("0.3"))),
        OfferFactory(item="OTHER", price=OfferFactory().price.times(D("0.2")))])
    for_choice: PriceBook = book.standing_in({"OLD": "NEW"})
    assert [item.code for item in for_choice.with_role("cable", "circuit cable")] == [
        "NEW", "OTHER"]
    offer = for_choice.offer("NEW")
    assert offer is not None
    assert (offer.item, offer.price.minor) == ("NEW", 100)
    assert for_choice.offer("OLD") is None
    assert book.offer("OLD") is not None  # the true book is as it was
