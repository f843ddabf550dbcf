from __future__ import annotations

import random
from decimal import Decimal as D
from fractions import Fraction as F

import pytest

from catalogue.items import Offer
from catalogue.money import Money
from estimator.buying.drums import RunsBought, bought_unbroken, cheapest_lengths, longest
from estimator.buying.packs import cheapest_packs
from tests.buying.pack_oracle import best_lengths
from tests.factories import OfferFactory


def offer(pack: str | int, minor: int, supplier: str = "A", **fields: object) -> Offer:
    return OfferFactory(supplier=supplier, pack=D(pack), price=Money(minor), **fields)


def laid(found: RunsBought) -> list[tuple[str, list[str], str]]:
    return [(str(each.length), [str(run) for run in each.runs], str(each.end))
            for each in found.lengths]


def test_the_lengths_cost_what_trying_every_lay_out_finds_on_six_hundred_small_jobs() -> None:
    dice = random.Random(20261128)
    served = 0
    for _ in range(600):
        offers: dict[tuple[object, ...], Offer] = {}
        for _ in range(dice.randint(1, 3)):
            pack, charge = dice.choice(
                [(1, 0), (1, 5), (2, 20), (10, None), (15, None), (25, None), (30, None)])
            made = offer(
                pack, dice.randint(pack * 3, pack * 9), dice.choice("AB"),
                least=D(dice.choice([0, 0, 0, 20, 40])),
                cut_charge=None if charge is None else Money(charge))
            offers[made.series] = made
        runs = [D(dice.randint(10, 180)) / 10 for _ in range(dice.randint(1, 4))]
        least = best_lengths([F(run) for run in runs], list(offers.values()))
        if least is None:
            with pytest.raises(ValueError, match="longer than the longest"):
                cheapest_lengths(runs, list(offers.values()))
            continue
        served += 1
        found = cheapest_lengths(runs, list(offers.values()))
        assert found.purchase.exact_cost_minor == least, (runs, offers)
        assert found.purchase.gap_minor == 0
        assert sorted(run for each in found.lengths for run in each.runs) == sorted(runs)
        assert all(each.end >= 0 for each in found.lengths)
        assert sum(each.length for each in found.lengths) == found.purchase.bought
    assert served > 500


def test_ends_of_drums_too_short_for_a_run_are_waste_beside_the_measured_length() -> None:
    """Three runs of 40 m: poured they would fill 120 of 150 m in three drums of 50 m, one each."""
    found = cheapest_lengths([D(40)] * 3, [offer(50, 5000)])
    assert laid(found) == [("50", ["40"], "10")] * 3
    assert (found.purchase.need, found.purchase.bought, found.purchase.surplus) == (120, 150, 30)


def test_runs_share_a_drum_though_the_total_alone_would_take_a_smaller_mix() -> None:
    # 30 + 30 + 30 m in 100 m: one drum of 100 m at 80.00; two of 50 m at 42.00 hold two runs only
    found = cheapest_lengths([D(30)] * 3, [offer(100, 8500), offer(50, 4200)])
    assert laid(found) == [("100", ["30", "30", "30"], "10")]
    assert cheapest_packs(D(90), [offer(100, 8500), offer(50, 4200)]).exact_cost_minor == 8400
    assert found.purchase.exact_cost_minor == 8500


def test_by_the_metre_and_cut_to_measure_stand_beside_the_drum() -> None:
    drum, metre = offer(100, 7900), offer(1, 110, "B")
    # 2 runs, 23.5 m: 24 m x 1.10 = 26.40 against a drum at 79.00
    found = cheapest_lengths([D("11.5"), D(12)], [drum, metre])
    assert laid(found) == [("24", ["12", "11.5"], "0.5")]
    assert found.purchase.exact_cost_minor == 2640
    # 90 m: 99.00 by the metre, so the drum
    assert laid(cheapest_lengths([D(45)] * 2, [drum, metre])) == [("100", ["45", "45"], "10")]
    # 110 m in two runs: drum and 55 m (139.50) against 121.00 by the metre, or two drums (158.00)
    assert cheapest_lengths([D(55)] * 2, [drum, metre]).purchase.exact_cost_minor == 12100


def test_one_cut_charge_is_paid_for_the_length_from_which_runs_are_taken() -> None:
    cut = offer(1, 100, cut_charge=Money(600))
    found = cheapest_lengths([D(8), D(5)], [cut])
    assert [(buy.packs, buy.cuts, buy.cost) for buy in found.purchase.buys] == [
        (13, 1, Money(1900))]


def test_a_run_longer_than_every_drum_is_refused_unless_one_is_cut_to_measure() -> None:
    with pytest.raises(ValueError, match="a run of 120 is longer than the longest length, 100"):
        cheapest_lengths([D(120)], [offer(100, 8000), offer(50, 4300)])
    assert longest([offer(100, 8000), offer(50, 4300)]) == 100
    assert longest([offer(100, 8000), offer(1, 90)]) is None


def test_twenty_runs_are_laid_out_with_a_stated_gap_and_never_dearer_than_one_offer_alone() -> None:
    dice = random.Random(3)
    runs = [D(dice.randint(40, 400)) / 10 for _ in range(20)]
    offers = [offer(100, 8000), offer(50, 4300, "B"), offer(25, 2400, "B"),
              offer(1, 110, "C", cut_charge=Money(500))]
    found = cheapest_lengths(runs, offers)
    assert found.purchase.bound_minor <= found.purchase.exact_cost_minor
    assert found.purchase.gap_minor < found.purchase.exact_cost_minor / 20
    for each in offers[:1] + offers[3:]:
        assert found.purchase.exact_cost_minor <= cheapest_lengths(
            runs, [each]).purchase.exact_cost_minor
    assert found.purchase.exact_cost_minor >= cheapest_packs(sum(runs), offers).exact_cost_minor


def test_every_run_is_whole_on_one_length_or_named_as_too_long_on_four_hundred_small_jobs() -> None:
    """Against trying every lay-out: the runs that fit cost least, and none is ever parted."""
    dice = random.Random(20261129)
    with_too_long = 0
    for _ in range(400):
        offers = [offer(pack, dice.randint(pack * 3, pack * 9), supplier)
                  for supplier, pack in zip("AB", dice.sample([10, 15, 25, 30], 2), strict=True)]
        most = max(each.pack for each in offers)
        runs = [D(dice.randint(10, 400)) / 10 for _ in range(dice.randint(1, 4))]
        found = bought_unbroken(runs, offers)
        assert found.longest == most
        assert list(found.too_long) == [at for at, run in enumerate(runs) if run > most]
        placed = [at for length in found.lengths for at in length.at]
        assert sorted([*placed, *found.too_long]) == list(range(len(runs)))
        for length in found.lengths:
            assert length.runs == tuple(runs[at] for at in length.at)
            assert sum(length.runs) <= length.length
            assert length.length in {each.pack for each in offers}
        fit = [F(run) for run in runs if run <= most]
        laid = best_lengths(fit, offers) if fit else F(0)
        poured = sum((cheapest_packs(run, offers).exact_cost_minor for run in runs if run > most),
                     F(0))
        assert laid is not None
        assert found.purchase.exact_cost_minor == laid + poured
        with_too_long += bool(found.too_long)
    assert with_too_long > 100


def test_a_length_says_which_of_the_runs_asked_for_it_serves() -> None:
    found = bought_unbroken([D(5), D(60), D(5), D(40)], [offer(100, 8000)])
    assert [(each.at, each.runs) for each in found.lengths] == [
        ((1, 3), (D(60), D(40))), ((0, 2), (D(5), D(5)))]
