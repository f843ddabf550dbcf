"""Prices before the starter catalogue's own: the same offers, cheaper by the planted shocks."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from typing import Any

from sqlalchemy import Connection, Table, insert, select, update

from catalogue.money import round_half_up
from catalogue.tables import CARRIAGE, ITEM, OFFER
from demo_jobs.year.buying import Prices
from demo_jobs.year.calendar import PERIODS
from demo_jobs.year.goods import moment
from demo_jobs.year.records import PlannedBuy
from demo_jobs.year.truths import Truth

BEFORE = date(2025, 12, 1)


def add_earlier_prices(work: Connection, truths: Mapping[str, Truth]) -> None:
    """Write the prices of the time before each shock; the caller commits.

    Where a shock comes after the day from which the starter catalogue has its own prices, these are
    withdrawn and hold from the shock on.
    """
    heads = {row.code: row.head for row in work.execute(select(ITEM.c.code, ITEM.c.head))}
    shocks = [truths["first-shock"], truths["second-shock"]]
    work.execute(update(OFFER).values(withdrawn_at=moment(BEFORE)))
    rows = []
    for row in _rows(work, OFFER):
        row["withdrawn_at"] = None
        mine = [shock for shock in shocks if heads[row["item_code"]] in shock["heads"]]
        for at, begins in enumerate((BEFORE, *(shock["from"] for shock in mine))):
            still_to_come = [shock.size for shock in mine[at:]]
            rows.append({**row, "from_date": begins,
                         "price_minor": _before(row["price_minor"], still_to_come)})
    work.execute(insert(OFFER), rows)
    work.execute(insert(CARRIAGE), [
        {**row, "from_date": BEFORE} for row in _rows(work, CARRIAGE)])


def _rows(work: Connection, table: Table) -> list[dict[str, Any]]:
    rows = work.execute(select(table).order_by(table.c.id)).mappings()
    return [{key: value for key, value in row.items() if key != "id"} for row in rows]


def _before(price_minor: int, rises: list[float]) -> int:
    share = Fraction(1)
    for rise in rises:
        share *= 1 + Fraction(str(rise))
    return max(1, round_half_up(price_minor / share)) if price_minor else 0


def offered_prices(work: Connection) -> Prices:
    """Return what an offer costs in each period."""
    found: dict[tuple[object, ...], list[tuple[date, int]]] = {}
    for row in work.execute(select(OFFER).where(OFFER.c.withdrawn_at.is_(None))):
        key = (row.item_code, row.supplier, row.pack, row.least)
        found.setdefault(key, []).append((row.from_date, row.price_minor))

    def price(item: str, buy: PlannedBuy, period: int) -> int:
        rows = found[item, buy.supplier, buy.pack, buy.least]
        return max((begins, minor) for begins, minor in rows if begins <= PERIODS[period])[1]

    return price
