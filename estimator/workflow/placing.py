"""Make purchase orders of what is short: one for each supplier of the cheapest basket.

Codes of the problems, beside those of the basket: Y302 the job is not accepted, Y303 a place that
is not there or takes no goods, Y304 nobody is named who takes goods in at a site, Y305 all goods of
the job are on order, Y306 an item that is not there, Y307 a quantity that cannot be ordered.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import Connection, insert, select

from catalogue.entering import user
from catalogue.incoming import ordered_for
from catalogue.items import COUNTED_UNITS, Offer
from catalogue.loading import currency_of
from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from catalogue.tables import ITEM, OFFER, PLACE, PRICE_LIST
from estimator.buying.basket import Split
from estimator.buying.ordering import (
    DeliverTo,
    ForJob,
    Needed,
    Placing,
    PurchaseOrder,
    Shortage,
    orders_of,
)
from estimator.papers.contract import EstimateJson
from estimator.papers.digits import plain
from estimator.papers.order_split import LineToOrder
from estimator.settings import Settings
from estimator.workflow.basis import firm_settings
from estimator.workflow.database import at_work
from estimator.workflow.firm import database_of, firm_files
from estimator.workflow.job_states import states
from estimator.workflow.jobs import kept_estimate, revision_number
from estimator.workflow.order_basket import Rules, ToSplit, market_of, split_lines
from estimator.workflow.order_records import keep_order
from estimator.workflow.orders import Asked, goods_of
from estimator.workflow.receipts import piece

SITE = "site "  # a job's site is named with this before its id
OWN = ("store", "van", "counter")  # kinds of places to which goods for the stock are brought


@dataclass(frozen=True)
class Ordering:
    """What is to be ordered, and where it goes.

    Attributes:
        job: an accepted job whose goods are ordered; "" to order `items`.
        items: codes with quantities, for the shelf.
        with_stock: whether what the shelf would give the job is ordered too.
        to: one of the firm's own places, where the goods go unless `to_site`.
        to_site: whether they go to the job's house.
        receiver: who takes them in.
        name: who orders; the user of this machine if None.
    """

    rules: Rules
    job: str = ""
    items: tuple[tuple[str, Decimal], ...] = ()
    with_stock: bool = False
    to: str = "store"
    to_site: bool = False
    receiver: str = ""
    note: str = ""
    name: str | None = None


@dataclass(frozen=True)
class Ordered:
    """The orders made, without numbers where they are only shown.

    Attributes:
        split: the basket that they come from.
        skipped: item with quantity and orders, of what is on order for the job already.
    """

    orders: tuple[PurchaseOrder, ...]
    split: Split
    on: date
    written: bool
    skipped: tuple[tuple[str, Decimal, tuple[int, ...]], ...] = ()


@dataclass(frozen=True)
class _Wanted:
    """What is short, with the words for messages."""

    shortages: tuple[Shortage, ...]
    place: Place
    nothing: str
    address: str = ""
    currency: str = ""
    skipped: tuple[tuple[str, Decimal, tuple[int, ...]], ...] = ()


def place_orders(
    database: str | None, asked: Ordering, at: datetime, *, write: bool
) -> Ordered:
    """Return the orders for a job's goods or for items, and keep them if wished.

    Raises:
        ProblemsFound: Y302 to Y307; J001 for the job; E201 to E208 of the basket. Nothing is kept
            then.
    """
    files = firm_files()
    settings = firm_settings(files)
    with at_work(database_of(database, files), write=write) as work:
        wanted = _wanted(work, asked)
        to = _deliver_to(asked, wanted, settings)
        made = _orders(work, asked, wanted, to, settings)
        if not write:
            return made
        _ensure_site(work, to)
        kept = tuple(
            replace(order, number=keep_order(work, order, at)) for order in made.orders)
        work.commit()
    return replace(made, orders=kept, written=True)


def _wanted(work: Connection, asked: Ordering) -> _Wanted:
    """Return what is short, if nothing is wrong with it or with where it is to go."""
    wrong = list(_wrong_place(work, asked))
    try:
        wanted = _of_job(work, asked) if asked.job else _of_items(work, asked)
    except ProblemsFound as found:
        raise ProblemsFound([*wrong, *found.problems]) from found
    if wrong:
        raise ProblemsFound(wrong)
    return wanted


def _orders(
    work: Connection, asked: Ordering, wanted: _Wanted, to: DeliverTo, settings: Settings
) -> Ordered:
    needed = _needed(work, wanted.shortages)
    locked = {item for item, _ in asked.rules.locks}
    lines = tuple(
        LineToOrder(each.key, number, each.item, each.name, each.unit, short.quantity,
                    each.item in locked, short.needed_on)
        for number, (each, short) in enumerate(zip(needed, wanted.shortages, strict=True), 1))
    market = market_of(work, asked.rules.on, lines, wanted.currency)
    soonest = min((s.needed_on for s in wanted.shortages if s.needed_on), default=None)
    split = split_lines(
        ToSplit(lines, wanted.place, wanted.nothing), asked.rules, market,
        asked.rules.wanted(settings.buying, wanted.currency, soonest))
    quoted = _Quoted(work)
    by = user() if asked.name is None else asked.name
    orders = orders_of(split.plan, {each.key: each for each in needed}, Placing(
        asked.rules.on, wanted.currency, to, market.terms, quoted.of, by, asked.note))
    return Ordered(orders, split, asked.rules.on, False, wanted.skipped)


def _needed(work: Connection, shortages: Sequence[Shortage]) -> list[Needed]:
    rows = _items(work, [each.item for each in shortages])
    return [
        Needed(f"{number:04}", each.item, rows[each.item].name, rows[each.item].unit,
               rows[each.item].family, rows[each.item].serialised, each.needed_on, each.jobs)
        for number, each in enumerate(shortages, 1)
    ]


def _items(work: Connection, codes: Sequence[str]) -> dict[str, Any]:
    i = ITEM.c
    return {row.code: row for row in work.execute(
        select(i.code, i.name, i.unit, i.family, i.serialised).where(i.code.in_(set(codes))))}


def _of_job(work: Connection, asked: Ordering) -> _Wanted:
    """Return what an accepted job needs and is not on order for it."""
    newest = revision_number(work, asked.job)
    state = states(work).get(asked.job)
    if state is None or state.state != "accepted":
        raise ProblemsFound([Problem(
            "Y302", Place(f"job {asked.job}"),
            f"the job is {state.state if state else 'open'}: goods are ordered for a job that is "
            "accepted", f"estimator jobs accept {asked.job} --name NAME, or order for the shelf: "
            "--item CODE=QUANTITY")])
    estimate = kept_estimate(work, asked.job, state.revision or newest)
    goods = goods_of(estimate, Asked(asked.job, None, asked.rules, asked.with_stock))
    there = ordered_for(work, asked.job)
    shortages = tuple(_still_short(estimate, goods, there, asked.rules.needed))
    if goods.lines and not shortages:
        numbers = sorted({number for _, orders in there.values() for number in orders})
        raise ProblemsFound([Problem(
            "Y305", goods.place, "all its goods are on order or have come: order "
            + ", ".join(map(str, numbers)),
            f"see it: estimator orders show {numbers[0]}; more of an item: --item CODE=QUANTITY")])
    skipped = tuple((item, *there[item]) for item in sorted(
        {line.item for line in goods.lines} & there.keys()))
    return _Wanted(shortages, goods.place, goods.nothing, estimate.job.address,
                   estimate.currency, skipped)


def _still_short(
    estimate: EstimateJson, goods: ToSplit, there: dict[str, tuple[Decimal, tuple[int, ...]]],
    needed_on: date | None,
) -> Iterator[Shortage]:
    """Yield what the job's lines need beyond what is on order for it, item by item."""
    wants: dict[str, Decimal] = {}
    for line in goods.lines:
        wants[line.item] = wants.get(line.item, Decimal(0)) + line.quantity
    for item, quantity in wants.items():
        rest = quantity - there.get(item, (Decimal(0), ()))[0]
        if rest > 0:
            yield Shortage(item, rest, needed_on, (ForJob(estimate.job.id, rest),))


