"""Moves written into the ledger's tables, in the caller's transaction.

The items that are moved are locked first (SQLite has the whole database locked already), so two
desks that take the last of something do it one after the other, and the second is told.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, Literal

from sqlalchemy import Column, ColumnElement, Connection, delete, func, insert, select, true

from catalogue.stock.ledger import OUTSIDE, Move, Refused, Spot, Stock, stock_after
from catalogue.stock.posting import Posted
from catalogue.stock.valuation import Layer
from catalogue.stock_reserving import lock_items, take_reserved
from catalogue.tables import LEVEL, LOT, MOVE, PLACE, WORTH
from catalogue.tables.columns import from_milli

__all__ = [
    "AllRefused", "Lot", "Posted", "ledger_faults", "load_stock", "post_moves", "stored_moves",
    "whole_with_job",
]


@dataclass(frozen=True, slots=True)
class Lot:
    """A length, a batch or one thing with a serial number; `length_mm` of an end of a stick."""

    id: str
    item: str
    kind: Literal["length", "batch", "serial"]
    expires_on: date | None = None
    cut_from: str = ""
    length_mm: int | None = None


class AllRefused(Exception):  # noqa: N818  (a plural: it carries all of them)
    """Every move that the ledger does not take, by its place in the order; nothing is written."""

    def __init__(self, refused: Sequence[tuple[int, Refused]]) -> None:
        """Hold the number of each refused move, from 0, and why."""
        super().__init__("; ".join(str(each) for _, each in refused))
        self.refused = tuple(refused)


def load_stock(work: Connection, items: Iterable[str] | None = None) -> Stock:
    """Return what lies where, what it is worth and what jobs hold, of some items or of all."""
    codes = None if items is None else sorted(set(items))
    stock = Stock({row.name: row.kind for row in work.execute(select(PLACE))})
    for row in work.execute(select(LEVEL).where(_among(LEVEL.c.item_code, codes))):
        stock.levels[row.item_code, row.place, row.lot_id] = row.quantity
    for row in work.execute(select(WORTH).where(_among(WORTH.c.item_code, codes))):
        stock.worth[row.item_code] = Layer(row.quantity, row.value_minor)
    stock.with_jobs = _with_jobs(work, stock, codes)
    stock.ends = {row.id: row.length_mm for row in work.execute(
        select(LOT.c.id, LOT.c.length_mm).where(
            LOT.c.length_mm.is_not(None), _among(LOT.c.item_code, codes)))}
    return stock


def _among(column: Column[str], codes: Sequence[str] | None) -> ColumnElement[bool]:
    return true() if codes is None else column.in_(codes)


def _with_jobs(
    work: Connection, stock: Stock, codes: Sequence[str] | None
) -> dict[tuple[str, str], Layer]:
    """Return what left for each job, or was received at its site, and has not come back."""
    m = MOVE.c
    sums = work.execute(
        select(m.job_id, m.item_code, m.kind, m.to_place, func.sum(m.quantity),
               func.sum(m.value_minor))
        .where(_among(m.item_code, codes), m.job_id.is_not(None), m.value_minor.is_not(None))
        .group_by(m.job_id, m.item_code, m.kind, m.to_place))
    found: dict[tuple[str, str], Layer] = {}
    for job, item, kind, to_place, quantity, value in sums:
        if kind != "return" and stock.owns(to_place or OUTSIDE):
            continue  # it came into the stock, if with a job in mind
        sign = -1 if kind == "return" else 1
        there = found.get((job, item), Layer(Decimal(0), 0))
        found[job, item] = Layer(
            there.quantity + sign * _quantity(quantity), there.value_minor + sign * int(value))
    return {key: layer for key, layer in found.items() if layer.quantity}


def whole_with_job(
    work: Connection, stock: Stock, job: str, items: Iterable[str]
) -> dict[str, Decimal]:
    """Return what a job was given of items and did not bring back; what is told apart is left out.

    An end that comes back of a stick is told apart, so the stick stays given.
    """
    m = MOVE.c
    found: dict[str, Decimal] = {}
    for item, kind, to_place, quantity in work.execute(
            select(m.item_code, m.kind, m.to_place, func.sum(m.quantity))
            .where(m.job_id == job, m.lot_id.is_(None), m.item_code.in_(sorted(set(items))),
                   m.kind.in_(("pick", "receive", "return")))
            .group_by(m.item_code, m.kind, m.to_place).order_by(m.item_code, m.kind, m.to_place)):
        if kind == "receive" and stock.owns(to_place or OUTSIDE):
            continue
        sign = -1 if kind == "return" else 1
        found[item] = found.get(item, Decimal(0)) + sign * _quantity(quantity)
    return found


def _quantity(total: Any) -> Decimal:
    """Return a sum of quantities; an engine gives it as the column's type or as thousandths."""
    return total if isinstance(total, Decimal) else from_milli(int(total))


