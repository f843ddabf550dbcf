"""Who brings what for a job and what carriage it is charged, reckoned by hand in pence."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from catalogue.items import Carriage, Item, Offer
from catalogue.money import Money
from catalogue.price_book import PriceBook
from estimator.bill import Bill
from estimator.cost import cost_sheet, heads_from_bill
from estimator.delivery import delivered
from estimator.settings import Buying
from tests.factories import CarriageFactory, ItemFactory, OfferFactory, PriceBookFactory
from tests.money.factories import bill_at, firm, hours_worked

BUYING = Buying()
ASH, BEECH = (CarriageFactory(supplier=name, charge=Money(950)) for name in ("Ash", "Beech"))


def bought(code: str, **fields: object) -> Item:
    made: Item = ItemFactory(code=code, family="isolator", held="job", **fields)
    return made


def offers(code: str, **prices: int) -> list[Offer]:
    return [OfferFactory(item=code, supplier=name.capitalize(), price=Money(minor))
            for name, minor in prices.items()]


def book(items: list[Item], priced: list[Offer], *charges: Carriage) -> PriceBook:
    made: PriceBook = PriceBookFactory(items=items, offers=priced, carriage=list(charges))
    return made


def bill(prices: PriceBook, **quantities: int) -> Bill:
    return bill_at(prices, [(prices.items[code.lstrip("_")], str(many))
                            for code, many in quantities.items()])


def test_one_order_costs_one_carriage_and_a_second_supplier_another() -> None:
    items = [bought("1"), bought("2")]
    prices = book(items, [*offers("1", ash=10_000), *offers("2", beech=2_000)], ASH, BEECH)
    made = delivered(bill(prices, _1=1, _2=1), prices, BUYING)
    assert made.carriage("GBP") == Money(1_900)
    assert list(made.orders) == ["Ash", "Beech"]


def test_goods_a_little_dearer_are_taken_from_who_comes_anyway() -> None:
    # 100.00 + 20.00 and two vans are 139.00; all from Ash 100.00 + 23.00 and one van, 132.50
    items = [bought("1"), bought("2")]
    priced = [*offers("1", ash=10_000, beech=10_800), *offers("2", ash=2_300, beech=2_000)]
    prices = book(items, priced, ASH, BEECH)
    cheapest = bill(prices, _1=1, _2=1)
    made = delivered(cheapest, prices, BUYING)
    assert [line.buys[0].offer.supplier for line in cheapest.lines] == ["Ash", "Beech"]
    assert [line.buys[0].offer.supplier for line in made.bill.lines] == ["Ash", "Ash"]
    assert [line.cost for line in made.bill.lines] == [Money(10_000), Money(2_300)]
    assert made.carriage("GBP") == Money(950)


def test_shelf_stock_hire_and_options_bear_no_carriage() -> None:
    items = [replace(bought("1"), held="stock"), bought("2", head="plant hire"), bought("3")]
    prices = book(items, [o for each in items for o in offers(each.code, ash=5_000)], ASH)
    made = bill(prices, _1=1, _2=1, _3=1)
    option = replace(made, lines=tuple(
        replace(line, option=line.item.code == "3") for line in made.lines))
    assert delivered(option, prices, BUYING).orders == {}
    assert delivered(made, prices, BUYING).carriage("GBP") == Money(950)


def test_a_catalogue_without_carriage_leaves_the_bill_as_it_is() -> None:
    prices = book([bought("1")], offers("1", ash=5_000, beech=6_000))
    made = bill(prices, _1=2)
    assert delivered(made, prices, BUYING).bill is made
    assert delivered(made, prices, BUYING).carriage("EUR") == Money(0, "EUR")


def test_goods_beyond_the_need_count_by_the_firms_share() -> None:
    # 5.00 of goods under a least order of 25.00: 20.00 more are bought, of which a fifth counts
    prices = book([bought("1")], offers("1", ash=500), replace(ASH, least_order=Money(2_500)))
    made = bill(prices, _1=1)
    assert delivered(made, prices, BUYING).carriage("GBP") == Money(950 + 2_000)
    fifth = Buying(surplus_share=Decimal("0.2"))
    assert delivered(made, prices, fifth).carriage("GBP") == Money(950 + 400)


def test_carriage_is_a_head_of_the_cost_sheet_and_part_of_the_materials() -> None:
    prices = book([bought("1", head="switchgear")], offers("1", ash=5_000), ASH)
    made = delivered(bill(prices, _1=1), prices, BUYING)
    heads = heads_from_bill(made.bill, "GBP", made.carriage("GBP"))
    sheet = cost_sheet(heads, hours_worked(0, {}), (), firm(return_visit_rate="0"))
    assert [(each.head, each.amount.minor) for each in sheet.heads] == [
        ("switchgear", 5_000), ("carriage", 950)]
    assert (sheet.materials, sheet.direct) == (Money(5_950), Money(5_950))
