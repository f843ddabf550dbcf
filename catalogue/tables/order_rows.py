"""Rows of orders and deliveries as typed objects; see `rows`."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal

from sqlalchemy.orm import Mapped

from catalogue import tables
from catalogue.tables.rows import Base


class PurchaseOrderRow(Base):
    """One order to one supplier; written once."""

    __table__ = tables.PURCHASE_ORDER

    number: Mapped[int]
    supplier: Mapped[str]
    on_date: Mapped[date]
    wanted_on: Mapped[date | None]
    currency: Mapped[str]
    carriage_minor: Mapped[int]
    least_minor: Mapped[int]
    advised_minor: Mapped[int]
    to_place: Mapped[str]
    job_id: Mapped[str | None]
    address: Mapped[str]
    receiver: Mapped[str]
    note: Mapped[str]
    at: Mapped[datetime]
    by: Mapped[str]


class PurchaseLineRow(Base):
    """So many packs of one offer, as they were ordered."""

    __table__ = tables.PURCHASE_LINE

    order_number: Mapped[int]
    line: Mapped[int]
    item_code: Mapped[str]
    name: Mapped[str]
    unit: Mapped[str]
    supplier_code: Mapped[str]
    quantity: Mapped[Decimal]
    pack: Mapped[Decimal]
    per: Mapped[Decimal]
    price_minor: Mapped[int]
    cut_charge_minor: Mapped[int]
    carriage_class: Mapped[str]
    quoted: Mapped[str]
    price_from: Mapped[date]
    price_until: Mapped[date | None]
    lead_days: Mapped[int]
    needed_on: Mapped[date | None]
    comes_on: Mapped[date]
    serials: Mapped[bool]
    family: Mapped[str]


class PurchaseLineJobRow(Base):
    """For which job how much of a line is."""

    __table__ = tables.PURCHASE_LINE_JOB

    order_number: Mapped[int]
    line: Mapped[int]
    position: Mapped[int]
    job_id: Mapped[str]
    quantity: Mapped[Decimal]


class PurchaseEventRow(Base):
    """What became of an order beside its deliveries."""

    __table__ = tables.PURCHASE_EVENT

    id: Mapped[int]
    order_number: Mapped[int]
    event: Mapped[str]
    at: Mapped[datetime]
    by: Mapped[str]
    why: Mapped[str]


class DeliveryRow(Base):
    """What came in one go."""

    __table__ = tables.DELIVERY

    id: Mapped[int]
    order_number: Mapped[int]
    on_date: Mapped[date]
    note: Mapped[str]
    at: Mapped[datetime]
    by: Mapped[str]


class DeliveryLineRow(Base):
    """What came of one line."""

    __table__ = tables.DELIVERY_LINE

    delivery_id: Mapped[int]
    order_number: Mapped[int]
    line: Mapped[int]
    good: Mapped[Decimal]
    damaged: Mapped[Decimal]
    price_minor: Mapped[int]
    serials: Mapped[str]
