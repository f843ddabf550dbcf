"""All that was ever offered for an item, and what of it holds on a day."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any

from sqlalchemy import Connection, select

from catalogue.money import Money
from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from catalogue.tables import ITEM, OFFER, PRICE_LIST


@dataclass(frozen=True)
class OfferShown:
    """One offer of an item, in force or not.

    Attributes:
        pack: units sold together.
        price: for `per` units; None is one pack.
        to_date: its last day, or the day before another took its place; None is open.
        state: "in force", "past", "to come" or "withdrawn".
        least: units from which on it holds.
        price_list: file that it was read from; "" if it was entered otherwise.
        change: of the price of a unit against the one before it, as a share (0.09 is 9 % more);
            None for the first, for one withdrawn, and after a price of nought.
    """

    supplier: str
    pack: Decimal
    price: Money
    from_date: date
    to_date: date | None
    state: str
    entered_at: datetime
    entered_by: str
    entered_from: str
    per: Decimal | None = None
    least: Decimal = Decimal(0)
    cut_charge: Money | None = None
    carriage_class: str = ""
    lead_days: int | None = None
    supplier_code: str = ""
    price_list: str = ""
    withdrawn_at: datetime | None = None
    change: Fraction | None = None

    @property
    def unit_price_minor(self) -> Fraction:
        """Return the exact price of one unit in minor units."""
        return _unit_price(self.price.minor, self.pack, self.per)


def offers_of(work: Connection, code: str, on: date) -> Iterator[OfferShown]:
    """Yield the offers of an item, newest first; one that a newer follows ends the day before."""
    rows = list(work.execute(
        select(OFFER, PRICE_LIST.c.file_name)
        .outerjoin(PRICE_LIST, PRICE_LIST.c.id == OFFER.c.price_list_id)
        .where(OFFER.c.item_code == code)
        .order_by(OFFER.c.from_date.desc(), OFFER.c.supplier, OFFER.c.id.desc())))
    before = _each_before(rows)
    followed: dict[tuple[object, ...], date] = {}
    for row in rows:
        series = _series(row)
        end = row.to_date
        if row.withdrawn_at is not None:
            state = "withdrawn"
        else:
            if series in followed:
                day_before = followed[series] - timedelta(days=1)
                end = day_before if end is None else min(end, day_before)
            followed[series] = row.from_date
            state = "to come" if row.from_date > on else (
                "in force" if end is None or on <= end else "past")
        yield _shown(row, end, state, before.get(row.id))


def _series(row: Any) -> tuple[object, ...]:
    return row.supplier, row.pack, row.least, row.currency


def _each_before(newest_first: Sequence[Any]) -> dict[int, Fraction]:
    """Return for each offer in use the unit price of the one that it follows, by its row."""
    found: dict[int, Fraction] = {}
    last: dict[tuple[object, ...], Fraction] = {}
    for row in reversed(newest_first):
        if row.withdrawn_at is None:
            if _series(row) in last:
                found[row.id] = last[_series(row)]
            last[_series(row)] = _unit_price(row.price_minor, row.pack, row.per)
    return found


def _unit_price(minor: int, pack: Decimal, per: Decimal | None) -> Fraction:
    return Fraction(minor) / Fraction(pack if per is None else per)


def share_of_change(before: Fraction, now: Fraction) -> Fraction | None:
    """Return a change as a share of what was before; None from nought."""
    return (now - before) / before if before else None


def _shown(row: Any, end: date | None, state: str, before: Fraction | None) -> OfferShown:
    now = _unit_price(row.price_minor, row.pack, row.per)
    return OfferShown(
        row.supplier, row.pack, Money(row.price_minor, row.currency), row.from_date, end, state,
        row.entered_at, row.entered_by, row.entered_from, row.per, row.least,
        None if row.cut_charge_minor is None else Money(row.cut_charge_minor, row.currency),
        row.carriage_class, row.lead_days, row.supplier_code, row.file_name or "",
        row.withdrawn_at, None if before is None else share_of_change(before, now))


def no_such_item(work: Connection, code: str, where: str) -> ProblemsFound:
    """Return what is told of a code that is no item's."""
    codes = list(work.scalars(select(ITEM.c.code)))
    return ProblemsFound([Problem(
        "L132", Place(where), f"there is no item {code}",
        suggestion(code, codes) or "look for it: estimator catalogue find WORDS")])
