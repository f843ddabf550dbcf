"""Suppliers and their dated offers. A price is never overwritten: who, when and why stay."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal

from sqlalchemy import CheckConstraint, ForeignKey, Index, Integer, Text, text
from sqlalchemy.orm import Mapped, mapped_column

from catalogue.tables.base import STRICT, Base
from catalogue.tables.columns import IsoDate, Milli, MoneyMinor, UtcTime


class SupplierRow(Base):
    """Who sells, and how many days a delivery takes unless the offer says otherwise."""

    __tablename__ = "supplier"
    __table_args__ = (CheckConstraint("lead_days >= 0", name="lead_days_not_negative"), STRICT)

    name: Mapped[str] = mapped_column(Text, primary_key=True)
    lead_days: Mapped[int] = mapped_column(Integer)
    note: Mapped[str] = mapped_column(Text)


class OfferRow(Base):
    """The price of one pack of an item from a day on.

    An offer that turns out wrong is marked withdrawn and a right one is added beside it, so an
    old estimate can always be explained. `lead_days` None means the supplier's own.
    """

    __tablename__ = "offer"
    __table_args__ = (
        CheckConstraint("pack > 0", name="pack_positive"),
        CheckConstraint("price_minor >= 0", name="price_not_negative"),
        CheckConstraint("length(currency) = 3", name="currency_of_three_letters"),
        CheckConstraint("to_date >= from_date", name="dates_in_order"),
        CheckConstraint("lead_days >= 0", name="lead_days_not_negative"),
        # PostgreSQL is given the same condition by the migration alone: named here it would load
        # that server's part of SQLAlchemy with every command.
        Index(
            "uq_offer_in_use", "item_code", "supplier", "pack", "currency", "from_date",
            unique=True, sqlite_where=text("withdrawn_at IS NULL"),
        ),
        STRICT,
    )

    id: Mapped[int] = mapped_column(Integer, primary_key=True)
    item_code: Mapped[str] = mapped_column(ForeignKey("item.code"))
    supplier: Mapped[str] = mapped_column(ForeignKey("supplier.name"))
    supplier_code: Mapped[str] = mapped_column(Text)
    pack: Mapped[Decimal] = mapped_column(Milli)
    price_minor: Mapped[int] = mapped_column(MoneyMinor)
    currency: Mapped[str] = mapped_column(Text)
    lead_days: Mapped[int | None] = mapped_column(Integer)
    from_date: Mapped[date] = mapped_column(IsoDate)
    to_date: Mapped[date | None] = mapped_column(IsoDate)
    entered_at: Mapped[datetime] = mapped_column(UtcTime)
    entered_by: Mapped[str] = mapped_column(Text)
    entered_from: Mapped[str] = mapped_column(Text)
    withdrawn_at: Mapped[datetime | None] = mapped_column(UtcTime)
