"""Purchase orders: what a basket becomes once it is said where the goods go and who takes them in.

    shortages ──> basket over suppliers (`basket`) ──> one order for each supplier

An order says all that the supplier must know: his own code and ours, whole packs, the price with
the quotation that it stands on and its last day, lead days, carriage, where to, who receives, the
day wanted, and of which goods a list of serial numbers is asked for. Amounts are net of tax.

A price is for `per` units; a line costs price * quantity / per and its cut charges, rounded once,
halves away from zero. Carriage is what the supplier charges on the goods of the order as they are:
goods beyond the need, which the basket reckons with, are advised and never added unasked.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from catalogue.items import Offer
from catalogue.money import round_half_up
from estimator.buying.basket_cost import Order as BasketOrder
from estimator.buying.basket_cost import Plan
from estimator.buying.basket_values import NO_TERMS, NOTHING, Terms
from estimator.buying.purchase import Buy

PALLET = "pallet"  # the carriage class of goods that come on one
ON_PALLETS = frozenset({"panel"})  # families that come on pallets, whatever their class


@dataclass(frozen=True, slots=True)
class ForJob:
    """So much of a line is for a job."""

    job: str
    quantity: Decimal


@dataclass(frozen=True, slots=True)
class Shortage:
    """So much of an item must be bought, for a day, and for which jobs; none = for the shelf."""

    item: str
    quantity: Decimal
    needed_on: date | None = None
    jobs: tuple[ForJob, ...] = ()


@dataclass(frozen=True, slots=True)
class Needed:
    """A line of the basket with what an order says of its item; `key` is that of the basket."""

    key: str
    item: str
    name: str
    unit: str
    family: str = ""
    serialised: bool = False
    needed_on: date | None = None
    jobs: tuple[ForJob, ...] = ()


@dataclass(frozen=True, slots=True)
class DeliverTo:
    """Where the goods go.

    Attributes:
        place: of the stock: a store, or the site of a job.
        job: the job whose site it is; "" for the firm's own places.
        receiver: who takes the goods in.
    """

    place: str
    job: str = ""
    address: str = ""
    receiver: str = ""


@dataclass(frozen=True, slots=True)
class OrderLine:
    """So many packs of one offer.

    Attributes:
        line: 1, 2, 3 ... within the order.
        item: our code; `supplier_code` is theirs.
        quantity: units ordered, a multiple of `pack`.
        price_minor: for `per` units.
        cut_charge_minor: for all lengths of the line that are cut to measure.
        quoted: which quotation, price list or entry the price stands on.
        price_until: last day of the price; None = until further notice.
        needed_on: the day on which the goods must be there.
        jobs: for which jobs, and how much of it.
        serials: whether a list of serial numbers is asked for.
    """

    line: int
    item: str
    name: str
    unit: str
    quantity: Decimal
    pack: Decimal
    per: Decimal
    price_minor: int
    price_from: date
    supplier_code: str = ""
    cut_charge_minor: int = 0
    carriage_class: str = ""
    quoted: str = ""
    price_until: date | None = None
    lead_days: int = 0
    needed_on: date | None = None
    jobs: tuple[ForJob, ...] = ()
    serials: bool = False
    family: str = ""

    @property
    def packs(self) -> Decimal:
        """Return the number of packs."""
        return self.quantity / self.pack

    @property
    def unit_cost_minor(self) -> Fraction:
        """Return what a unit costs, its share of the cut charges included; exact minor units."""
        return Fraction(self.price_minor) / Fraction(self.per) + Fraction(
            self.cut_charge_minor) / Fraction(self.quantity)

    @property
    def cost_minor(self) -> int:
        """Return what the line costs, rounded once, halves away from zero."""
        return round_half_up(self.unit_cost_minor * Fraction(self.quantity))

    @property
    def order_by(self) -> date | None:
        """Return the last day on which an order brings the goods in time."""
        return self.needed_on - timedelta(days=self.lead_days) if self.needed_on else None


@dataclass(frozen=True)
class PurchaseOrder:
    """An order to one supplier.

    Attributes:
        number: 0 as long as it is not kept.
        on: the day of the order.
        carriage_minor: on the goods as they are ordered.
        least_minor: the value of goods under which the supplier takes no order.
        advised_minor: value of goods beyond the need that would save more than they cost, or
            reach the least order; 0 = none.
    """

    number: int
    supplier: str
    on: date
    currency: str
    lines: tuple[OrderLine, ...]
    to: DeliverTo
    carriage_minor: int = 0
    least_minor: int = 0
    advised_minor: int = 0
    by: str = ""
    note: str = ""

    @property
    def goods_minor(self) -> int:
        """Return the value of the goods."""
        return sum(line.cost_minor for line in self.lines)

    @property
    def total_minor(self) -> int:
        """Return goods and carriage, net of tax."""
        return self.goods_minor + self.carriage_minor

    @property
    def wanted_on(self) -> date | None:
        """Return the first day on which something of it is needed."""
        return min((line.needed_on for line in self.lines if line.needed_on), default=None)

    @property
    def order_by(self) -> date | None:
        """Return the last day on which the order brings everything in time."""
        return min((line.order_by for line in self.lines if line.order_by), default=None)

    @property
    def price_until(self) -> date | None:
        """Return the last day on which all prices hold; None = until further notice."""
        return min((line.price_until for line in self.lines if line.price_until), default=None)

    def comes_on(self, line: OrderLine) -> date:
        """Return the day on which a line is to come: after its lead days, and not before wanted."""
        soonest = self.on + timedelta(days=line.lead_days)
        return max(soonest, self.wanted_on or soonest)


@dataclass(frozen=True)
class Placing:
    """What turns a basket into orders, beside the basket.

    Attributes:
        terms: by supplier.
        quoted: what the price of an offer stands on.
        by: who orders.
    """

    on: date
    currency: str
    to: DeliverTo
    terms: Mapping[str, Terms]
    quoted: Callable[[Offer], str]
    by: str = ""
    note: str = ""


def orders_of(
    plan: Plan, needed: Mapping[str, Needed], placing: Placing
) -> tuple[PurchaseOrder, ...]:
    """Return one order for each supplier of a basket, by supplier's name; none has a number.

    Args:
        plan: the basket.
        needed: its lines by key.
        placing: the rest.
    """
    return tuple(_order(order, needed, placing) for order in plan.orders)


def _order(order: BasketOrder, needed: Mapping[str, Needed], placing: Placing) -> PurchaseOrder:
    lines: list[OrderLine] = []
    for key, choice in order.lines:
        rest = list(needed[key].jobs)
        for buy in choice.bought:
            lines.append(_line(len(lines) + 1, buy, needed[key], rest, placing))
    terms = placing.terms.get(order.supplier, NO_TERMS)
    goods = sum(line.cost_minor for line in lines)
    classes = sorted({line.carriage_class for line in lines if line.carriage_class})
    charges = [terms.order, *(terms.classes.get(each, NOTHING) for each in classes)]
    return PurchaseOrder(
        0, order.supplier, placing.on, placing.currency, tuple(lines), placing.to,
        sum(charge.at(goods) for charge in charges), terms.least_minor,
        order.extras.surplus_minor, placing.by, placing.note)


def _line(
    number: int, buy: Buy, needed: Needed, rest: list[ForJob], placing: Placing
) -> OrderLine:
    """Return a line; what it serves of the jobs is taken off `rest`, job after job."""
    offer = buy.offer
    charge = offer.cut_charge.minor if offer.cut_charge is not None else 0
    return OrderLine(
        number, needed.item, needed.name, needed.unit, buy.quantity, offer.pack,
        offer.pack if offer.per is None else offer.per, offer.price.minor, offer.from_date,
        offer.supplier_code, charge * buy.cuts, offer.carriage_class, placing.quoted(offer),
        offer.to_date, offer.lead_days, needed.needed_on, _served(buy.quantity, rest),
        needed.serialised, needed.family)


def _served(quantity: Decimal, rest: list[ForJob]) -> tuple[ForJob, ...]:
    served: list[ForJob] = []
    while rest and quantity > 0:
        first = rest.pop(0)
        taken = min(first.quantity, quantity)
        quantity -= taken
        served.append(ForJob(first.job, taken))
        if taken < first.quantity:
            rest.insert(0, ForJob(first.job, first.quantity - taken))
    return tuple(served)


def terms_of_delivery(order: PurchaseOrder) -> Iterator[str]:
    """Yield what the supplier must know of the delivery. Source: common practice, no source."""
    if order.to.job and any(line.family in ON_PALLETS or line.carriage_class == PALLET
                            for line in order.lines):
        yield ("Goods on pallets go to a site: agree beforehand on a fork-lift truck, or on flat, "
               "firm ground that a pallet truck can cross, and on who unloads. Nobody stands "
               "under or beside a load that is lifted; heavy pieces are never carried alone.")


def cautions_of(order: PurchaseOrder) -> Iterator[str]:
    """Yield what whoever takes the goods in must know. Source: common practice, no source."""
    yield from terms_of_delivery(order)
    if any(line.serials for line in order.lines):
        yield ("A list of serial numbers is asked for: hold it against the goods before the "
               "delivery note is signed.")
    yield ("Count, and look for damage, before signing; photograph damage and tell the supplier "
           "the same day.")


def warnings_of(order: PurchaseOrder, today: date) -> Iterator[str]:
    """Yield what may go wrong with an order: its prices, its day, its value."""
    for line in order.lines:
        yield from _price_warnings(line, today)
    for line in order.lines:
        if line.needed_on and order.comes_on(line) > line.needed_on:
            days = (order.comes_on(line) - line.needed_on).days
            yield (f"line {line.line}: {line.item} comes on {order.comes_on(line)}, "
                   f"{days} day{'s' if days != 1 else ''} after {line.needed_on}")
    if order.goods_minor < order.least_minor:
        yield "the goods are worth less than the supplier's least order"


def _price_warnings(line: OrderLine, today: date) -> Iterator[str]:
    last = line.price_until
    if last is None:
        return
    if last < today:
        yield f"line {line.line}: the price of {line.item} ended on {last}; ask for it anew"
    elif line.order_by is not None and last < line.order_by:
        yield (f"line {line.line}: the price of {line.item} ends on {last}, before the order must "
               f"go out ({line.order_by}); order by {last}")
