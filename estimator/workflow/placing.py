"""Make purchase orders of what is short: one for each supplier of the cheapest basket.

Codes of the problems, beside those of `order_needs` and the basket: Y303 a place that is not there
or takes no goods, Y304 nobody is named who takes goods in at a site.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal

from sqlalchemy import Connection, insert, select

from catalogue.entering import user
from catalogue.items import Offer
from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from catalogue.tables import OFFER, PLACE, PRICE_LIST
from estimator.buying.basket import Split
from estimator.buying.ordering import (
    DeliverTo,
    Needed,
    Placing,
    PurchaseOrder,
    Shortage,
    orders_of,
)
from estimator.papers.order_split import LineToOrder
from estimator.settings import Settings
from estimator.workflow.database import at_work
from estimator.workflow.firm import database_of, firm_files, firm_settings
from estimator.workflow.order_basket import ToSplit, market_of, split_lines
from estimator.workflow.order_needs import Ordering, Wanted, item_rows, wanted_of
from estimator.workflow.order_records import keep_order
from estimator.workflow.stock_moves import SITE

OWN = ("store", "van", "counter")  # kinds of places to which goods for the stock are brought


@dataclass(frozen=True)
class Ordered:
    """The orders made, without numbers where they are only shown.

    Attributes:
        split: the basket that they come from.
        skipped: item with quantity and orders, of what is on order for the job already.
        in_stock: item with quantity, of what lies there for the job, or was picked for it.
    """

    orders: tuple[PurchaseOrder, ...]
    split: Split
    on: date
    written: bool
    skipped: tuple[tuple[str, Decimal, tuple[int, ...]], ...] = ()
    in_stock: tuple[tuple[str, Decimal], ...] = ()


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
        if write:
            _one_at_a_time(work)
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


def _wanted(work: Connection, asked: Ordering) -> Wanted:
    """Return what is short, if nothing is wrong with it or with where it is to go."""
    wrong = list(_wrong_place(work, asked))
    try:
        wanted = wanted_of(work, asked)
    except ProblemsFound as found:
        raise ProblemsFound([*wrong, *found.problems]) from found
    if wrong:
        raise ProblemsFound(wrong)
    return wanted


def _one_at_a_time(work: Connection) -> None:
    """Let no other desk order until this one is done, so that nothing is ordered twice."""
    work.execute(select(PLACE.c.name).order_by(PLACE.c.name).with_for_update()).all()


def _orders(
    work: Connection, asked: Ordering, wanted: Wanted, to: DeliverTo, settings: Settings
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
    return Ordered(
        orders, split, asked.rules.on, False, wanted.skipped, wanted.in_stock)


def _needed(work: Connection, shortages: Sequence[Shortage]) -> list[Needed]:
    rows = item_rows(work, [each.item for each in shortages])
    return [
        Needed(f"{number:04}", each.item, rows[each.item].name, rows[each.item].unit,
               rows[each.item].family, rows[each.item].serialised, each.needed_on, each.jobs)
        for number, each in enumerate(shortages, 1)
    ]


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


def _deliver_to(asked: Ordering, wanted: Wanted, settings: Settings) -> DeliverTo:
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
