"""Which of two things may stand in for the other, where a standard says so."""

from __future__ import annotations

from decimal import Decimal as D
from typing import cast

import pytest

from catalogue.items import Item
from catalogue.price_book import PriceBook
from catalogue.specs import CableSpec
from catalogue.substitutes import judge, may_stand_in
from tests.factories import ItemFactory, spec_of

# BS 7671:2018, Table 4D5: flat cable with protective conductor, 70 °C, reference method C (clipped
# direct): size, current, volt drop a.c. (mV/A/m).
FLAT = [
    ("1.0", "16", "44"), ("1.5", "20", "29"), ("2.5", "27", "18"), ("4", "37", "11"),
    ("6", "47", "7.3"), ("10", "64", "4.4"), ("16", "85", "2.8"),
]
# BS 7671:2018+A2:2022, regulation 531.3.3: type A trips on what AC trips on and on pulsating direct
# current; "type F: as for type A and in addition"; "type B: as for type F and in addition".
RCD_TYPES = ["AC", "A", "F", "B"]


def flat(row: tuple[str, str, str]) -> Item:
    size, amps, drop = map(D, row)
    return ItemFactory(family="cable", spec=spec_of(
        "cable", size_mm2=size, clipped_a=amps, mv_per_a_m=drop))


@pytest.mark.parametrize("thin", range(len(FLAT)))
@pytest.mark.parametrize("thick", range(len(FLAT)))
def test_a_flat_cable_may_stand_in_for_every_thinner_one_and_for_no_thicker(
    thin: int, thick: int
) -> None:
    assert may_stand_in(judge(flat(FLAT[thin]), flat(FLAT[thick]))) == (thick >= thin)


def test_four_mm2_stands_in_for_two_and_a_half_and_the_other_way_fails_in_all_three() -> None:
    small, large = flat(FLAT[2]), flat(FLAT[3])
    assert may_stand_in(judge(small, large, "circuit cable"))
    assert [each.says for each in judge(large, small, "circuit cable") if not each.passes] == [
        "2.5 mm² is less than 4 mm²", "27 A is less than 37 A",
        "18 mV/(A m) is more than 11 mV/(A m)"]


def ip(code: int) -> Item:
    return ItemFactory(family="storage", spec=spec_of("storage", ip=code))


@pytest.mark.parametrize("second", range(7))
@pytest.mark.parametrize("needed", range(7))
def test_up_to_6_a_second_numeral_implies_all_lower_ones(second: int, needed: int) -> None:
    """IEC 60529, clause 6: up to and including second characteristic numeral 6, the designation
    implies compliance also with the requirements for all lower characteristic numerals."""
    assert may_stand_in(judge(ip(40 + needed), ip(40 + second))) == (second >= needed)


@pytest.mark.parametrize("second", [7, 8])
@pytest.mark.parametrize("jets", [5, 6])
def test_what_withstands_immersion_is_not_said_to_withstand_jets(second: int, jets: int) -> None:
    """IEC 60529, clause 6 (from memory): numerals 7 and 8 are unsuitable for jets unless dual
    coded."""
    assert not may_stand_in(judge(ip(60 + jets), ip(60 + second)))
    assert not may_stand_in(judge(ip(60 + second), ip(60 + jets)))


@pytest.mark.parametrize("first", range(7))
@pytest.mark.parametrize("needed", range(7))
def test_a_first_numeral_implies_all_lower_ones(first: int, needed: int) -> None:
    """IEC 60529, clause 5 (from memory)."""
    assert may_stand_in(judge(ip(10 * needed + 4), ip(10 * first + 4))) == (first >= needed)


def test_neither_of_ip56_and_ip65_stands_in_for_the_other() -> None:
    """IEC 60529: each numeral by itself; 65 is no greater number of protection than 56."""
    assert not may_stand_in(judge(ip(56), ip(65)))
    assert not may_stand_in(judge(ip(65), ip(56)))


def device(rcd: str) -> Item:
    return ItemFactory(family="device", spec=spec_of("device", rcd_type=rcd))


@pytest.mark.parametrize("held", range(4))
@pytest.mark.parametrize("needed", range(4))
def test_an_rcd_may_stand_in_for_those_that_trip_on_less(held: int, needed: int) -> None:
    found = judge(device(RCD_TYPES[needed]), device(RCD_TYPES[held]))
    assert may_stand_in(found) == (held >= needed)


def test_a_breaker_without_rcd_and_one_with_are_two_things() -> None:
    """Guides prefer none before a converter: common practice, no source."""
    assert not may_stand_in(judge(device("none"), device("A")))
    assert not may_stand_in(judge(device("A"), device("none")))


def test_plugs_of_two_families_never_mate() -> None:
    """IEC 62548-1 (from memory): mating connectors of one type from one maker."""
    a, b, blank = (
        ItemFactory(family="electronics", spec=spec_of("electronics", plug_family=plug, max_w=500))
        for plug in ("plug A", "plug B", ""))
    assert not may_stand_in(judge(a, b))
    assert not may_stand_in(judge(a, blank))


def test_a_longer_fire_rating_covers_a_shorter() -> None:
    """BS EN 13501-2 (from memory): classification periods 15, 20, 30, 45, 60, 90, 120 minutes."""
    short, long = (ItemFactory(family="sealing", spec=spec_of("sealing", fire_rated_min=minutes))
                   for minutes in (60, 120))
    assert may_stand_in(judge(short, long))
    assert not may_stand_in(judge(long, short))


def test_the_starter_catalogue_s_flat_cables_stand_in_as_the_table_says(
    price_book: PriceBook
) -> None:
    flats = [item for item in price_book.with_role("cable", "circuit cable")
             if item.code.endswith("-TE")]
    by_size = sorted(flats, key=lambda item: cast(CableSpec, item.spec).size_mm2)
    for i, one in enumerate(by_size):
        for j, other in enumerate(by_size):
            assert may_stand_in(judge(one, other, "circuit cable")) == (j >= i)
