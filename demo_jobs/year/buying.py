"""What was ordered, taken from the shelf and charged for a job, and what filled the shelf."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from random import Random

from demo_jobs.year.calendar import FIRST, LAST, after, by_the_end, period_on, workday
from demo_jobs.year.houses import House
from demo_jobs.year.records import (
    Billed,
    Bought,
    BoughtLine,
    Offered,
    PlannedBuy,
    PlannedGoods,
    Taken,
)
from demo_jobs.year.truths import Truth

MONTH_DAYS = 30.4375
MILLI = Decimal("0.001")
USAGE_SPREAD = 0.05
SPARE, SPARE_CHANCE = 0.15, 0.25
LATE_CHANCE = 0.15
Prices = Callable[[str, PlannedBuy, int], int]  # item, offer, period -> minor units


@dataclass(frozen=True, slots=True)
class Ordering:
    """For which job what is bought: quoted on a day, accepted on another, to begin on a third."""

    job: str
    house: House
    quoted: date
    accepted: date
    begins: date


def line_net(buy: PlannedBuy, quantity: Decimal, price_minor: int) -> int:
    """Return what a line of an order comes to, rounded half up to the minor unit."""
    exact = price_minor * quantity / buy.per + buy.cut_charge_minor
    return int((exact + Decimal("0.5")).to_integral_value(rounding="ROUND_FLOOR"))


def ordered(
    of: Ordering, offered: Offered, truths: Mapping[str, Truth], prices: Prices, rng: Random
) -> tuple[Bought, ...]:
    """Return the orders to the job's site, one to each supplier, up to the end of the year."""
    by_supplier: dict[str, list[tuple[PlannedGoods, PlannedBuy]]] = defaultdict(list)
    for goods in offered.goods:
        for buy in () if goods.from_stock else goods.buys:
            by_supplier[buy.supplier].append((goods, buy))
    made = []
    for number, (supplier, lines) in enumerate(sorted(by_supplier.items())):
        on = after(of.accepted, rng.randint(1, 5))
        lead = max(buy.lead_days for _, buy in lines)
        late = rng.randint(1, 6) if rng.random() < LATE_CHANCE else 0
        came = min(after(on, lead + late), workday(of.begins))
        if on > LAST:
            continue
        period = period_on(on)
        months = (came - of.quoted).days / MONTH_DAYS
        creep = truths["creeping-supplier"]
        rise = creep.size * months if supplier == creep["supplier"] else 0.0
        bought = tuple(_line(goods, buy, prices(goods.item, buy, period), rise)
                       for goods, buy in lines)
        made.append(Bought(
            of.job, supplier, on, by_the_end(came), by_the_end(after(came, 3)),
            offered.carriage_minor if number == 0 else 0, bought))
    return tuple(made)


def _line(goods: PlannedGoods, buy: PlannedBuy, price: int, rise: float) -> BoughtLine:
    net = line_net(buy, buy.quantity, price)
    return BoughtLine(goods, buy, buy.quantity, price, net + round(net * rise))


def taken(
    house: House, offered: Offered, truths: Mapping[str, Truth], rng: Random
) -> Iterator[Taken]:
    """Yield what went out from the shelf; a little more than used, which comes back."""
    truth = truths["wall-fixings"]
    on_wall = house.modules and house.wall == truth["wall"]
    for goods in offered.goods:
        if not goods.from_stock or not goods.quantity or not goods.buys:
            continue
        more = 1 + truth.size if on_wall and goods.head == truth["head"] else 1.0
        swing = rng.lognormvariate(0, USAGE_SPREAD)
        used = _rounded(float(goods.quantity) * more * swing, goods)
        spare = float(used) * SPARE if rng.random() < SPARE_CHANCE else 0.0
        back = _rounded(spare, goods) if spare >= 0.5 else Decimal(0)
        yield Taken(goods, used + back, back)


def _rounded(quantity: float, goods: PlannedGoods) -> Decimal:
    """Return whole pieces; of what is sold by the metre tenths. Never nothing."""
    if goods.unit == "m":
        return max(Decimal("0.1"), Decimal(f"{quantity:.1f}"))
    return Decimal(max(1, round(quantity)))


def billed(offered: Offered, done: date, rng: Random) -> Iterator[Billed]:
    """Yield what plant, trades and offices charge, once the job is done."""
    for goods in offered.bought_in:
        net = goods.cost_minor
        if goods.head == "scaffold" and rng.random() < 0.2:
            net += rng.randint(1, 3) * 4500  # weeks that the scaffold stood too long
        if net:
            yield Billed(goods.buys[0].supplier, after(done, rng.randint(2, 9)), goods.head,
                         goods.item, goods.name, goods.quantity, net)


def filled(
    uses: Iterable[tuple[date, Sequence[Taken]]], truths: Mapping[str, Truth], prices: Prices
) -> tuple[Bought, ...]:
    """Return the orders that fill the shelf: each month what will be taken in it, in whole packs.

    Args:
        uses: when a job took what.
    """
    wanted: dict[tuple[int, str], tuple[PlannedGoods, Decimal]] = {}
    for day, each in uses:
        for take in each:
            key = (day.month, take.goods.item)
            before = wanted.get(key, (take.goods, Decimal(0)))[1]
            wanted[key] = (take.goods, before + take.out)
    shelf: dict[str, Decimal] = defaultdict(Decimal)
    orders: dict[tuple[int, str], list[BoughtLine]] = defaultdict(list)
    for (month, item), (goods, quantity) in sorted(wanted.items(), key=lambda each: each[0]):
        buy = goods.buys[0]
        lacking = quantity - shelf[item]
        if lacking > 0:
            packs = math.ceil(lacking / buy.pack)
            price = prices(item, buy, period_on(_came(month)))
            net = line_net(buy, packs * buy.pack, price)
            orders[month, buy.supplier].append(
                BoughtLine(goods, buy, packs * buy.pack, price, net))
            shelf[item] += packs * buy.pack
        shelf[item] -= quantity
    return tuple(
        Bought("", supplier, _came(month) - timedelta(5), _came(month), after(_came(month), 4), 0,
               tuple(lines))
        for (month, supplier), lines in sorted(orders.items()))


def _came(month: int) -> date:
    return max(FIRST, date(FIRST.year, month, 1))
