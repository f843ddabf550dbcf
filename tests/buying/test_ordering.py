"""From a basket to purchase orders: packs, prices, days, carriage, and what is warned of."""

from __future__ import annotations

from datetime import date
from decimal import Decimal as D
from typing import Any

import pytest

from catalogue.money import Money
from estimator.buying.basket import split_basket
from estimator.buying.basket_choices import choices_of
from estimator.buying.basket_values import Charge, Terms, Wanted, line_of
from estimator.buying.ordering import (
    DeliverTo,
    ForJob,
    Needed,
    Placing,
    PurchaseOrder,
    cautions_of,
    orders_of,
    warnings_of,
)
from tests.factories import ON, OfferFactory, OrderLineFactory, PurchaseOrderFactory

STORE = DeliverTo("store", "", "1 Sample Lane")
TERMS = {"Counter North": Terms(Charge(750, 15_000), {"pallet": Charge(4_800)}, 2_000)}


def ordered(*wants: tuple[Needed, D, list[Any]], terms: Any = TERMS, **more: Any
            ) -> tuple[PurchaseOrder, ...]:
    lines = [line_of(needed.key, needed.item, quantity, choices_of(quantity, offers))
             for needed, quantity, offers in wants]
    split = split_basket(lines, terms, Wanted(ON))
    return orders_of(split.plan, {needed.key: needed for needed, _, _ in wants}, Placing(
        ON, "GBP", more.get("to", STORE), terms, lambda offer: f"quote for {offer.item}", "buyer"))


def test_an_order_says_whole_packs_both_codes_price_quotation_days_and_carriage() -> None:
    # By hand: 250 clips come as 3 boxes of 100 at 3.45 for 100 = 10.35; carriage 7.50.
    clips = OfferFactory(item="clip", pack=D(100), price=Money(345), supplier_code="CN-77",
                         lead_days=3, to_date=date(2026, 11, 30))
    needed = Needed("1", "clip", "Cable clip", "each", needed_on=date(2026, 11, 10))
    (order,) = ordered((needed, D(250), [clips]))
    (line,) = order.lines
    assert (line.item, line.supplier_code, line.name) == ("clip", "CN-77", "Cable clip")
    assert (line.packs, line.pack, line.quantity) == (3, 100, 300)
    assert (line.price_minor, line.per, line.cost_minor) == (345, 100, 1_035)
    assert (line.quoted, line.price_until) == ("quote for clip", date(2026, 11, 30))
    assert (line.lead_days, line.order_by) == (3, date(2026, 11, 7))
    assert (order.goods_minor, order.carriage_minor, order.total_minor) == (1_035, 750, 1_785)
    assert (order.supplier, order.wanted_on, order.number) == (
        "Counter North", date(2026, 11, 10), 0)


def test_a_price_for_other_units_than_the_pack_and_a_cut_charge_are_in_the_line() -> None:
    # By hand: 18 m cut off at 1.28 for 1 m, one cut for 2.50: 23.04 + 2.50 = 25.54. And 200 ties
    # in packs of 100 at 0.45 for 10: 9.00.
    cable = OfferFactory(item="cable", pack=D(1), price=Money(128), cut_charge=Money(250))
    ties = OfferFactory(item="tie", pack=D(100), price=Money(45), per=D(10))
    (order,) = ordered(
        (Needed("1", "cable", "Cable", "m"), D(18), [cable]),
        (Needed("2", "tie", "Tie", "each"), D(200), [ties]))
    assert [(line.line, line.cost_minor, line.cut_charge_minor) for line in order.lines] == [
        (1, 2_554, 250), (2, 900, 0)]


def test_a_mix_of_packs_is_two_lines_and_each_serves_the_jobs_in_turn() -> None:
    # By hand: 130 of packs of 100 at 50.00 and of 10 at 6.00: 1 of 100 and 3 of 10, 68.00. The
    # first job's 110 take the 100 and 10 of the 30, the second's 20 the rest.
    packs = [OfferFactory(item="a", pack=D(100), price=Money(5_000)),
             OfferFactory(item="a", pack=D(10), price=Money(600))]
    needed = Needed("1", "a", "A", "each", jobs=(ForJob("x", D(110)), ForJob("y", D(20))))
    (order,) = ordered((needed, D(130), packs))
    by_pack = {line.pack: line for line in order.lines}
    assert {pack: line.quantity for pack, line in by_pack.items()} == {100: 100, 10: 30}
    assert order.goods_minor == 6_800
    for_jobs: dict[str, D] = {}
    for line in order.lines:
        assert sum(each.quantity for each in line.jobs) == line.quantity
        for each in line.jobs:
            for_jobs[each.job] = for_jobs.get(each.job, D(0)) + each.quantity
    assert for_jobs == {"x": 110, "y": 20}


