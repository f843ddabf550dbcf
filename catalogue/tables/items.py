"""Items, the roles they serve and what lies in their boxes."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from sqlalchemy import CheckConstraint, ForeignKey, Index, Integer, Text
from sqlalchemy.orm import Mapped, mapped_column, relationship

from catalogue.tables.base import STRICT, Base
from catalogue.tables.columns import Flag, IsoDate, Milli


class ItemRow(Base):
    """One thing that can be bought. `spec` is the typed specification as JSON text, exact."""

    __tablename__ = "item"
    __table_args__ = (
        CheckConstraint("code <> ''", name="code_given"),
        CheckConstraint("held IN ('stock', 'job')", name="held_known"),
        CheckConstraint("vat_class IN ('energy saving', 'standard')", name="vat_class_known"),
        CheckConstraint("waste >= 0 AND waste < 1000", name="waste_is_a_share"),
        CheckConstraint("mass_kg > 0", name="mass_positive"),
        CheckConstraint(
            "length_mm > 0 AND width_mm > 0 AND height_mm > 0", name="size_positive"),
        Index(None, "family"),
        STRICT,
    )

    code: Mapped[str] = mapped_column(Text, primary_key=True)
    name: Mapped[str] = mapped_column(Text)
    family: Mapped[str] = mapped_column(Text)
    unit: Mapped[str] = mapped_column(Text)
    spec: Mapped[str] = mapped_column(Text)
    head: Mapped[str] = mapped_column(Text)
    held: Mapped[str] = mapped_column(Text)
    bin: Mapped[str] = mapped_column(Text)
    mass_kg: Mapped[Decimal | None] = mapped_column(Milli)
    length_mm: Mapped[int | None] = mapped_column(Integer)
    width_mm: Mapped[int | None] = mapped_column(Integer)
    height_mm: Mapped[int | None] = mapped_column(Integer)
    waste: Mapped[Decimal] = mapped_column(Milli)
    vat_class: Mapped[str] = mapped_column(Text)
    serialised: Mapped[bool] = mapped_column(Flag)
    sold_apart: Mapped[bool] = mapped_column(Flag)
    note: Mapped[str] = mapped_column(Text)

    roles: Mapped[list[ItemRoleRow]] = relationship(
        order_by="ItemRoleRow.position", cascade="all, delete-orphan")


class ItemRoleRow(Base):
    """One role that an item serves, in the order in which its row names them."""

    __tablename__ = "item_role"
    __table_args__ = (CheckConstraint("role <> ''", name="role_given"), STRICT)

    item_code: Mapped[str] = mapped_column(
        ForeignKey("item.code", ondelete="CASCADE"), primary_key=True)
    role: Mapped[str] = mapped_column(Text, primary_key=True)
    position: Mapped[int] = mapped_column(Integer)


class BoxPartRow(Base):
    """So many of one item lie in the box of another, between two dates (to_date included)."""

    __tablename__ = "box_part"
    __table_args__ = (
        CheckConstraint("quantity > 0", name="quantity_positive"),
        CheckConstraint("to_date >= from_date", name="dates_in_order"),
        CheckConstraint("box_code <> item_code", name="not_in_itself"),
        Index(None, "item_code"),
        STRICT,
    )

    box_code: Mapped[str] = mapped_column(ForeignKey("item.code"), primary_key=True)
    item_code: Mapped[str] = mapped_column(ForeignKey("item.code"), primary_key=True)
    from_date: Mapped[date] = mapped_column(IsoDate, primary_key=True)
    to_date: Mapped[date | None] = mapped_column(IsoDate)
    quantity: Mapped[int] = mapped_column(Integer)
