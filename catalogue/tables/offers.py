"""Suppliers and their dated offers. A price is never overwritten: who, when and why stay."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, Column, ForeignKey, Index, Integer, Table, Text, text

from catalogue.tables.base import given, metadata
from catalogue.tables.columns import IsoDate, Milli, MoneyMinor, UtcTime

# Who sells, and how many days a delivery takes unless the offer says otherwise.
SUPPLIER = Table(
    "supplier", metadata,
    Column("name", Text, primary_key=True),
    given("lead_days", Integer),
    given("note", Text),
    CheckConstraint("lead_days >= 0", name="lead_days_not_negative"),
    sqlite_strict=True,
)

# The price of one pack of an item from a day on. An offer that turns out wrong is marked withdrawn
# and a right one is added beside it, so an old estimate can always be explained. `lead_days` NULL
# means the supplier's own.
OFFER = Table(
    "offer", metadata,
    Column("id", Integer, primary_key=True),
    given("item_code", ForeignKey("item.code")),
    given("supplier", ForeignKey("supplier.name")),
    given("supplier_code", Text),
    given("pack", Milli),
    given("price_minor", MoneyMinor),
    given("currency", Text),
    Column("lead_days", Integer),
    given("from_date", IsoDate),
    Column("to_date", IsoDate),
    given("entered_at", UtcTime),
    given("entered_by", Text),
    given("entered_from", Text),
    Column("withdrawn_at", UtcTime),
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
    sqlite_strict=True,
)
