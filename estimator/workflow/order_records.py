"""Orders and deliveries in the tables: written once, read back with what came of them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import Column, ColumnElement, Connection, Row, insert, select, true

from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.tables import (
    DELIVERY,
    DELIVERY_LINE,
    PURCHASE_EVENT,
    PURCHASE_LINE,
    PURCHASE_LINE_JOB,
    PURCHASE_ORDER,
)
from estimator.buying.ordering import DeliverTo, ForJob, OrderLine, PurchaseOrder
from estimator.buying.receiving import Came, Delivery, Placed
from estimator.workflow.database import at_work


def keep_order(work: Connection, order: PurchaseOrder, at: datetime) -> int:
    """Add an order and return its number; the caller commits."""
    number = work.execute(insert(PURCHASE_ORDER).values(
        supplier=order.supplier, on_date=order.on, wanted_on=order.wanted_on,
        currency=order.currency, carriage_minor=order.carriage_minor,
        least_minor=order.least_minor, advised_minor=order.advised_minor,
        to_place=order.to.place, job_id=order.to.job or None, address=order.to.address,
        receiver=order.to.receiver, note=order.note, at=at, by=order.by,
    )).inserted_primary_key
    assert number is not None
    kept = int(number[0])
    work.execute(insert(PURCHASE_LINE), [_line_row(kept, order, line) for line in order.lines])
    jobs = [
        {"order_number": kept, "line": line.line, "position": position, "job_id": each.job,
         "quantity": each.quantity}
        for line in order.lines for position, each in enumerate(line.jobs)
    ]
    if jobs:
        work.execute(insert(PURCHASE_LINE_JOB), jobs)
    return kept


def _line_row(number: int, order: PurchaseOrder, line: OrderLine) -> dict[str, Any]:
    return {
        "order_number": number, "line": line.line, "item_code": line.item, "name": line.name,
        "unit": line.unit, "supplier_code": line.supplier_code, "quantity": line.quantity,
        "pack": line.pack, "per": line.per, "price_minor": line.price_minor,
        "cut_charge_minor": line.cut_charge_minor, "carriage_class": line.carriage_class,
        "quoted": line.quoted, "price_from": line.price_from, "price_until": line.price_until,
        "lead_days": line.lead_days, "needed_on": line.needed_on,
        "comes_on": order.comes_on(line), "serials": line.serials, "family": line.family,
    }


def keep_delivery(work: Connection, number: int, delivery: Delivery, at: datetime) -> None:
    """Add a delivery; the caller commits."""
    key = work.execute(insert(DELIVERY).values(
        order_number=number, on_date=delivery.on, note=delivery.note, at=at, by=delivery.by,
    )).inserted_primary_key
    assert key is not None
    work.execute(insert(DELIVERY_LINE), [
        {"delivery_id": key[0], "order_number": number, "line": came.line, "good": came.good,
         "damaged": came.damaged, "price_minor": came.price_minor,
         "serials": "\n".join(came.serials)}
        for came in delivery.came
    ])


def keep_cancelled(work: Connection, number: int, by: str, why: str, at: datetime) -> None:
    """Record that what has not come of an order is not wanted any more; the caller commits."""
    work.execute(insert(PURCHASE_EVENT).values(
        order_number=number, event="cancelled", at=at, by=by, why=why))


def kept_order(work: Connection, number: int, *, to_change: bool = False) -> Placed:
    """Return an order with what came of it.

    Args:
        work: the unit of work.
        number: of the order.
        to_change: whether no other desk may change it until this one is done.

    Raises:
        ProblemsFound: Y301 if there is no such order.
    """
    asked = select(PURCHASE_ORDER.c.number).where(PURCHASE_ORDER.c.number == number)
    if work.execute(asked.with_for_update() if to_change else asked).first() is None:
        newest = work.scalar(select(PURCHASE_ORDER.c.number).order_by(
            PURCHASE_ORDER.c.number.desc()).limit(1))
        raise ProblemsFound([Problem(
            "Y301", Place(f"order {number}"), "there is no order of this number",
            f"the newest is {newest}: estimator orders list" if newest else
            "nothing has been ordered yet: estimator orders place")])
    return kept_orders(work, [number])[0]


def kept_orders(work: Connection, numbers: Sequence[int] | None = None) -> tuple[Placed, ...]:
    """Return orders with what came of them, by number; all if none are named."""
    line, job = PURCHASE_LINE.c, PURCHASE_LINE_JOB.c

    def of(number: Column[Any]) -> ColumnElement[bool]:
        return true() if numbers is None else number.in_(numbers)

    heads = select(PURCHASE_ORDER).where(of(PURCHASE_ORDER.c.number)).order_by(
        PURCHASE_ORDER.c.number)
    jobs: dict[tuple[int, int], list[ForJob]] = {}
    for row in work.execute(select(PURCHASE_LINE_JOB).where(of(job.order_number)).order_by(
            job.order_number, job.line, job.position)):
        jobs.setdefault((row.order_number, row.line), []).append(ForJob(row.job_id, row.quantity))
    lines: dict[int, list[OrderLine]] = {}
    for row in work.execute(select(PURCHASE_LINE).where(of(line.order_number)).order_by(
            line.order_number, line.line)):
        lines.setdefault(row.order_number, []).append(
            _line(row, jobs.get((row.order_number, row.line), [])))
    deliveries, cancelled = _deliveries(work), _cancelled(work)
    return tuple(
        Placed(_order(row, lines[row.number]), tuple(deliveries.get(row.number, ())),
               cancelled.get(row.number))
        for row in work.execute(heads)
    )


def stored_order(database: str | None, number: int) -> Placed:
    """Return an order of a database.

    Raises:
        ProblemsFound: Y301 if there is no such order.
    """
    with at_work(database) as work:
        return kept_order(work, number)


def stored_orders(database: str | None, only_open: bool) -> tuple[Placed, ...]:
    """Return all orders of a database, or those of which something is still to come."""
    with at_work(database) as work:
        return tuple(each for each in kept_orders(work)
                     if not only_open or each.state in ("placed", "part received"))


def _order(row: Row[Any], lines: list[OrderLine]) -> PurchaseOrder:
    return PurchaseOrder(
        row.number, row.supplier, row.on_date, row.currency, tuple(lines),
        DeliverTo(row.to_place, row.job_id or "", row.address, row.receiver), row.carriage_minor,
        row.least_minor, row.advised_minor, row.by, row.note)


def _line(row: Row[Any], jobs: list[ForJob]) -> OrderLine:
    return OrderLine(
        row.line, row.item_code, row.name, row.unit, row.quantity, row.pack, row.per,
        row.price_minor, row.price_from, row.supplier_code, row.cut_charge_minor,
        row.carriage_class, row.quoted, row.price_until, row.lead_days, row.needed_on,
        tuple(jobs), row.serials, row.family)


def _deliveries(work: Connection) -> dict[int, list[Delivery]]:
    came: dict[int, list[Came]] = {}
    for row in work.execute(select(DELIVERY_LINE).order_by(
            DELIVERY_LINE.c.delivery_id, DELIVERY_LINE.c.line)):
        came.setdefault(row.delivery_id, []).append(Came(
            row.line, row.good, row.damaged, row.price_minor, tuple(row.serials.splitlines())))
    found: dict[int, list[Delivery]] = {}
    for row in work.execute(select(DELIVERY).order_by(DELIVERY.c.id)):
        found.setdefault(row.order_number, []).append(
            Delivery(row.on_date, row.note, tuple(came[row.id]), row.by))
    return found


def _cancelled(work: Connection) -> dict[int, str]:
    return {row.order_number: row.why
            for row in work.execute(select(PURCHASE_EVENT).order_by(PURCHASE_EVENT.c.id))}
