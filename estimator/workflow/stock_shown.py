"""What the firm holds: what is free on a day, what it is worth, whether the books are sound.

Codes of the problems: Y103 an item that is not there, Y115 levels or worth that are not what the
moves come to, Y116 reservations that are not sound.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from sqlalchemy import Connection, func, select

from catalogue import db
from catalogue.incoming import incoming
from catalogue.loading import currency_of
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.stock.free import ON_ITS_WAY, Claim, Shared, Supply, shared, supplies_of
from catalogue.stock.layers import first_in_first_out
from catalogue.stock.ledger import Stock
from catalogue.stock_books import ledger_faults, load_stock, stored_moves
from catalogue.stock_reserving import reservation_faults, reserved
from catalogue.tables import LOT, MOVE
from estimator.papers.stock import ItemStock, LotShown, StockShown, StockWorth, WorthLine
from estimator.workflow.database import at_work
from estimator.workflow.stock_told import (
    ItemKept,
    items_kept,
    places_there,
    unknown_item,
    unknown_place,
)


@dataclass(frozen=True)
class Holding:
    """What lies there, what comes, what is claimed, and who gets what."""

    stock: Stock
    lots: dict[str, tuple[str, date | None]]
    claims: tuple[Claim, ...]
    coming: tuple[Supply, ...]
    shared: Shared


@dataclass(frozen=True, slots=True)
class Sound:
    """How much was gone through and found sound."""

    moves: int
    items: int
    reservations: int


def holding(work: Connection, today: date, items: Iterable[str] | None = None) -> Holding:
    """Return what the firm holds of some items or of all, and who gets what."""
    codes = None if items is None else sorted(set(items))
    stock = load_stock(work, codes)
    query = select(LOT.c.id, LOT.c.kind, LOT.c.expires_on)
    if codes is not None:
        query = query.where(LOT.c.item_code.in_(codes))
    lots = {row.id: (row.kind, row.expires_on) for row in work.execute(query)}
    claims, coming = tuple(reserved(work, codes)), tuple(goods_coming(work, today, codes))
    supplies = supplies_of(stock, {lot: until for lot, (_, until) in lots.items()}, coming)
    return Holding(stock, lots, claims, coming, shared(supplies, claims, today))


def goods_coming(
    work: Connection, today: date, items: Iterable[str] | None = None
) -> list[Supply]:
    """Return what is ordered and has not come yet, of some items or of all."""
    return [
        Supply(each.item, each.quantity, ON_ITS_WAY, f"order {each.order}", each.on, job=each.job)
        for each in incoming(work, today, items)]


def stock_shown(
    database: str | None, today: date, on: date, item: str | None = None, place: str | None = None
) -> StockShown:
    """Return what is held, reserved, coming and free on a day, of one item or of all.

    Raises:
        ProblemsFound: Y102 for a place, Y103 for an item that is not there.
    """
    with at_work(database) as work:
        problems = []
        if item is not None and item not in items_kept(work, [item]):
            problems.append(unknown_item(work, item, Place("ITEM")))
        if place is not None and place not in (kinds := places_there(work)):
            problems.append(unknown_place(place, kinds, Place("--place")))
        if problems:
            raise ProblemsFound(problems)
        held = holding(work, today, None if item is None else [item])
        codes = {code for code, where, _ in held.stock.levels if place in (None, where)}
        if place is None:
            codes |= {each.item for each in held.claims} | {each.item for each in held.coming}
        kept = items_kept(work, codes)
    return StockShown(on, tuple(
        _item_stock(kept[code], held, (today, on), place) for code in sorted(codes)))


def _item_stock(
    item: ItemKept, held: Holding, days: tuple[date, date], place: str | None
) -> ItemStock:
    today, on = days
    stock, who = held.stock, held.shared
    lots = tuple(
        LotShown(where, stock.kinds[where], lot, _lot(held, lot)[0], quantity, _lot(held, lot)[1],
                 _expired(held, lot, today), _free_of(who, (item.code, where, lot), on),
                 stock.ends.get(lot))
        for (code, where, lot), quantity in sorted(stock.levels.items())
        if code == item.code and place in (None, where))
    usable = [each for each in lots if each.place_kind not in ("quarantine", "site")]
    return ItemStock(
        item.code, item.name, item.unit, item.bin,
        on_hand=_sum(each.quantity for each in usable if each.length_mm is None),
        ends=sum(each.length_mm is not None for each in usable),
        reserved=_sum(each.quantity for each in held.claims if each.item == item.code),
        coming=_sum(each.quantity for each in held.coming if each.item == item.code),
        free=who.free(item.code, on, place),
        short=_sum(each.quantity for each in who.short if each.item == item.code),
        lots=lots,
        promises=tuple(each for each in who.promises if each.claim.item == item.code),
        supplies_coming=tuple(each for each in held.coming if each.item == item.code))


def _lot(held: Holding, lot: str) -> tuple[str, date | None]:
    return held.lots.get(lot, ("", None))


def _expired(held: Holding, lot: str, today: date) -> bool:
    until = _lot(held, lot)[1]
    return until is not None and until < today


def _free_of(who: Shared, spot: tuple[str, str, str], on: date) -> Decimal:
    return _sum(each.quantity for each in who.left
                if (each.item, each.place, each.lot) == spot and each.is_there(on))


def _sum(numbers: Iterable[Decimal]) -> Decimal:
    return sum(numbers, Decimal(0))


def currency_here(database: str | None) -> str:
    """Return the currency in which the books are kept."""
    with at_work(database) as work:
        return currency_of(work)


def stock_worth(database: str | None) -> StockWorth:
    """Return what the stock is worth, by moving average and, beside it, first in first out."""
    with at_work(database) as work:
        stock = load_stock(work)
        fifo = first_in_first_out(stored_moves(work), stock.owns)
        kept = items_kept(work, stock.worth)
        return StockWorth(currency_of(work), tuple(
            WorthLine(code, kept[code].name, kept[code].unit, layer.quantity, layer.value_minor,
                      fifo[code].value_minor if code in fifo else 0)
            for code, layer in sorted(stock.worth.items())))


def check_stock(database: str | None) -> Sound:
    """Return how much of the books was gone through.

    Raises:
        ProblemsFound: Y115 and Y116, with everything that is not sound.
    """
    with at_work(database) as work:
        where, mend = Place(db.shown(work.engine.url)), "put the last sound copy back in its place"
        problems = [Problem("Y115", where, says, mend) for says in ledger_faults(work)]
        problems += [Problem("Y116", where, says, mend) for says in reservation_faults(work)]
        if problems:
            raise ProblemsFound(problems)
        moves = work.scalar(select(func.count()).select_from(MOVE)) or 0
        items = work.scalar(select(func.count(MOVE.c.item_code.distinct()))) or 0
        return Sound(moves, items, len(reserved(work)))
