"""What is ordered and has not come: how much of which item, when, for whom."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from sqlalchemy import Connection, select, true

from catalogue.tables import (
    DELIVERY_LINE,
    PURCHASE_EVENT,
    PURCHASE_LINE,
    PURCHASE_LINE_JOB,
    PURCHASE_ORDER,
)


@dataclass(frozen=True, slots=True)
class Incoming:
    """So much of an item is on its way.

    Attributes:
        on: the day on which it is to come; today, if that is over.
        order: number of the order, `line` its line.
        job: the job to whose site it goes; "" if it comes into the firm's own places.
    """

    item: str
    on: date
    quantity: Decimal
    order: int
    line: int
    place: str
    job: str = ""


def incoming(
    work: Connection, today: date, items: Iterable[str] | None = None
) -> tuple[Incoming, ...]:
    """Return what is still to come of some items or of all, by item, day, order and line.

    What came damaged has come: it is not on its way any more. Nothing is on its way of an order
    that is cancelled or wholly received.
    """
    came = _came(work)
    cancelled = select(PURCHASE_EVENT.c.order_number)
    among = true() if items is None else PURCHASE_LINE.c.item_code.in_(sorted(set(items)))
    lines = work.execute(
        select(PURCHASE_LINE, PURCHASE_ORDER.c.to_place, PURCHASE_ORDER.c.job_id)
        .join(PURCHASE_ORDER, PURCHASE_ORDER.c.number == PURCHASE_LINE.c.order_number)
        .where(PURCHASE_LINE.c.order_number.not_in(cancelled), among))
    found = []
    for row in lines:
        good, damaged = came.get((row.order_number, row.line), (Decimal(0), Decimal(0)))
        rest = row.quantity - good - damaged
        if rest:
            found.append(Incoming(
                row.item_code, max(row.comes_on, today), rest, row.order_number, row.line,
                row.to_place, row.job_id or ""))
    return tuple(sorted(found, key=lambda each: (each.item, each.on, each.order, each.line)))


def ordered_for(work: Connection, job: str) -> dict[str, tuple[Decimal, tuple[int, ...]]]:
    """Return how much of each item is ordered for a job or came for it, and by which orders.

    Goods that came damaged serve no job, nor do those of a cancelled order that did not come.
    """
    came = _came(work)
    cancelled = set(work.scalars(select(PURCHASE_EVENT.c.order_number)))
    rows = work.execute(
        select(PURCHASE_LINE, PURCHASE_LINE_JOB.c.job_id, PURCHASE_LINE_JOB.c.quantity.label("of"))
        .join(PURCHASE_LINE, (PURCHASE_LINE.c.order_number == PURCHASE_LINE_JOB.c.order_number)
              & (PURCHASE_LINE.c.line == PURCHASE_LINE_JOB.c.line))
        .order_by(PURCHASE_LINE_JOB.c.order_number, PURCHASE_LINE_JOB.c.line,
                  PURCHASE_LINE_JOB.c.position))
    left: dict[tuple[int, int], Decimal] = {}
    found: dict[str, tuple[Decimal, tuple[int, ...]]] = {}
    for row in rows:
        key = row.order_number, row.line
        good, damaged = came.get(key, (Decimal(0), Decimal(0)))
        usable = good if row.order_number in cancelled else row.quantity - damaged
        here = min(left.get(key, usable), row.of)
        left[key] = left.get(key, usable) - here
        if row.job_id == job and here:
            quantity, orders = found.get(row.item_code, (Decimal(0), ()))
            found[row.item_code] = (
                quantity + here, tuple(sorted({*orders, row.order_number})))
    return found


def _came(work: Connection) -> dict[tuple[int, int], tuple[Decimal, Decimal]]:
    """Return what came of each line, good and damaged."""
    found: dict[tuple[int, int], tuple[Decimal, Decimal]] = {}
    for row in work.execute(select(DELIVERY_LINE)):
        key = row.order_number, row.line
        good, damaged = found.get(key, (Decimal(0), Decimal(0)))
        found[key] = good + row.good, damaged + row.damaged
    return found