def _of_items(work: Connection, asked: Ordering) -> _Wanted:
    """Return the items that are named, each once."""
    wants: dict[str, Decimal] = {}
    for code, quantity in asked.items:
        wants[code] = wants.get(code, Decimal(0)) + quantity
    there = _items(work, list(wants))
    problems = [problem for code, quantity in wants.items()
                for problem in _wrong_item(work, code, quantity, there.get(code))]
    if problems:
        raise ProblemsFound(problems)
    return _Wanted(
        tuple(Shortage(code, quantity, asked.rules.needed) for code, quantity in wants.items()),
        Place("--item"), "name items: --item CODE=QUANTITY", currency=currency_of(work))


def _wrong_item(
    work: Connection, code: str, quantity: Decimal, item: Any
) -> Iterator[Problem]:
    place = Place(f"--item {code}")
    if item is None:
        yield Problem("Y306", place, f"there is no item '{code}'",
                      suggestion(code, work.scalars(select(ITEM.c.code)))
                      or "look for it: estimator catalogue find WORDS")
    elif item.unit in COUNTED_UNITS and quantity != int(quantity):
        yield Problem("Y307", place, f"{code} is counted by the {piece(item.unit)}, and "
                      f"{plain(quantity)} is no whole number", "give a whole number")
    elif quantity != round(quantity, 3):
        yield Problem("Y307", place, f"{plain(quantity)} is finer than a thousandth of a unit",
                      "give at most three decimal places")