def test_carriage_is_that_of_the_goods_as_ordered_with_their_classes_and_thresholds() -> None:
    # By hand: goods of 20.00 pay 7.50, with a pallet 48.00 more; from 150.00 on the order's own
    # carriage falls away, that of the pallet stays.
    plain, pallet = OfferFactory(item="a"), OfferFactory(item="b", carriage_class="pallet")
    a, b = Needed("1", "a", "A", "each"), Needed("2", "b", "B", "each")
    assert ordered((a, D(2), [plain]))[0].carriage_minor == 750
    assert ordered((a, D(1), [plain]), (b, D(1), [pallet]))[0].carriage_minor == 5_550
    assert ordered((a, D(15), [plain]))[0].carriage_minor == 0
    assert ordered((a, D(14), [plain]), (b, D(1), [pallet]))[0].carriage_minor == 4_800


def test_under_the_least_order_goods_are_advised_and_warned_of_but_never_added() -> None:
    # By hand: 10.00 of goods under a least order of 20.00.
    (order,) = ordered((Needed("1", "a", "A", "each"), D(1), [OfferFactory(item="a")]))
    assert (order.goods_minor, order.least_minor, order.advised_minor) == (1_000, 2_000, 1_000)
    assert list(warnings_of(order, ON)) == [
        "the goods are worth less than the supplier's least order"]


def test_each_supplier_of_the_basket_gets_an_order_by_name() -> None:
    orders = ordered(
        (Needed("1", "a", "A", "each"), D(1), [OfferFactory(item="a", supplier="Z")]),
        (Needed("2", "b", "B", "each"), D(1), [OfferFactory(item="b", supplier="M")]), terms={})
    assert [(order.supplier, order.lines[0].item, order.lines[0].line) for order in orders] == [
        ("M", "b", 1), ("Z", "a", 1)]


@pytest.mark.parametrize(("until", "needed_on", "today", "says"), [
    (date(2026, 11, 30), None, ON, []),
    (date(2026, 11, 1), None, ON,
     ["line 1: the price of 00000 ended on 2026-11-01; ask for it anew"]),
    # 2 days before the 20th is the 18th: the price ends a day earlier, or on the very day.
    (date(2026, 11, 17), date(2026, 11, 20), ON,
     ["line 1: the price of 00000 ends on 2026-11-17, before the order must go out (2026-11-18); "
      "order by 2026-11-17"]),
    (date(2026, 11, 18), date(2026, 11, 20), ON, []),
    (None, date(2026, 11, 4), ON, []),  # ordered on the 2nd it is there on the 4th
    (None, date(2026, 11, 3), ON, ["line 1: 00000 comes on 2026-11-04, 1 day after 2026-11-03"]),
])
def test_prices_that_end_and_goods_that_come_late_are_warned_of(
    until: date | None, needed_on: date | None, today: date, says: list[str]
) -> None:
    order = PurchaseOrderFactory(
        lines=(OrderLineFactory(price_until=until, needed_on=needed_on),))
    assert list(warnings_of(order, today)) == says


def test_goods_come_after_their_lead_days_and_not_before_they_are_wanted() -> None:
    soon = PurchaseOrderFactory()
    later = PurchaseOrderFactory(lines=(OrderLineFactory(needed_on=date(2026, 11, 20)),))
    assert soon.comes_on(soon.lines[0]) == date(2026, 11, 4)
    assert later.comes_on(later.lines[0]) == date(2026, 11, 20)


def test_pallets_to_a_site_serial_lists_and_damage_are_cautioned_of() -> None:
    site = DeliverTo("site D-101", "D-101", "27 Mill Bank", "R. Site")
    panels = (OrderLineFactory(family="panel", serials=True),)
    says = list(cautions_of(PurchaseOrderFactory(lines=panels, to=site)))
    assert [each.split(":")[0].split(",")[0] for each in says] == [
        "Goods on pallets go to a site", "A list of serial numbers is asked for", "Count"]
    assert "fork-lift truck, or on flat, firm ground" in says[0]
    assert len(list(cautions_of(PurchaseOrderFactory(lines=panels)))) == 2  # the store has its own
    pallet = (OrderLineFactory(carriage_class="pallet"),)
    assert len(list(cautions_of(PurchaseOrderFactory(lines=pallet, to=site)))) == 2
    assert len(list(cautions_of(PurchaseOrderFactory(to=site)))) == 1
