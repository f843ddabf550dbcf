"""What the bill buys: the best mix of packs, runs on drums, a shelf price the job would reach."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal as D
from fractions import Fraction

from catalogue.items import Item, Offer
from catalogue.money import Money
from estimator.bill import Bill, BillLine, bill_of
from estimator.price import offer_endings
from estimator.rules.results import Demand, Reason, Requirement
from tests.factories import ItemFactory, OfferFactory, PriceBookFactory

PANELS = ItemFactory(code="1", family="panel", held="job")
TRUNK = ItemFactory(code="2", family="containment", held="job", waste=D("0.1"))
CABLE = ItemFactory(code="3", family="cable", held="job", waste=D("0.05"))
CLIPS = ItemFactory(code="4", family="fixing", held="stock", waste=D("0.05"))


def offer(item: Item, pack: int, minor: int, supplier: str = "A", **fields: object) -> Offer:
    return OfferFactory(
        item=item.code, supplier=supplier, pack=D(pack), price=Money(minor), **fields)


def bill(
    item: Item, quantities: list[str], *offers: Offer,
    runs: Sequence[tuple[D, ...]] | None = None,
) -> Bill:
    demands = [
        Demand(Requirement(item.family, item.roles[0]), item, D(quantity), Reason(
            "a-rule", "rules.toml", 1, "a test", "", "true", quantity, quantity, D(quantity), ()),
            runs=held)
        for quantity, held in zip(quantities, runs or [()] * len(quantities), strict=True)
    ]
    return bill_of(demands, [], PriceBookFactory(items=[item], offers=list(offers)))


def only(made: Bill) -> BillLine:
    (line,) = made.lines
    return line


def packs(line: BillLine) -> list[tuple[str, D, int]]:
    return [(buy.offer.supplier, buy.offer.pack, buy.packs) for buy in line.buys]


def test_an_item_bought_for_the_job_pays_the_cheapest_mix_and_shows_what_is_left_over() -> None:
    # 27 panels: pallet of 20 at 60.00 and 7 at 66.00 = 1,200 + 462; two pallets are 2,400
    line = only(bill(PANELS, ["20", "7"], offer(PANELS, 20, 120_000), offer(PANELS, 1, 6_600)))
    assert packs(line) == [("A", D(1), 7), ("A", D(20), 1)]
    assert (line.cost, line.waste_cost, line.left_over) == (Money.of(1662), Money(0), 0)
    # of the buy that costs most
    assert line.offer is not None
    assert (line.packs, line.pack, line.offer.price) == (1, 20, Money.of(1200))
    assert line.unit_cost == Fraction(166_200, 27)


def test_packs_are_rounded_up_once_on_the_total_with_waste_of_all_demands() -> None:
    # 4 + 5 m + 10 % = 9.9 m: 4 lengths of 3 m, where each demand for itself would take 2 + 2
    line = only(bill(TRUNK, ["4", "5"], offer(TRUNK, 3, 420)))
    assert packs(line) == [("A", D(3), 4)]
    assert (line.allowance, line.bought, line.left_over) == (D("0.9"), 12, D("2.1"))
    # 4 + 4 m + 10 % = 8.8 m: 3 lengths, not 2 + 2
    assert only(bill(TRUNK, ["4", "4"], offer(TRUNK, 3, 420))).packs == 3


def test_runs_of_cable_bought_for_the_job_are_not_joined() -> None:
    # 45 and 30 m with 5 %: 47.25 + 31.5 = 78.75 m; poured 50 + 25 + 25 = 100 m would do at 97.00,
    # but 31.5 m fit in no end: two drums of 50 m at 104.00
    offers = offer(CABLE, 50, 5200), offer(CABLE, 25, 2250)
    line = only(bill(CABLE, ["45", "30"], *offers))
    assert packs(line) == [("A", D(50), 2)]
    assert (line.cost, line.left_over) == (Money.of(104), D("21.25"))


def test_a_run_longer_than_every_drum_has_a_price_but_comes_from_no_drum() -> None:
    # 120 m with 5 % = 126 m: the price of two drums of 100 m stands for it, and nothing serves it
    line = only(bill(CABLE, ["120", "30"], offer(CABLE, 100, 8000)))
    assert packs(line) == [("A", D(100), 3)]
    assert line.laid is not None
    assert (line.laid.longest, line.laid.too_long) == (100, (0,))
    assert [(each.runs, each.at) for each in line.laid.lengths] == [((D("31.500"),), (1,))]


def test_each_run_of_one_demand_is_a_length_of_its_own() -> None:
    # 4 runs of 30 m, 31.5 m with waste: one in a drum of 50 m; poured, 126 m would take three
    made = bill(CABLE, ["120"], offer(CABLE, 50, 5200), runs=[(D(30),) * 4])
    assert packs(only(made)) == [("A", D(50), 4)]
    laid = only(made).laid
    assert laid is not None
    assert [(each.runs, each.at, each.end) for each in laid.lengths] == [
        ((D("31.500"),), (at,), D("18.500")) for at in range(4)]


def test_shelf_cable_is_laid_out_over_the_drums_of_the_shelf_and_charged_by_the_metre() -> None:
    # 3 runs of 40 m, 42 m with waste: 2 on a drum of 100 m, so two drums though the job pays 120 m
    shelf = ItemFactory(code="5", family="cable", held="stock", waste=D("0.05"))
    line = only(bill(shelf, ["120"], offer(shelf, 100, 8000), runs=[(D(40),) * 3]))
    assert (line.cost, line.waste_cost, line.packs) == (Money.of(96), Money.of("4.80"), 2)
    assert line.laid is not None
    assert [each.at for each in line.laid.lengths] == [(0, 1), (2,)]
    # 6 runs of 19 m, 19.95 m with waste: 5 on a drum; poured, 119.7 m, two as well
    again = only(bill(shelf, ["114"], offer(shelf, 100, 8000), runs=[(D(19),) * 6]))
    assert [len(each.runs) for each in again.laid.lengths] == [5, 1]  # type: ignore[union-attr]


def test_cable_cut_to_measure_bears_one_cut_charge() -> None:
    # 12.6 m -> 13 x 1.10 + 2.50 = 16.80
    line = only(bill(CABLE, ["12"], offer(CABLE, 1, 110, cut_charge=Money(250))))
    assert (line.cost, line.buys[0].cuts, line.unit_cost) == (Money.of("16.80"), 1, 110)


def test_shelf_stock_is_charged_by_the_unit_at_a_price_its_own_packs_would_reach() -> None:
    ordinary, pallet = offer(CLIPS, 100, 500), offer(CLIPS, 100, 300, least=D(5000))
    line = only(bill(CLIPS, ["40"], ordinary, pallet))
    # 40 x 0.05 = 2.00, waste 2 x 0.05; the pallet's 0.03 is not this job's to claim
    assert (line.cost, line.waste_cost) == (Money.of("2.00"), Money.of("0.10"))
    assert packs(line) == [("A", D(100), 1)]
    assert only(bill(CLIPS, ["4900"], ordinary, pallet)).cost == Money.of("147.00")
    # nothing in reach: the offer that asks for least
    far = offer(CLIPS, 100, 400, "B", least=D(1000))
    assert only(bill(CLIPS, ["40"], pallet, far)).cost == Money.of("1.60")


def test_a_unit_price_that_leaves_a_cut_charge_out_is_no_shelf_price_beside_another() -> None:
    cut = offer(CLIPS, 1, 3, cut_charge=Money(500))
    assert only(bill(CLIPS, ["40"], offer(CLIPS, 100, 500), cut)).cost == Money.of("2.00")


def test_a_quote_ends_with_the_first_price_of_all_packs_of_a_mix() -> None:
    made = bill(
        PANELS, ["27"], offer(PANELS, 20, 120_000, to_date=date(2026, 12, 24)),
        offer(PANELS, 1, 6_600, to_date=date(2026, 11, 30)))
    assert min(offer_endings(made)) == (
        date(2026, 11, 30), f"the buying price of {PANELS.name} ends")


def test_nothing_is_bought_where_nobody_offers_or_nothing_is_needed() -> None:
    line = only(bill(PANELS, ["3"]))
    assert (line.buys, line.offer, line.packs, line.left_over) == ((), None, 0, 0)
    assert only(bill(PANELS, ["0"], offer(PANELS, 1, 100))).buys == ()
