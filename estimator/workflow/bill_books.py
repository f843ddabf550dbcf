"""What bills are held against, from the tables; and bills written into them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from decimal import Decimal
from fractions import Fraction
from typing import Any

from sqlalchemy import Connection, and_, func, insert, select

from catalogue.entering import user
from catalogue.money import round_half_up
from catalogue.tables import (
    FIRM_META,
    INVOICE,
    INVOICE_LINE,
    ITEM,
    MOVE,
    PLACE,
    PURCHASE_ORDER,
    SUPPLIER_ITEM,
)
from catalogue.tables.columns import from_milli
from estimator.actuals.bill_costs import Before, BookedLine, Books, Costed, Key, recipients
from estimator.actuals.bills import KINDS, Bill, bill_key
from estimator.actuals.matching import FIRM, Pool
from estimator.buying.receiving import Came, Placed
from estimator.cost import BOUGHT_IN_HEADS
from estimator.workflow.hours import hold_jobs, job_states
from estimator.workflow.order_records import kept_orders


def hold_bills(work: Connection) -> None:
    """Keep other desks from booking bills until this one is done.

    A bill may be on two desks, and name neither job nor order that could be held.
    """
    work.execute(select(FIRM_META.c.name).order_by(FIRM_META.c.name).with_for_update())


def load_books(work: Connection, bills: Sequence[Bill], *, to_write: bool) -> Books:
    """Return what these bills are held against.

    Args:
        to_write: whether no other desk may change orders and jobs until this one is done.
    """
    numbers = sorted({line.order for bill in bills for line in bill.lines
                      if line.order is not None})
    if to_write:
        work.execute(select(PURCHASE_ORDER.c.number).where(
            PURCHASE_ORDER.c.number.in_(numbers)).order_by(PURCHASE_ORDER.c.number)
            .with_for_update())
        hold_jobs(work, {line.job for bill in bills for line in bill.lines if line.job})
    items = {row.code: row.head for row in work.execute(select(ITEM.c.code, ITEM.c.head))}
    orders = {placed.order.number: placed for placed in kept_orders(work, numbers)}
    books = Books(
        job_states(work), items, frozenset({*items.values(), *BOUGHT_IN_HEADS, *KINDS.values()}),
        _theirs(work, bills), orders, _booked(work))
    for placed in orders.values():
        books.pools.update(order_pools(work, placed))
        books.carriage[placed.order.number] = int(work.scalar(
            select(func.sum(INVOICE_LINE.c.net_minor)).where(
                INVOICE_LINE.c.order_number == placed.order.number,
                INVOICE_LINE.c.kind == "carriage")) or 0)
    books.pools.update(site_pools(work, {line.job for bill in bills for line in bill.lines
                                         if line.job and line.order is None}))
    return books


def _theirs(work: Connection, bills: Sequence[Bill]) -> dict[tuple[str, str], str]:
    wanted = {bill.key[0] for bill in bills}
    return {(key, row.supplier_code.casefold()): row.item_code
            for row in work.execute(select(SUPPLIER_ITEM))
            if (key := bill_key(row.supplier, "")[0]) in wanted}


def _booked(work: Connection) -> dict[tuple[str, str], Before]:
    bill = INVOICE.c
    return {bill_key(row.supplier, row.number): Before(
                row.on_date, row.net_minor, row.file_name, row.digest)
            for row in work.execute(select(bill.supplier, bill.number, bill.on_date,
                                           bill.net_minor, bill.file_name, bill.digest))}


def order_pools(work: Connection, placed: Placed) -> dict[Key, Pool]:
    """Return what came of each line of an order against what it was charged."""
    number = placed.order.number
    found: dict[Key, Pool] = {}
    for line in placed.order.lines:
        came = placed.came(line.line)
        pool = Pool(sum((each.quantity for each in came), Decimal(0)), _taken_in(line, came),
                    recipients(placed, line))
        found["order", str(number), str(line.line)] = pool
    row = INVOICE_LINE.c
    for each in work.execute(select(INVOICE_LINE).where(
            row.order_number == number, row.order_line.is_not(None), row.kind == "goods")):
        _add_booked(found["order", str(number), str(each.order_line)], each)
    return found


def _taken_in(line: Any, came: Iterable[Came]) -> int:
    """Return what all that came of a line was taken in at: the sum of `value_of` over it."""
    cut = Fraction(line.cut_charge_minor) / Fraction(line.quantity)
    return round_half_up(sum(
        ((Fraction(each.price_minor) / Fraction(line.per) + cut) * Fraction(each.quantity)
         for each in came), Fraction(0)))


def _add_booked(pool: Pool, row: Any) -> None:
    pool.charged += row.quantity
    pool.net_minor += row.net_minor
    job = row.job_id or FIRM
    pool.booked[job] = pool.booked.get(job, 0) + row.cost_minor


def site_pools(work: Connection, jobs: Iterable[str]) -> dict[Key, Pool]:
    """Return what was bought for jobs without an order and written down, against its charges."""
    move, row = MOVE.c, INVOICE_LINE.c
    wanted = sorted(set(jobs))
    found: dict[Key, Pool] = {}
    for job, item, quantity, value in work.execute(
            select(move.job_id, move.item_code, func.sum(move.quantity),
                   func.sum(move.value_minor))
            .join(PLACE, and_(PLACE.c.name == move.to_place, PLACE.c.kind == "site"))
            .where(move.kind == "receive", move.job_id.in_(wanted),
                   move.document.not_like("order %"))
            .group_by(move.job_id, move.item_code)):
        came = quantity if isinstance(quantity, Decimal) else from_milli(int(quantity))
        found["site", job, item] = Pool(came, int(value), [(job, Decimal(1))], beyond=True)
    for each in work.execute(select(INVOICE_LINE).where(
            row.job_id.in_(wanted), row.order_number.is_(None), row.item_code.is_not(None),
            row.kind == "goods")):
        pool = found.get(("site", each.job_id, each.item_code))
        if pool is not None:
            _add_booked(pool, each)
    return found


def write_bill(work: Connection, done: Costed, file: tuple[str, str]) -> None:
    """Write a bill with its lines; the caller commits. file: name and digest."""
    bill = done.bill
    added = work.execute(insert(INVOICE).values(
        kind=bill.document, supplier=bill.supplier, number=bill.number, on_date=bill.on,
        due_on=bill.due, currency=bill.currency, net_minor=bill.net_minor,
        tax_minor=bill.tax_minor, file_name=file[0], digest=file[1],
        at=datetime.now(UTC).replace(microsecond=0), by=user())).inserted_primary_key
    assert added is not None
    work.execute(insert(INVOICE_LINE), [
        line_row(int(added[0]), number, line) for number, line in enumerate(done.lines, 1)])


def line_row(invoice: int, number: int, line: BookedLine) -> dict[str, Any]:
    """Return a line as the columns of its row."""
    return {
        "invoice_id": invoice, "line": number, "kind": line.kind, "head": line.head,
        "job_id": line.job or None, "order_number": line.order, "order_line": line.order_line,
        "item_code": line.item or None, "name": line.name, "quantity": line.quantity,
        "net_minor": line.net_minor, "cost_minor": line.cost_minor}
