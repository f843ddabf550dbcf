"""Carriage classes of a price list for which its supplier has no charge: A216, a caution."""

from __future__ import annotations

from collections.abc import Iterator

from sqlalchemy import Connection, or_, select

from catalogue.price_lists.changes import PriceChanges
from catalogue.problems import Place, Problem
from catalogue.tables import CARRIAGE

_NAMED = 5  # items that a message names


def unpriced_classes(
    work: Connection, supplier: str, changes: PriceChanges, shown: str
) -> Iterator[Problem]:
    """Yield a caution for each class that new prices name and no carriage row of the day knows.

    Args:
        work: the unit of work.
        supplier: whose list it is.
        changes: what the list changes.
        shown: the list's file, as it is shown.
    """
    classes = sorted({price.carriage_class for price in (*changes.new, *changes.changed)} - {""})
    if not classes:
        return
    c = CARRIAGE.c
    priced = set(work.scalars(select(c.carriage_class).where(
        c.supplier == supplier, c.currency == changes.currency, c.withdrawn_at.is_(None),
        c.from_date <= changes.day, or_(c.to_date.is_(None), c.to_date >= changes.day))))
    for name in classes:
        if name not in priced:
            items = sorted({price.item for price in (*changes.new, *changes.changed)
                            if price.carriage_class == name})
            told = ", ".join(items[:_NAMED]) + (", ..." if len(items) > _NAMED else "")
            yield Problem(
                "A216", Place(shown),
                f"no carriage row of {supplier} holds on {changes.day} for class '{name}', so "
                f"bringing these goods would be priced at nothing: {told}",
                "read in the charge, 0 if there is none, as a row of a carriage sheet: estimator "
                "catalogue import carriage.csv", level="caution")
