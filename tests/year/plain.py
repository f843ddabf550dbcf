"""Offers of round figures in place of estimates, so that a year can be drawn without quoting."""

from __future__ import annotations

from datetime import date
from decimal import Decimal as D

from demo_jobs.year.records import Choice, Offered, PlannedBuy, PlannedGoods, PlannedTask
from demo_jobs.year.year import Firm

DAY = date(2025, 12, 1)


def goods(item: str, head: str, supplier: str, from_stock: bool) -> PlannedGoods:
    buy = PlannedBuy(supplier, item, D(10), D(10), D(0), D(10), 5000, 0, 3, "", DAY, None)
    return PlannedGoods(item, item, "each", "mounting", head, from_stock, D(8), 4000, (buy,))


def offers(choice: Choice) -> Offered:
    net = round(1_000_000 * (1 - float(choice.rebate)))
    tasks = (PlannedTask("rail", "roof", 600, 900, 1500),
             PlannedTask("string-test", "electrical", 200, 300, 600))
    return Offered(net, 760_000, 20.0, 5000, tasks,
                   (goods("A", "storage", "Storage Depot", False),
                    goods("B", "fixings", "Fixings Counter", True)), ())


def firm() -> Firm:
    return Firm.read(offers, lambda item, buy, period: buy.price_minor + 100 * period)
