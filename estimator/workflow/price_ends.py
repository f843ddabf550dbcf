"""End prices that a supplier no longer keeps: a dry run first, and nothing that was is changed."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from sqlalchemy import Connection, select

from catalogue import db
from catalogue.entering import Entered
from catalogue.money import Money
from catalogue.price_recording import end_prices
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.tables import ITEM, OFFER
from estimator.workflow.database import at_work
from estimator.workflow.offers import no_such_item
from estimator.workflow.suppliers import known_supplier


@dataclass(frozen=True)
class Ending:
    """One price that is ended; last_day is None for one that has not begun by then."""

    item: str
    pack: Decimal
    least: Decimal
    price: Money
    from_date: date
    last_day: date | None


@dataclass(frozen=True)
class Ended:
    """The prices of a supplier that end before a day; written says whether they do already."""

    supplier: str
    from_date: date
    endings: tuple[Ending, ...]
    written: bool


def expire_prices(
    database: str | None, supplier: str, from_date: date, reason: str,
    items: Collection[str] = (), *, write: bool = False,
) -> Ended:
    """End a supplier's prices, of some items or of all, the day before a day.

    Raises:
        ProblemsFound: A212 for an unknown supplier, L132 for an unknown item, A230 without a
            reason, A231 for an item of which he has no price that could be ended.
    """
    if not reason.strip():
        raise ProblemsFound([Problem("A230", Place("--reason"), "the reason is blank",
                                     "say in a few words why the prices end")])
    with at_work(database, write=write) as work:
        known_supplier(work, supplier)
        _check_items(work, items, db.shown(database))
        rows = _to_end(work, supplier, from_date, items)
        without = sorted(set(items) - {row.item_code for row in rows})
        if without:
            raise ProblemsFound(Problem(
                "A231", Place("--item"), f"{supplier} has no price of item {item} that holds on "
                f"{from_date} or later", "look at them: estimator prices history "
                f"{item}") for item in without)
        if write and rows:
            end_prices(work, [(row.id, row.from_date.isoformat()) for row in rows], from_date,
                       Entered(from_date, f"ended: {reason.strip()}"))
            work.commit()
    last = from_date - timedelta(days=1)
    return Ended(supplier, from_date, tuple(
        Ending(row.item_code, row.pack, row.least, Money(row.price_minor, row.currency),
               row.from_date, last if row.from_date < from_date else None) for row in rows), write)


def _check_items(work: Connection, items: Collection[str], where: str) -> None:
    known = set(work.scalars(select(ITEM.c.code))) if items else set()
    for code in sorted(set(items) - known):
        raise no_such_item(work, code, where)


def _to_end(
    work: Connection, supplier: str, from_date: date, items: Collection[str]
) -> Sequence[Any]:
    """Return the prices that hold on a day, and those that begin on it or later, by item."""
    o = OFFER.c
    rows = work.execute(
        select(o.id, o.item_code, o.pack, o.least, o.currency, o.price_minor, o.from_date,
               o.to_date)
        .where(o.supplier == supplier, o.withdrawn_at.is_(None))
        .order_by(o.item_code, o.pack, o.least, o.currency, o.from_date))
    found: dict[tuple[Any, ...], Any] = {}
    for row in rows:
        if items and row.item_code not in items:
            continue
        series = (row.item_code, row.pack, row.least, row.currency)
        # Of those that began before only the last can hold; the later ones stand for themselves.
        key = (*series, row.from_date if row.from_date >= from_date else None)
        found[key] = row
    return [row for row in found.values() if row.to_date is None or row.to_date >= from_date]
