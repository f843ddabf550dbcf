from __future__ import annotations

import random
from decimal import Decimal as D
from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.items import Offer
from catalogue.money import Money, round_half_up
from estimator.buying import packs as packs_module
from estimator.buying.packs import cheapest_packs, first_packs
from estimator.buying.purchase import Purchase, preferred
from tests.buying.pack_oracle import best_mix, row_cost
from tests.factories import OfferFactory

PACKS = ("1", "2", "2.5", "3", "5", "6", "9")
LEASTS = ("0", "0", "0", "4", "7", "10", "12.5")
CHARGES = (None, None, None, 0, 3)


def offer(pack: str | int, minor: int, supplier: str = "A", **fields: object) -> Offer:
    return OfferFactory(supplier=supplier, pack=D(pack), price=Money(minor), **fields)


def counts(found: Purchase) -> dict[tuple[str, str], int]:
    return {(buy.offer.supplier, str(buy.offer.pack)): buy.packs for buy in found.buys}


def drawn(dice: random.Random) -> tuple[D, list[Offer]]:
    """Return a small need and up to four offers: breaks, minimum orders, cut charges."""
    offers: dict[tuple[object, ...], Offer] = {}
    for _ in range(dice.randint(1, 4)):
        charge = dice.choice(CHARGES)
        made = offer(
            dice.choice(PACKS), dice.randint(1, 40), dice.choice("AB"),
            least=D(dice.choice(LEASTS)), per=dice.choice([None, None, D(1), D(4)]),
            cut_charge=None if charge is None else Money(charge))
        offers[made.series] = made
    return D(dice.randint(1, 140)) / 10, sorted(offers.values(), key=preferred)


def test_the_mix_is_the_one_that_trying_every_mix_finds_on_two_thousand_small_needs() -> None:
    dice = random.Random(20261128)
    for _ in range(2000):
        need, offers = drawn(dice)
        found = cheapest_packs(need, offers)
        mix = tuple(
            next((buy.packs for buy in found.buys if buy.offer is each), 0) for each in offers)
        assert (found.exact_cost_minor, F(found.surplus), found.packs, mix) == best_mix(
            F(need), offers), (need, offers)
        assert found.gap_minor == 0


def test_a_need_of_many_packs_is_the_one_that_the_search_without_the_short_cut_finds() -> None:
    """Above a bound the bulk comes from the lowest unit price; the whole table is the judge."""
    dice = random.Random(7)
    taken = 0
    for _ in range(300):
        _, offers = drawn(dice)
        offers = [each for each in offers if each.cut_charge is None]
        if len(offers) < 2:
            continue
        need = D(dice.randint(200, 900))
        rows = [packs_module._Row(
            each, int(F(each.pack) * 2), first_packs(each)) for each in offers]
        target = int(need * 2)
        taken += packs_module._bulk(rows, target)[1] > 0
        whole = packs_module._mix(packs_module._weighed(rows, target), target)
        found = cheapest_packs(need, offers)
        assert [next((b.packs for b in found.buys if b.offer is each), 0)
                for each in offers] == whole, (need, offers)
    assert taken > 100


