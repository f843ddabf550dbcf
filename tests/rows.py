"""Rows of the tables as objects, for the factories; the program itself has no such classes."""

from __future__ import annotations

from sqlalchemy.orm import DeclarativeBase, Mapped, relationship

from catalogue import tables


class Base(DeclarativeBase):
    metadata = tables.metadata


class ItemRoleRow(Base):
    __table__ = tables.ITEM_ROLE


class ItemRow(Base):
    __table__ = tables.ITEM

    roles: Mapped[list[ItemRoleRow]] = relationship(
        order_by=tables.ITEM_ROLE.c.position, cascade="all, delete-orphan")


class BoxPartRow(Base):
    __table__ = tables.BOX_PART


class SupplierRow(Base):
    __table__ = tables.SUPPLIER


class OfferRow(Base):
    __table__ = tables.OFFER


class JobRow(Base):
    __table__ = tables.JOB


class RevisionRow(Base):
    __table__ = tables.REVISION
