"""What lies on the shelves for a job: what it may take, from where, and what it has already."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from sqlalchemy import Connection, select

from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from catalogue.stock.allocating import Lying
from catalogue.stock.ends import End
from catalogue.stock.free import shared, supplies_of
from catalogue.stock.ledger import Stock
from catalogue.stock_books import load_stock
from catalogue.stock_reserving import reserved
from catalogue.tables import LOT
from estimator.van.pick_sheet import Shelves

NOTHING = Decimal(0)


@dataclass(frozen=True)
class Site:
    """The shelves as a job sees them, the books behind them, and what the job has already.

    `ends` are ends of sticks that lie in the places of the shelves, which do not have them.
    """

    shelves: Shelves
    stock: Stock
    already: Mapping[str, Decimal]
    kinds: Mapping[str, str]  # lot -> its kind
    ends: tuple[End, ...] = ()


def site_of(job: str) -> str:
    """Return the name of the place that is a job's site."""
    return f"site {job}"


def shelves_for(
    work: Connection, job: str, items: Iterable[str] | None, van: str, on: date
) -> Site:
    """Return what a job may take: from the van's standing stock first, then stores, then counters.

    What is promised to other accepted jobs out of what lies there is not free; see
    `catalogue.stock.free`.

    Args:
        work: the unit of work.
        job: whose accepted revision is picked.
        items: only of these items; None = of all.
        van: whose standing stock may be taken; "" = of none.
        on: the day of use.
    """
    codes = None if items is None else sorted(set(items))
    stock = load_stock(work, codes)
    lots = {row.id: row for row in work.execute(select(LOT))
            if codes is None or row.item_code in codes}
    until = {name: row.expires_on for name, row in lots.items()}
    lying = [
        Lying(item, place, quantity, lot, *((row.kind, row.made_at, row.expires_on)
                                            if (row := lots.get(lot)) is not None else ()))
        for (item, place, lot), quantity in sorted(stock.levels.items()) if lot not in stock.ends]
    places = _places(stock, van)
    return Site(
        Shelves(lying, places, on, _free(work, stock, until, job, places, on)), stock,
        {item: layer.quantity for (each, item), layer in stock.with_jobs.items() if each == job},
        {name: row.kind for name, row in lots.items()}, ends_in(stock, places))


def ends_in(stock: Stock, places: Iterable[str]) -> tuple[End, ...]:
    """Return the ends of sticks that lie in some places, by item, place and lot."""
    among = set(places)
    return tuple(
        End(item, place, lot, stock.ends[lot], quantity)
        for (item, place, lot), quantity in sorted(stock.levels.items())
        if lot in stock.ends and place in among)


def _places(stock: Stock, van: str) -> tuple[str, ...]:
    stores, counters = ([name for name, kind in sorted(stock.kinds.items()) if kind == wanted]
                        for wanted in ("store", "counter"))
    return (*((van,) if van else ()), *stores, *counters)


def _free(
    work: Connection, stock: Stock, until: Mapping[str, date | None], job: str,
    places: Iterable[str], on: date,
) -> dict[str, Decimal]:
    """Return what the job may take of each item: what is promised to it, and to nobody."""
    among, codes = set(places), {item for item, _, _ in stock.levels}
    found = shared(supplies_of(stock, until), reserved(work, codes), on)
    free = dict.fromkeys(codes, NOTHING)
    for supply in found.left:
        if supply.place in among:
            free[supply.item] += supply.quantity
    for promise in found.promises:
        if promise.claim.job == job and promise.supply.place in among:
            free[promise.claim.item] += promise.quantity
    return free


def van_of(work: Connection, named: str | None) -> str:
    """Return the van whose standing stock may be taken: the one named, or the only one.

    Raises:
        ProblemsFound: Y201 if there is no such van.
    """
    vans = sorted(name for name, kind in load_stock(work, ()).kinds.items() if kind == "van")
    if named is None:
        return vans[0] if len(vans) == 1 else ""
    if named not in vans:
        raise ProblemsFound([Problem(
            "Y201", Place(f"van '{named}'"), "there is no van of this name",
            suggestion(named, vans) or f"estimator stock places --add \"{named}\" --kind van")])
    return named
