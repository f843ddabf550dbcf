"""What jobs have cost, as one selection over the ledger of stock, the hours and the bills.

Nothing is stored twice: every figure of a review is a sum over these rows, and can be summed again
by hand.

    kind         where it stands                          amount
    goods        `move`: out to the job +, back from it - as it left or entered the stock
    goods        `invoice_line`: goods and their carriage what the ledger of stock does not hold
    bought in    `invoice_line`: all other kinds          as charged
    labour       `time_line`                              at the cost of an hour
    overhead     `time_line`                              the office's share of the hours

Amounts are as the database holds them, whole minor units; `quantity` is in thousandths of the
item's unit, of hours in minutes.
"""

from __future__ import annotations

from functools import cache
from typing import Any

from sqlalchemy import CompoundSelect, Integer, Select, case, literal, or_, select, union_all
from sqlalchemy import type_coerce as as_stored

from catalogue import tables
from catalogue.tables import ITEM

LABOUR = "labour"
OVERHEAD = "overhead"
COLUMNS = ("job_id", "kind", "head", "code", "task_group", "supplier", "quantity", "amount_minor")


@cache
def job_costs() -> CompoundSelect[Any]:
    """Return the selection of all cost rows, with the columns `COLUMNS`."""
    return union_all(_goods(), _labour(), _overhead(), _bills())


@cache
def costs_to_sum() -> tuple[Select[Any], ...]:
    """Return the same amounts, each table by itself, for sums that do not part labour and overhead.

    A line of hours is one row here, of the kind "labour", with the office's share in its amount: a
    sum over all jobs then goes through the hours once.
    """
    hours = tables.TIME_LINE.c
    both = as_stored(hours.amount_minor, Integer) + as_stored(hours.overhead_minor, Integer)
    once = _row(hours.job_id, literal(LABOUR), literal(LABOUR), hours.task, hours.task_group,
                literal(""), hours.minutes, both)
    return _goods(), once, _bills()


def _row(*values: Any) -> Select[Any]:
    return select(*(value.label(name) for name, value in zip(COLUMNS, values, strict=True)))


def _goods() -> Select[Any]:
    move, place = tables.MOVE.c, tables.PLACE.c
    sign = case((move.kind == "return", -1), else_=1)
    # A receipt is the job's only at its site; in the store it is the stock's, whatever it is for.
    to_the_job = or_(move.kind != "receive", place.kind == "site")
    return (
        _row(move.job_id, literal("goods"), ITEM.c.head, move.item_code, literal(""), literal(""),
             as_stored(sign, Integer) * as_stored(move.quantity, Integer),
             as_stored(sign, Integer) * as_stored(move.value_minor, Integer))
        .select_from(tables.MOVE.join(ITEM, ITEM.c.code == move.item_code)
                     .outerjoin(tables.PLACE, place.name == move.to_place))
        .where(move.job_id.is_not(None), move.value_minor.is_not(None), to_the_job))


def _labour() -> Select[Any]:
    hours = tables.TIME_LINE.c
    return _row(hours.job_id, literal(LABOUR), literal(LABOUR), hours.task, hours.task_group,
                literal(""), hours.minutes, as_stored(hours.amount_minor, Integer))


def _overhead() -> Select[Any]:
    hours = tables.TIME_LINE.c
    return _row(hours.job_id, literal(OVERHEAD), literal(OVERHEAD), literal(""), hours.task_group,
                literal(""), hours.minutes, as_stored(hours.overhead_minor, Integer))


def _bills() -> Select[Any]:
    line, bill = tables.INVOICE_LINE.c, tables.INVOICE.c
    kind = case((line.kind.in_(("goods", "carriage")), "goods"), else_="bought in")
    code = case((line.item_code.is_(None), ""), else_=line.item_code)
    # Goods that an order took in are counted where they left the stock; the bill adds money only.
    counted = case((line.order_number.is_not(None), 0), else_=as_stored(line.quantity, Integer))
    return (
        _row(line.job_id, kind, line.head, code, literal(""), bill.supplier,
             counted, as_stored(line.cost_minor, Integer))
        .select_from(tables.INVOICE_LINE.join(tables.INVOICE, bill.id == line.invoice_id))
        .where(line.job_id.is_not(None)))
