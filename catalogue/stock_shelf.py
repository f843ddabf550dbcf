"""When the shelf of an item is filled up, and how much of it jobs have taken.

A rule is written once; the newest of an item holds, and one that orders nothing ends them.
"""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal

from sqlalchemy import Connection, func, insert, select

from catalogue.stock.posting import Posted
from catalogue.stock.shortages import ShelfRule
from catalogue.tables import MOVE, SHELF_RULE


def shelf_rules(work: Connection) -> dict[str, ShelfRule]:
    """Return the rule of each item that has one, by item."""
    newest = select(func.max(SHELF_RULE.c.id)).group_by(SHELF_RULE.c.item_code)
    rows = work.execute(select(SHELF_RULE).where(SHELF_RULE.c.id.in_(newest))
                        .order_by(SHELF_RULE.c.item_code))
    return {row.item_code: ShelfRule(row.least, row.order_quantity)
            for row in rows if row.order_quantity}


def keep_shelf_rule(
    work: Connection, item: str, rule: ShelfRule, posted: Posted, why: str = ""
) -> None:
    """Write the rule that holds from now on; the caller commits."""
    work.execute(insert(SHELF_RULE).values(
        item_code=item, least=rule.least, order_quantity=rule.order, at=posted.at, by=posted.by,
        why=why))


def used_since(work: Connection, item: str, since: datetime) -> Decimal:
    """Return how much of an item went to jobs since a moment, less what came back."""
    used = Decimal(0)
    for kind, total in work.execute(
            select(MOVE.c.kind, func.sum(MOVE.c.quantity))
            .where(MOVE.c.item_code == item, MOVE.c.at >= since,
                   MOVE.c.kind.in_(("pick", "return"))).group_by(MOVE.c.kind)):
        used += total if kind == "pick" else -total
    return max(Decimal(0), used)
