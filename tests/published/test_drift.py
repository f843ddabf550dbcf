"""The worked storage job when modules become nine per cent dearer.

Worked example, invented figures: cost 7,633.44, price 8,985; three modules at 1,450 become 9 %
dearer -> 391.50 more, and 10.7 % net margin is left. Worked out by hand with the example, before
the program: 3 x 1,450 x 0.09 = 391.50; 8,985 - 7,633.44 - 391.50 = 960.06; / 8,985 = 10.685 %.
"""

from __future__ import annotations

from fractions import Fraction

from catalogue.money import Money
from catalogue.price_book import PriceBook
from estimator.cost import CostSheet, cost_sheet, heads_from_bill
from estimator.cost_parts import Charged, Costed, costed, moves
from estimator.drift import verdict_on
from estimator.imagined import changes_from, imagined
from estimator.labour.hours import hours_of
from estimator.price import net_margin
from estimator.settings import Settings
from tests.money.worked_job import worked_bill_at, worked_prices, worked_risks, worked_tasks

SETTINGS = Settings()
PRICE = Money.of("8985")


def sheet_at(prices: PriceBook) -> CostSheet:
    hours = hours_of(worked_tasks(), SETTINGS.labour)
    return cost_sheet(heads_from_bill(worked_bill_at(prices)), hours, worked_risks(), SETTINGS)


def parts_at(prices: PriceBook) -> Costed:
    sheet, bill = sheet_at(prices), worked_bill_at(prices)
    lines = [Charged(each.item.code, each.item.name, each.item.head, each.cost, each.waste_cost)
             for each in bill.lines]
    heads = [(each.head, each.amount) for each in sheet.heads]
    return costed(lines, heads, sheet.direct, sheet.total)


def dearer() -> PriceBook:
    prices = worked_prices()
    return imagined(prices, changes_from(["head:storage +9 %"], prices))


def test_modules_nine_percent_dearer_add_391_50_and_leave_10_7_percent() -> None:
    then, now = sheet_at(worked_prices()), sheet_at(dearer())
    assert then.total == Money.of("7633.44")
    assert now.total - then.total == Money.of("391.50")
    margin = net_margin(PRICE, now.total)
    assert margin == Fraction(96_006, 898_500)
    assert round(margin * 100, 1) == Fraction("10.7")
    assert verdict_on(margin, SETTINGS.pricing) == "under target"  # of 15 %; the minimum is 10 %


def test_nothing_but_the_modules_has_moved() -> None:
    found = moves(parts_at(worked_prices()), parts_at(dearer()))
    assert [(each.item, each.change) for each in found] == [("0000", Money.of("391.50"))]
    assert sum(each.minor for each in parts_at(dearer()).parts.values()) == 802_494
