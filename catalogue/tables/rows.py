"""Rows of the tables as typed objects: for code that edits or reads whole rows.

The tables are the one definition; these classes put Python types on their columns and hold the way
from an item to its roles. They load on demand: mapping them costs a tenth of a quote, and a quote
reads the tables as they are.
"""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal

from sqlalchemy.orm import DeclarativeBase, Mapped, relationship

from catalogue import tables


class Base(DeclarativeBase):
    """Base of all rows; it shares the tables' metadata."""

    metadata = tables.metadata


class ItemRoleRow(Base):
    """One thing that an item can serve as."""

    __table__ = tables.ITEM_ROLE

    item_code: Mapped[str]
    role: Mapped[str]
    position: Mapped[int]


class ItemRow(Base):
    """One item of the catalogue; its specification is JSON text of the family's model."""

    __table__ = tables.ITEM

    code: Mapped[str]
    name: Mapped[str]
    family: Mapped[str]
    unit: Mapped[str]
    spec: Mapped[str]
    head: Mapped[str]
    held: Mapped[str]
    bin: Mapped[str]
    mass_kg: Mapped[Decimal | None]
    length_mm: Mapped[int | None]
    width_mm: Mapped[int | None]
    height_mm: Mapped[int | None]
    waste: Mapped[Decimal]
    vat_class: Mapped[str]
    serialised: Mapped[bool]
    sold_apart: Mapped[bool]
    note: Mapped[str]

    roles: Mapped[list[ItemRoleRow]] = relationship(
        order_by=tables.ITEM_ROLE.c.position, cascade="all, delete-orphan")


class BoxPartRow(Base):
    """What lies in an item's box, between two dates."""

    __table__ = tables.BOX_PART

    box_code: Mapped[str]
    item_code: Mapped[str]
    quantity: Mapped[int]
    from_date: Mapped[date]
    to_date: Mapped[date | None]


class SupplierRow(Base):
    """Somebody who sells."""

    __table__ = tables.SUPPLIER

    name: Mapped[str]
    lead_days: Mapped[int]
    note: Mapped[str]


class OfferRow(Base):
    """A supplier's price for a pack, from a date; kept when it is withdrawn."""

    __table__ = tables.OFFER

    id: Mapped[int]
    item_code: Mapped[str]
    supplier: Mapped[str]
    supplier_code: Mapped[str]
    pack: Mapped[Decimal]
    per: Mapped[Decimal | None]
    least: Mapped[Decimal]
    price_minor: Mapped[int]
    currency: Mapped[str]
    cut_charge_minor: Mapped[int | None]
    carriage_class: Mapped[str]
    lead_days: Mapped[int | None]
    from_date: Mapped[date]
    to_date: Mapped[date | None]
    entered_at: Mapped[datetime]
    entered_by: Mapped[str]
    entered_from: Mapped[str]
    price_list_id: Mapped[int | None]
    withdrawn_at: Mapped[datetime | None]


class PriceListRow(Base):
    """One reading of a supplier's file."""

    __table__ = tables.PRICE_LIST

    id: Mapped[int]
    supplier: Mapped[str]
    file_name: Mapped[str]
    file_sha256: Mapped[str]
    from_date: Mapped[date]
    imported_at: Mapped[datetime]
    imported_by: Mapped[str]
    new: Mapped[int]
    changed: Mapped[int]
    unchanged: Mapped[int]
    unknown: Mapped[int]
    refused: Mapped[int]


class PriceColumnsRow(Base):
    """Which column of a supplier's list holds what."""

    __table__ = tables.PRICE_COLUMNS

    supplier: Mapped[str]
    text: Mapped[str]
    changed_at: Mapped[datetime]


class SupplierItemRow(Base):
    """Which item a supplier's part number is."""

    __table__ = tables.SUPPLIER_ITEM

    supplier: Mapped[str]
    supplier_code: Mapped[str]
    item_code: Mapped[str]


class CarriageRow(Base):
    """What a supplier charges for bringing an order, from a date."""

    __table__ = tables.CARRIAGE

    id: Mapped[int]
    supplier: Mapped[str]
    carriage_class: Mapped[str]
    charge_minor: Mapped[int]
    free_from_minor: Mapped[int | None]
    least_order_minor: Mapped[int | None]
    currency: Mapped[str]
    from_date: Mapped[date]
    to_date: Mapped[date | None]
    entered_at: Mapped[datetime]
    entered_by: Mapped[str]
    entered_from: Mapped[str]
    withdrawn_at: Mapped[datetime | None]


class JobRow(Base):
    """One job, by the id of its survey."""

    __table__ = tables.JOB

    id: Mapped[str]
    title: Mapped[str]
    created_at: Mapped[datetime]


class RevisionRow(Base):
    """One estimate of a job as it was made; written once."""

    __table__ = tables.REVISION

    job_id: Mapped[str]
    number: Mapped[int]
    on_date: Mapped[date]
    survey_text: Mapped[str]
    estimate_json: Mapped[str]
    inputs_digest: Mapped[str]
    made_at: Mapped[datetime]
    kind: Mapped[str]
    net_minor: Mapped[int]
    currency: Mapped[str]


class JobEventRow(Base):
    """What became of a quote; written once."""

    __table__ = tables.JOB_EVENT

    id: Mapped[int]
    job_id: Mapped[str]
    revision: Mapped[int]
    event: Mapped[str]
    at: Mapped[datetime]
    by: Mapped[str]
    why: Mapped[str]


class KeptTextRow(Base):
    """A text that revisions were made with."""

    __table__ = tables.KEPT_TEXT

    digest: Mapped[str]
    text: Mapped[str]


class RevisionBasisRow(Base):
    """With which texts a revision was made."""

    __table__ = tables.REVISION_BASIS

    job_id: Mapped[str]
    number: Mapped[int]
    kind: Mapped[str]
    digest: Mapped[str]