@given(st.integers(0, 10**9), st.integers(1, 10**6))
@settings(max_examples=150, deadline=None)
def test_a_mix_covers_the_need_and_is_never_dearer_than_one_offer_alone(
    seed: int, need: int
) -> None:
    _, offers = drawn(random.Random(seed))
    found = cheapest_packs(D(need) / 10, offers)
    assert found.bought >= D(need) / 10
    assert found.surplus == found.bought - D(need) / 10
    for each in offers:
        alone = max(first_packs(each), -(-F(need, 10) // F(each.pack)))
        assert found.exact_cost_minor <= row_cost(each, int(alone))


@given(st.integers(0, 10**9))
@settings(max_examples=100, deadline=None)
def test_a_buy_is_rounded_once_on_its_total_and_meets_its_least_quantity(seed: int) -> None:
    need, offers = drawn(random.Random(seed))
    for buy in cheapest_packs(need, offers).buys:
        assert buy.cost.minor == round_half_up(row_cost(buy.offer, buy.packs))
        assert buy.quantity >= buy.offer.least


def test_a_price_for_a_hundred_is_rounded_on_the_total_and_not_on_the_piece() -> None:
    # 30 x 3.45 / 100 = 1.035 -> 1.04; a piece rounded first (0.03) would give 0.90
    found = cheapest_packs(D(30), [offer(10, 345, per=D(100))])
    assert [buy.cost for buy in found.buys] == [Money(104)]


def test_two_small_packs_beside_a_large_one_beat_the_next_large_one() -> None:
    # 2 x 80.00 + 25.00 = 185.00 against 3 x 80.00 = 240.00 and 9 x 25.00 = 225.00
    found = cheapest_packs(D(215), [offer(100, 8000), offer(25, 2500)])
    assert counts(found) == {("A", "25"): 1, ("A", "100"): 2}
    assert (found.exact_cost_minor, found.surplus) == (18500, 10)


def test_of_mixes_at_one_price_the_one_with_less_left_over_is_bought_then_the_fewer_packs() -> None:
    assert counts(cheapest_packs(D(3), [offer(3, 900), offer(5, 900)])) == {("A", "3"): 1}
    assert counts(cheapest_packs(D(4), [offer(2, 450), offer(4, 900)])) == {("A", "4"): 1}
    assert counts(cheapest_packs(D(4), [offer(4, 900, "B"), offer(4, 900, "A")])) == {
        ("A", "4"): 1}


def test_a_break_is_reached_by_one_suppliers_packs_of_one_size_alone() -> None:
    """Six of ten in two sizes, or with two suppliers, do not reach a break at ten."""
    offers = [offer(1, 100), offer(1, 50, least=D(10)), offer(2, 190)]
    assert counts(cheapest_packs(D(4), offers)) == {("A", "2"): 2}      # 3.80, ten cost 5.00
    assert counts(cheapest_packs(D(6), offers)) == {("A", "1"): 10}     # 5.00, three twos 5.70
    other = [offer(1, 100), offer(1, 50, "B", least=D(10))]
    assert counts(cheapest_packs(D(6), other)) == {("B", "1"): 10}
    assert counts(cheapest_packs(D(4), other)) == {("A", "1"): 4}


def test_a_minimum_order_is_bought_whole_and_its_surplus_shown() -> None:
    found = cheapest_packs(D(12), [offer(5, 300, least=D(40))])
    assert (counts(found), found.surplus) == ({("A", "5"): 8}, 28)


def test_a_length_cut_to_measure_bears_its_charge_once() -> None:
    # 12.4 m -> 13 x 1.10 + 2.50 = 16.80, less than the drum of 50 m at 21.00; 18 m: 22.30, more
    offers = [offer(1, 110, cut_charge=Money(250)), offer(50, 2100)]
    short = cheapest_packs(D("12.4"), offers)
    assert ([(b.packs, b.cuts, b.cost) for b in short.buys]) == [(13, 1, Money(1680))]
    assert counts(cheapest_packs(D(18), offers)) == {("A", "50"): 1}


def test_a_million_screws_take_no_longer_than_a_handful() -> None:
    offers = [offer(200, 900), offer(1000, 4100, "B", least=D(50000)), offer(250, 1100, "C")]
    found = cheapest_packs(D(1_000_010), offers)
    # 1000 x 41.00 + 9.00 = 41,009.00 with one pack more; but 999 x 41.00 + 4 x 9.00 + 11.00
    # = 41,006.00 for 1,000,050: the last thousand and ten are cheaper in small packs
    assert counts(found) == {("A", "200"): 4, ("B", "1000"): 999, ("C", "250"): 1}
    assert found.gap_minor == 0


def test_a_need_beyond_the_search_is_covered_and_its_gap_stated() -> None:
    offers = [offer(997, 90000), offer(991, 89000, "B"), offer(983, 88999, "B", least=D(9830))]
    found = cheapest_packs(D(1_000_000), offers)
    assert found.bought >= 1_000_000
    # bound by hand: 1 000 000 x 890.00 / 991
    assert found.bound_minor == F(1_000_000) * 89000 / 991
    assert 0 < found.gap_minor < found.exact_cost_minor / 1000


def test_nothing_is_bought_for_no_need_and_a_need_without_an_offer_is_refused() -> None:
    assert cheapest_packs(D(0), []).buys == ()
    with pytest.raises(ValueError, match="nothing is offered"):
        cheapest_packs(D(1), [])
    with pytest.raises(ValueError, match="one currency"):
        cheapest_packs(D(1), [offer(1, 1), OfferFactory(price=Money(1, "EUR"))])
