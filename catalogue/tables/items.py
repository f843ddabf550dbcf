"""Items, the roles they serve and what lies in their boxes."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, Column, ForeignKey, Index, Integer, Table, Text

from catalogue.tables.base import given, metadata
from catalogue.tables.columns import Flag, IsoDate, Milli

# One thing that can be bought. `spec` is the typed specification as JSON text, exact.
ITEM = Table(
    "item", metadata,
    Column("code", Text, primary_key=True),
    given("name", Text),
    given("family", Text),
    given("unit", Text),
    given("spec", Text),
    given("head", Text),
    given("held", Text),
    given("bin", Text),
    Column("mass_kg", Milli),
    Column("length_mm", Integer),
    Column("width_mm", Integer),
    Column("height_mm", Integer),
    given("waste", Milli),
    given("vat_class", Text),
    given("serialised", Flag),
    given("sold_apart", Flag),
    given("note", Text),
    CheckConstraint("code <> ''", name="code_given"),
    CheckConstraint("held IN ('stock', 'job')", name="held_known"),
    CheckConstraint("vat_class IN ('energy saving', 'standard')", name="vat_class_known"),
    CheckConstraint("waste >= 0 AND waste < 1000", name="waste_is_a_share"),
    CheckConstraint("mass_kg > 0", name="mass_positive"),
    CheckConstraint("length_mm > 0 AND width_mm > 0 AND height_mm > 0", name="size_positive"),
    Index(None, "family"),
    sqlite_strict=True,
)

# One role that an item serves; `position` keeps the order in which its row names them.
ITEM_ROLE = Table(
    "item_role", metadata,
    Column("item_code", ForeignKey("item.code", ondelete="CASCADE"), primary_key=True),
    Column("role", Text, primary_key=True),
    given("position", Integer),
    CheckConstraint("role <> ''", name="role_given"),
    sqlite_strict=True,
)

# So many of one item lie in the box of another, between two dates (to_date included).
BOX_PART = Table(
    "box_part", metadata,
    Column("box_code", ForeignKey("item.code"), primary_key=True),
    Column("item_code", ForeignKey("item.code"), primary_key=True),
    Column("from_date", IsoDate, primary_key=True),
    Column("to_date", IsoDate),
    given("quantity", Integer),
    CheckConstraint("quantity > 0", name="quantity_positive"),
    CheckConstraint("to_date >= from_date", name="dates_in_order"),
    CheckConstraint("box_code <> item_code", name="not_in_itself"),
    Index(None, "item_code"),
    sqlite_strict=True,
)