def post_moves(
    work: Connection, moves: Sequence[Move], posted: Posted, lots: Sequence[Lot] = ()
) -> list[Move]:
    """Write moves, all or none, and return them with their values; the caller commits.

    What is picked for a job, or brought to its site, is taken off what is reserved for it; ends of
    sticks are not, since whole sticks are reserved.

    Args:
        work: the unit of work.
        moves: in order; each is judged after those before it.
        posted: who writes them, and when.
        lots: lengths, batches and serial numbers that are new with these moves.

    Raises:
        AllRefused: with every move that cannot be.
    """
    codes = sorted({move.item for move in moves})
    lock_items(work, codes)
    stock = load_stock(work, codes)
    stock.ends |= {lot.id: lot.length_mm for lot in lots if lot.length_mm is not None}
    before = dict(stock.levels)
    done: list[Move] = []
    refused: list[tuple[int, Refused]] = []
    for number, move in enumerate(moves):
        try:
            done.append(stock.post(move))
        except Refused as why:
            refused.append((number, why))
    if refused:
        raise AllRefused(refused)
    if lots:
        work.execute(insert(LOT), [_lot_row(lot, posted) for lot in lots])
    if done:
        work.execute(insert(MOVE), [_move_row(move, posted) for move in done])
        take_reserved(work, [each for each in done if _gone_to_job(each, stock)
                             and each.lot not in stock.ends], posted)
        _write_levels(work, before, stock.levels)
        _write_worth(work, codes, stock)
    return done


def _gone_to_job(move: Move, stock: Stock) -> bool:
    """Return whether a job has got what was reserved for it: picked, or brought to its site."""
    return bool(move.job) and (
        move.kind == "pick" or (move.kind == "receive" and not stock.owns(move.to_place)))


def _lot_row(lot: Lot, posted: Posted) -> dict[str, Any]:
    return {"id": lot.id, "item_code": lot.item, "kind": lot.kind, "expires_on": lot.expires_on,
            "cut_from": lot.cut_from or None, "length_mm": lot.length_mm, "made_at": posted.at}


def _move_row(move: Move, posted: Posted) -> dict[str, Any]:
    return {
        "kind": move.kind, "item_code": move.item, "lot_id": move.lot or None,
        "quantity": move.quantity, "from_place": move.from_place or None,
        "to_place": move.to_place or None, "job_id": move.job or None,
        "document": move.document, "value_minor": move.value_minor, "at": posted.at,
        "by": posted.by, "why": move.why,
    }


def _write_levels(
    work: Connection, before: dict[Spot, Decimal], after: dict[Spot, Decimal]
) -> None:
    changed = sorted(spot for spot in before.keys() | after.keys()
                     if before.get(spot) != after.get(spot))
    for item, place, lot in changed:
        if (item, place, lot) in before:
            work.execute(delete(LEVEL).where(
                LEVEL.c.item_code == item, LEVEL.c.place == place, LEVEL.c.lot_id == lot))
    fresh = [{"item_code": spot[0], "place": spot[1], "lot_id": spot[2], "quantity": after[spot]}
             for spot in changed if spot in after]
    if fresh:
        work.execute(insert(LEVEL), fresh)


def _write_worth(work: Connection, codes: Sequence[str], stock: Stock) -> None:
    work.execute(delete(WORTH).where(WORTH.c.item_code.in_(codes)))
    held = [{"item_code": code, "quantity": stock.worth[code].quantity,
             "value_minor": stock.worth[code].value_minor}
            for code in codes if code in stock.worth]
    if held:
        work.execute(insert(WORTH), held)


def stored_moves(work: Connection) -> list[Move]:
    """Return every move in the order in which it was written."""
    return [
        Move(row.kind, row.item_code, row.quantity, row.from_place or "", row.to_place or "",
             row.lot_id or "", row.job_id or "", row.document, row.value_minor, row.why)
        for row in work.execute(select(MOVE).order_by(MOVE.c.id))
    ]


def ledger_faults(work: Connection) -> list[str]:
    """Return where levels and worth are not what the moves come to; nothing if all is sound."""
    kept = load_stock(work)
    moves = stock_after(kept.kinds, stored_moves(work))
    faults = []
    for spot in sorted(kept.levels.keys() | moves.levels.keys()):
        if kept.levels.get(spot) != moves.levels.get(spot):
            faults.append(f"{spot[0]} in '{spot[1]}' {spot[2]}: kept as {kept.levels.get(spot)}, "
                          f"the moves come to {moves.levels.get(spot)}")
    for item in sorted(kept.worth.keys() | moves.worth.keys()):
        if kept.worth.get(item) != moves.worth.get(item):
            faults.append(f"worth of {item}: kept as {kept.worth.get(item)}, "
                          f"the moves come to {moves.worth.get(item)}")
    return faults
