"""Who brings what is bought for a job, and what bringing it costs.

The bill takes the cheapest goods line by line. Each supplier also charges for the order, so that
goods a little dearer from one who comes anyway may cost less in all. Here the job's goods are split
over suppliers (`estimator.buying.basket`), and the job is charged carriage and what counts of goods
beyond the need, for these orders alone.

Shelf stock bears no carriage: it comes with the store's own orders. Nor do hire, other firms' work
and fees, which are no goods. A quote knows no day on which the goods are needed.

The split is searched for a counted number of steps, so that a quote loads no solver. Where the
search does not end, the best plan found is taken: never dearer than the bill as it was.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from catalogue.items import Offer
from catalogue.money import Money
from catalogue.price_book import PriceBook
from estimator.bill import Bill, BillLine, rebought
from estimator.buying.basket import split_basket
from estimator.buying.basket_cost import Extras, extras_of
from estimator.buying.basket_values import (
    NO_CLASSES,
    NO_TERMS,
    BasketLine,
    Choice,
    Terms,
    Wanted,
    line_of,
    terms_of,
)
from estimator.buying.purchase import Buy
from estimator.cost import BOUGHT_IN_HEADS
from estimator.settings import Buying


@dataclass(frozen=True)
class Delivery:
    """The bill with the suppliers chosen, and the extras of each order, by supplier's name."""

    bill: Bill
    orders: Mapping[str, Extras]

    def carriage(self, currency: str) -> Money:
        """Return what the job is charged for carriage and for goods beyond the need."""
        return Money(sum(extras.cost_minor for extras in self.orders.values()), currency)


def delivered(bill: Bill, prices: PriceBook, buying: Buying) -> Delivery:
    """Return the bill with the suppliers that make goods and carriage cheapest together."""
    goods = [line for line in bill.lines if to_bring(line)]
    if not goods or not prices.carriage:
        return Delivery(bill, {})  # nobody charges: the cheapest line by line is the best
    terms = {name: terms_of(rows) for name, rows in prices.carriage.items()}
    share = Fraction(buying.surplus_share)
    as_billed = _extras(goods, terms, share)
    ways = {line.line: _ways(line, prices) for line in goods}
    if all(len(each) == 1 for each in ways.values()):
        return Delivery(bill, as_billed)
    plan = split_basket(
        [_basket_line(line, ways[line.line]) for line in goods], terms,
        Wanted(prices.on, surplus_share=buying.surplus_share), with_solver=False).plan
    if plan.total_minor >= sum(line.cost.minor for line in goods) + _total(as_billed):
        return Delivery(bill, as_billed)
    sellers = {key: order.supplier for order in plan.orders for key, _ in order.lines}
    chosen = {line.line: ways[line.line][sellers[_key(line)]] for line in goods}
    return Delivery(
        replace(bill, lines=tuple(chosen.get(line.line, line) for line in bill.lines)),
        {order.supplier: order.extras for order in plan.orders})


def to_bring(line: BillLine) -> bool:
    """Return whether a supplier brings the goods of a line for the job."""
    return bool(line.buys) and not line.option and line.item.held == "job" and (
        line.item.head not in BOUGHT_IN_HEADS)


def _ways(line: BillLine, prices: PriceBook) -> dict[str, BillLine]:
    """Return the line as each supplier would bring it, by the supplier's name."""
    by_supplier: dict[str, list[Offer]] = {}
    for offer in prices.offers.get(line.item.code, ()):
        by_supplier.setdefault(offer.supplier, []).append(offer)
    if len(by_supplier) == 1:
        return dict.fromkeys(by_supplier, line)
    return {name: rebought(line, own, prices.currency)
            for name, own in sorted(by_supplier.items())}


def _key(line: BillLine) -> str:
    return f"{line.line:04}"


def _basket_line(line: BillLine, ways: Mapping[str, BillLine]) -> BasketLine:
    return line_of(_key(line), line.item.code, line.buy, [
        Choice(name, way.cost.minor, 0, _classes(way.buys), way.buys)
        for name, way in ways.items()
    ])


def _classes(buys: Sequence[Buy]) -> frozenset[str]:
    return frozenset(buy.offer.carriage_class for buy in buys if buy.offer.carriage_class)


def _extras(
    goods: Sequence[BillLine], terms: Mapping[str, Terms], share: Fraction
) -> dict[str, Extras]:
    """Return the extras of the orders that the bill's own buys make; a mix may make several."""
    value: dict[str, int] = {}
    classes: dict[str, frozenset[str]] = {}
    for buy in (buy for line in goods for buy in line.buys):
        name = buy.offer.supplier
        value[name] = value.get(name, 0) + buy.cost.minor
        classes[name] = classes.get(name, NO_CLASSES) | _classes([buy])
    return {
        name: extras_of(terms.get(name, NO_TERMS), value[name], classes[name], share)
        for name in sorted(value)
    }


def _total(orders: Mapping[str, Extras]) -> int:
    return sum(extras.cost_minor for extras in orders.values())
