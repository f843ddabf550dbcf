"""Orders of a period: what came, when, and what was charged above the price of the order."""

from __future__ import annotations

from datetime import date
from typing import Any

from sqlalchemy import BigInteger, Connection, Text, cast, func, select
from sqlalchemy import type_coerce as as_stored

from catalogue.tables import (
    DELIVERY,
    DELIVERY_LINE,
    INVOICE,
    INVOICE_LINE,
    PURCHASE_LINE,
    PURCHASE_ORDER,
)
from estimator.review.suppliers import Ordered
from estimator.workflow.review_jobs import Wanted, whole


def _stored(column: Any) -> Any:
    return as_stored(column, BigInteger)


def orders_of(work: Connection, wanted: Wanted) -> list[Ordered]:
    """Return the orders that were sent in the period, by number; filters of jobs do not count."""
    order, line = PURCHASE_ORDER.c, PURCHASE_LINE.c
    came, bill = _deliveries(), _bills()
    promised = (select(line.order_number, func.max(cast(line.comes_on, Text)).label("day"))
                .group_by(line.order_number).subquery()).c
    found = work.execute(
        select(order.supplier, func.coalesce(came.c.ordered_minor, 0),
               func.coalesce(came.c.over_minor, 0) + func.coalesce(bill.c.over_minor, 0),
               cast(order.on_date, Text), promised.day, came.c.day,
               func.coalesce(came.c.good, 0), func.coalesce(came.c.damaged, 0))
        .outerjoin(came, came.c.order_number == order.number)
        .outerjoin(bill, bill.c.order_number == order.number)
        .outerjoin(promised.order_number.table, promised.order_number == order.number)
        .where(order.currency == wanted.currency,
               cast(order.on_date, Text) >= wanted.first.isoformat(),
               cast(order.on_date, Text) <= wanted.last.isoformat())
        .order_by(order.number))
    return [Ordered(supplier, ordered, over, date.fromisoformat(on), _day(until), _day(last),
                    good, damaged)
            for supplier, ordered, over, on, until, last, good, damaged in found]


def _day(text: str | None) -> date | None:
    return None if text is None else date.fromisoformat(text)


def _deliveries() -> Any:
    """Return by order what came at the prices of the order, and what the delivery charged more."""
    line, came, note = PURCHASE_LINE.c, DELIVERY_LINE.c, DELIVERY.c
    units = _stored(came.good) + _stored(came.damaged)
    at_order = units * _stored(line.price_minor) // _stored(line.per)
    at_delivery = units * _stored(came.price_minor) // _stored(line.per)
    return (
        select(came.order_number, whole(at_order).label("ordered_minor"),
               whole(at_delivery - at_order).label("over_minor"),
               func.max(cast(note.on_date, Text)).label("day"),
               whole(_stored(came.good)).label("good"),
               whole(_stored(came.damaged)).label("damaged"))
        .join(PURCHASE_LINE, (line.order_number == came.order_number) & (line.line == came.line))
        .join(DELIVERY, note.id == came.delivery_id)
        .group_by(came.order_number).subquery("came"))


def _bills() -> Any:
    """Return by order what bills charged for its goods above what they were taken in at."""
    line = INVOICE_LINE.c
    return (select(line.order_number, whole(_stored(line.cost_minor)).label("over_minor"))
            .where(line.order_number.is_not(None), line.kind == "goods")
            .group_by(line.order_number).subquery("billed"))


def credited(work: Connection, wanted: Wanted) -> dict[str, int]:
    """Return what suppliers credited in the period, above zero."""
    note = INVOICE.c
    found = work.execute(
        select(note.supplier, whole(-_stored(note.net_minor)))
        .where(note.kind == "credit note", note.currency == wanted.currency,
               cast(note.on_date, Text) >= wanted.first.isoformat(),
               cast(note.on_date, Text) <= wanted.last.isoformat())
        .group_by(note.supplier).order_by(note.supplier))
    return {row[0]: row[1] for row in found}
