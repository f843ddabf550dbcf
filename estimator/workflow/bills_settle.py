"""Book what bills differ by once the goods they charged have come, or were written down as bought.

A bill that was there before its goods cost nothing for them; goods that were bought on the way may
be written down after their bill. Both are found by reckoning each order line, and each item bought
for a job, once more: what a job bears beyond what is booked is added to the newest bill as a line
that charges nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from sqlalchemy import Connection, func, insert, select

from catalogue.money import Money
from catalogue.tables import INVOICE, INVOICE_LINE, ITEM, PURCHASE_ORDER
from estimator.actuals.bill_costs import BookedLine, Key
from estimator.actuals.matching import Pool
from estimator.workflow.bill_books import hold_bills, line_row, order_pools, site_pools
from estimator.workflow.database import at_work
from estimator.workflow.firm import database_of, firm_files, firm_settings
from estimator.workflow.order_records import kept_orders


@dataclass(frozen=True, slots=True)
class Settled:
    """What one job (or the firm, "") bears of one bill beyond what was booked."""

    supplier: str
    number: str
    job: str
    order: int | None
    item: str
    cost: Money


def settle_bills(database: str | None, *, write: bool) -> tuple[Settled, ...]:
    """Return what is to be booked of goods that came, or were written down, after their bill."""
    files = firm_files()
    currency = firm_settings(files).firm.currency
    with at_work(database_of(database, files), write=write) as work:
        if write:
            hold_bills(work)
            work.execute(select(PURCHASE_ORDER.c.number).order_by(
                PURCHASE_ORDER.c.number).with_for_update())
        settled = tuple(_settle(work, currency))
        if write and settled:
            work.commit()
        return settled


def _settle(work: Connection, currency: str) -> Iterator[Settled]:
    heads = {row.code: row.head for row in work.execute(select(ITEM.c.code, ITEM.c.head))}
    bills = {row.id: row for row in work.execute(select(
        INVOICE.c.id, INVOICE.c.supplier, INVOICE.c.number))}
    for key, item, name, pool, bill in _pools(work):
        for job, minor in sorted(pool.settle().items()):
            if not minor:
                continue
            order = int(key[1]) if key[0] == "order" else None
            last = work.scalar(select(func.max(INVOICE_LINE.c.line)).where(
                INVOICE_LINE.c.invoice_id == bill)) or 0
            work.execute(insert(INVOICE_LINE).values(line_row(bill, int(last) + 1, BookedLine(
                0, "goods", heads[item], job, order, int(key[2]) if order else None, item,
                name, Decimal(0), 0, minor))))
            yield Settled(bills[bill].supplier, bills[bill].number, job, order, item,
                          Money(minor, currency))


def _pools(work: Connection) -> Iterator[tuple[Key, str, str, Pool, int]]:
    """Yield each pool that was charged, with its item, its name and its newest bill."""
    row = INVOICE_LINE.c
    newest: dict[Key, Any] = {}
    for each in work.execute(select(INVOICE_LINE).where(row.kind == "goods").order_by(
            row.invoice_id, row.line)):
        if each.order_line is not None:
            newest["order", str(each.order_number), str(each.order_line)] = each
        elif each.job_id and each.item_code and each.order_number is None:
            newest["site", each.job_id, each.item_code] = each
    numbers = sorted({int(key[1]) for key in newest if key[0] == "order"})
    pools = site_pools(work, {key[1] for key in newest if key[0] == "site"})
    for placed in kept_orders(work, numbers):
        pools |= order_pools(work, placed)
    for key in sorted(newest):
        if key in pools:
            each = newest[key]
            yield key, each.item_code, each.name, pools[key], each.invoice_id
