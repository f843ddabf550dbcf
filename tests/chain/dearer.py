"""A dearer price list, as the catalogue keeps it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, date, datetime
from typing import Any

from sqlalchemy import insert, select

from catalogue import db
from catalogue.tables import OFFER

DEARER_FROM = date(2026, 11, 10)


def dearer(database: str, per_cent: Mapping[str, int] | int) -> int:
    """Add dearer offers from `DEARER_FROM` on; return how many.

    Args:
        per_cent: how much dearer: all items, or the items named.
    """
    engine = db.open_database(database)
    with db.session(engine) as work:
        rows: list[dict[str, Any]] = []
        for row in work.execute(select(OFFER).where(OFFER.c.withdrawn_at.is_(None))).mappings():
            more = per_cent if isinstance(per_cent, int) else per_cent.get(row["item_code"], 0)
            if more:
                rows.append({
                    **{name: value for name, value in row.items() if name != "id"},
                    "price_minor": row["price_minor"] * (100 + more) // 100,
                    "from_date": DEARER_FROM, "entered_at": datetime(2026, 11, 9, tzinfo=UTC),
                    "entered_from": "a dearer list"})
        work.execute(insert(OFFER), rows)
        work.commit()
    engine.dispose()
    return len(rows)