def _wrong_place(work: Connection, asked: Ordering) -> Iterator[Problem]:
    if not asked.to_site:
        kinds = {row.name: row.kind for row in work.execute(select(PLACE))}
        if kinds.get(asked.to) not in OWN:
            yield _no_place(asked.to, kinds)
    elif not asked.job:
        yield Problem("Y304", Place("--to-site"), "no job is named whose site it is",
                      "goods for the shelf go to a place of the firm's: --to PLACE")
    elif not asked.receiver.strip():
        yield Problem("Y304", Place("--to-site"), "nobody is named who takes the goods in there",
                      'say who, with a telephone number: --receiver "NAME, NUMBER"')


def _deliver_to(asked: Ordering, wanted: _Wanted, settings: Settings) -> DeliverTo:
    if asked.to_site:
        return DeliverTo(SITE + asked.job, asked.job, wanted.address, asked.receiver.strip())
    return DeliverTo(asked.to, "", settings.firm.address, asked.receiver.strip())


def _no_place(name: str, kinds: dict[str, str]) -> Problem:
    own = sorted(each for each, kind in kinds.items() if kind in OWN)
    if name in kinds:
        return Problem("Y303", Place(f"--to {name}"), f"'{name}' is a {kinds[name]}, which no "
                       "goods for the stock are brought to", "choose one of: " + ", ".join(own)
                       if own else "make a store first: estimator stock places")
    return Problem("Y303", Place(f"--to {name}"), f"there is no place '{name}'",
                   suggestion(name, own) or "make it first: estimator stock places --add NAME "
                   "--kind store")


def _ensure_site(work: Connection, to: DeliverTo) -> None:
    """Make the job's site, if it is the first that goes there."""
    if to.job and work.execute(select(PLACE).where(PLACE.c.name == to.place)).first() is None:
        work.execute(insert(PLACE).values(name=to.place, kind="site", note=""))


class _Quoted:
    """What the price of an offer stands on: a price list by its file, or who entered it when."""

    def __init__(self, work: Connection) -> None:
        self._work = work

    def of(self, offer: Offer) -> str:
        """Return the words."""
        o = OFFER.c
        row = self._work.execute(
            select(o.entered_from, o.entered_at, PRICE_LIST.c.file_name)
            .join(PRICE_LIST, PRICE_LIST.c.id == o.price_list_id, isouter=True)
            .where(o.item_code == offer.item, o.supplier == offer.supplier, o.pack == offer.pack,
                   o.least == offer.least, o.currency == offer.price.currency,
                   o.from_date == offer.from_date, o.withdrawn_at.is_(None))).first()
        if row is None:
            return f"price of {offer.from_date}"
        if row.file_name:
            return f"price list {row.file_name} of {offer.from_date}"
        return f"{row.entered_from or 'price'}, from {offer.from_date}"
