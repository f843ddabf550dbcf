"""Suppliers, price lists and dated offers. A price is never overwritten: who and when stay."""

from __future__ import annotations

from sqlalchemy import (
    CheckConstraint,
    Column,
    ForeignKey,
    Index,
    Integer,
    Table,
    Text,
    UniqueConstraint,
    text,
)

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

# One reading of a supplier's file: what came of its rows. The same file is not read in twice.
PRICE_LIST = Table(
    "price_list", metadata,
    Column("id", Integer, primary_key=True),
    given("supplier", ForeignKey("supplier.name")),
    given("file_name", Text),
    given("file_sha256", Text),
    given("from_date", IsoDate),
    given("imported_at", UtcTime),
    given("imported_by", Text),
    given("new", Integer),
    given("changed", Integer),
    given("unchanged", Integer),
    given("unknown", Integer),
    given("refused", Integer),
    UniqueConstraint("supplier", "file_sha256", "from_date"),
    sqlite_strict=True,
)

# Which column of a supplier's list holds what, as the text of a column map.
PRICE_COLUMNS = Table(
    "price_columns", metadata,
    Column("supplier", ForeignKey("supplier.name"), primary_key=True),
    given("text", Text),
    given("changed_at", UtcTime),
    sqlite_strict=True,
)

# Which item of the firm a supplier's part number is.
SUPPLIER_ITEM = Table(
    "supplier_item", metadata,
    Column("supplier", ForeignKey("supplier.name"), primary_key=True),
    Column("supplier_code", Text, primary_key=True),
    given("item_code", ForeignKey("item.code")),
    CheckConstraint("supplier_code <> ''", name="code_given"),
    Index(None, "item_code"),
    sqlite_strict=True,
)

# The price of an item from a day on, for `per` units (NULL: one pack), in packs of `pack` units,
# holding from `least` units on. Rows are only ever added: of one item, supplier, pack, least and
# currency the one that began last holds. One that turns out wrong is marked withdrawn and a right
# one is added beside it, so that an old estimate can always be explained. `lead_days` NULL means
# the supplier's own.
OFFER = Table(
    "offer", metadata,
    Column("id", Integer, primary_key=True),
    given("item_code", ForeignKey("item.code")),
    given("supplier", ForeignKey("supplier.name")),
    given("supplier_code", Text),
    given("pack", Milli),
    Column("per", Milli),
    given("least", Milli, server_default=text("0")),
    given("price_minor", MoneyMinor),
    given("currency", Text),
    Column("cut_charge_minor", MoneyMinor),
    given("carriage_class", Text, server_default=text("''")),
    Column("lead_days", Integer),
    given("from_date", IsoDate),
    Column("to_date", IsoDate),
    given("entered_at", UtcTime),
    given("entered_by", Text),
    given("entered_from", Text),
    Column("price_list_id", ForeignKey("price_list.id")),
    Column("withdrawn_at", UtcTime),
    CheckConstraint("pack > 0", name="pack_positive"),
    CheckConstraint("per > 0", name="per_positive"),
    CheckConstraint("least >= 0", name="least_not_negative"),
    CheckConstraint("price_minor >= 0", name="price_not_negative"),
    CheckConstraint("cut_charge_minor >= 0", name="cut_charge_not_negative"),
    CheckConstraint("length(currency) = 3", name="currency_of_three_letters"),
    CheckConstraint("to_date >= from_date", name="dates_in_order"),
    CheckConstraint("lead_days >= 0", name="lead_days_not_negative"),
    # PostgreSQL is given the same condition by the migration alone: named here it would load
    # that server's part of SQLAlchemy with every command.
    Index(
        "uq_offer_in_use", "item_code", "supplier", "pack", "least", "currency", "from_date",
        unique=True, sqlite_where=text("withdrawn_at IS NULL"),
    ),
    sqlite_strict=True,
)

# What a supplier charges for bringing an order, from a day on; added to like offers. `free_from`
# and `least_order` are values of goods.
CARRIAGE = Table(
    "carriage", metadata,
    Column("id", Integer, primary_key=True),
    given("supplier", ForeignKey("supplier.name")),
    given("carriage_class", Text),
    given("charge_minor", MoneyMinor),
    Column("free_from_minor", MoneyMinor),
    Column("least_order_minor", MoneyMinor),
    given("currency", Text),
    given("from_date", IsoDate),
    Column("to_date", IsoDate),
    given("entered_at", UtcTime),
    given("entered_by", Text),
    given("entered_from", Text),
    Column("withdrawn_at", UtcTime),
    CheckConstraint("charge_minor >= 0", name="charge_not_negative"),
    CheckConstraint("free_from_minor > 0", name="free_from_positive"),
    CheckConstraint("least_order_minor > 0", name="least_order_positive"),
    CheckConstraint("length(currency) = 3", name="currency_of_three_letters"),
    CheckConstraint("to_date >= from_date", name="dates_in_order"),
    Index(
        "uq_carriage_in_use", "supplier", "carriage_class", "currency", "from_date",
        unique=True, sqlite_where=text("withdrawn_at IS NULL"),
    ),
    sqlite_strict=True,
)
