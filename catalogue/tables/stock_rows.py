"""Rows of the stock as typed objects; see `rows`."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal

from sqlalchemy.orm import Mapped

from catalogue import tables
from catalogue.tables.rows import Base


class PlaceRow(Base):
    """Where things lie."""

    __table__ = tables.PLACE

    name: Mapped[str]
    kind: Mapped[str]
    note: Mapped[str]


class LotRow(Base):
    """A length, a batch or one thing with a serial number."""

    __table__ = tables.LOT

    id: Mapped[str]
    item_code: Mapped[str]
    kind: Mapped[str]
    expires_on: Mapped[date | None]
    cut_from: Mapped[str | None]
    made_at: Mapped[datetime]
    length_mm: Mapped[int | None]


class MoveRow(Base):
    """So much of an item went from one place to another; written once."""

    __table__ = tables.MOVE

    id: Mapped[int]
    kind: Mapped[str]
    item_code: Mapped[str]
    lot_id: Mapped[str | None]
    quantity: Mapped[Decimal]
    from_place: Mapped[str | None]
    to_place: Mapped[str | None]
    job_id: Mapped[str | None]
    document: Mapped[str]
    value_minor: Mapped[int | None]
    at: Mapped[datetime]
    by: Mapped[str]
    why: Mapped[str]


class LevelRow(Base):
    """How much of an item lies in a place."""

    __table__ = tables.LEVEL

    item_code: Mapped[str]
    place: Mapped[str]
    lot_id: Mapped[str]
    quantity: Mapped[Decimal]


class WorthRow(Base):
    """How much of an item the firm holds, and what it is worth."""

    __table__ = tables.WORTH

    item_code: Mapped[str]
    quantity: Mapped[Decimal]
    value_minor: Mapped[int]


class ReservationRow(Base):
    """So much of an item is kept for an accepted revision."""

    __table__ = tables.RESERVATION

    id: Mapped[int]
    job_id: Mapped[str]
    revision: Mapped[int]
    item_code: Mapped[str]
    quantity: Mapped[Decimal]
    needed_on: Mapped[date]
    at: Mapped[datetime]
    by: Mapped[str]
    why: Mapped[str]


class ShelfRuleRow(Base):
    """When the shelf of an item is filled up; written once."""

    __table__ = tables.SHELF_RULE

    id: Mapped[int]
    item_code: Mapped[str]
    least: Mapped[Decimal]
    order_quantity: Mapped[Decimal]
    at: Mapped[datetime]
    by: Mapped[str]
    why: Mapped[str]
