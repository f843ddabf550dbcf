"""The ledger of stock: places, lots, moves, and what follows from them.

A move is written once. `level` and `worth` hold what all moves come to, so that two desks cannot
take the same thing: a move changes them in the same transaction, and none may fall below zero.
`catalogue.stock` compares them with the moves.
"""

from __future__ import annotations

from sqlalchemy import (
    CheckConstraint,
    Column,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    Integer,
    Table,
    Text,
)

from catalogue.tables.base import WRITTEN_ONCE, given, metadata
from catalogue.tables.columns import IsoDate, Milli, MoneyMinor, UtcTime

# Where things lie. What lies at a site belongs to its job, not to the stock any more; at a
# supplier's counter lies what is paid for and not fetched; in quarantine what nobody may use.
PLACE = Table(
    "place", metadata,
    Column("name", Text, primary_key=True),
    given("kind", Text),
    given("note", Text),
    CheckConstraint("name <> ''", name="name_given"),
    CheckConstraint("kind IN ('store', 'van', 'site', 'counter', 'quarantine')",
                    name="kind_known"),
    sqlite_strict=True,
)

# A part of an item's stock that is told apart: a length on a drum or bar (its quantity is its
# length), a batch with a shelf life, one thing with a serial number. `cut_from` is the length it
# was cut from. `length_mm` is that of an end of an item which is counted in whole sticks: there the
# quantity is the end's share of a stick.
LOT = Table(
    "lot", metadata,
    Column("id", Text, primary_key=True),
    given("item_code", ForeignKey("item.code")),
    given("kind", Text),
    Column("expires_on", IsoDate),
    Column("cut_from", ForeignKey("lot.id")),
    given("made_at", UtcTime),
    Column("length_mm", Integer),
    CheckConstraint("id <> ''", name="id_given"),
    CheckConstraint("length_mm > 0", name="length_positive"),
    CheckConstraint("kind IN ('length', 'batch', 'serial')", name="kind_known"),
    Index(None, "item_code"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)

# So much of an item went from one place to another; NULL is outside: a supplier, or used up, lost,
# found. `lot_id` NULL: not told apart. `value_minor` is what it was worth where it came into the
# stock or left it, else NULL. `document` is the order, sheet or count that it stands on.
MOVE = Table(
    "move", metadata,
    Column("id", Integer, primary_key=True),
    given("kind", Text),
    given("item_code", ForeignKey("item.code")),
    Column("lot_id", ForeignKey("lot.id")),
    given("quantity", Milli),
    Column("from_place", ForeignKey("place.name")),
    Column("to_place", ForeignKey("place.name")),
    Column("job_id", ForeignKey("job.id")),
    given("document", Text),
    Column("value_minor", MoneyMinor),
    given("at", UtcTime),
    given("by", Text),
    given("why", Text),
    CheckConstraint("quantity > 0", name="quantity_positive"),
    CheckConstraint("value_minor >= 0", name="value_not_negative"),
    CheckConstraint("from_place IS NOT NULL OR to_place IS NOT NULL", name="somewhere"),
    CheckConstraint("from_place <> to_place", name="elsewhere"),
    Index(None, "item_code"),
    Index(None, "job_id"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)

# How much of an item lies in a place; `lot_id` "" is what is not told apart.
LEVEL = Table(
    "level", metadata,
    Column("item_code", ForeignKey("item.code"), primary_key=True),
    Column("place", ForeignKey("place.name"), primary_key=True),
    Column("lot_id", Text, primary_key=True),
    given("quantity", Milli),
    CheckConstraint("quantity >= 0", name="quantity_not_negative"),
    sqlite_strict=True,
)

# How much of an item the firm holds in all its own places, and what it is worth.
WORTH = Table(
    "worth", metadata,
    Column("item_code", ForeignKey("item.code"), primary_key=True),
    given("quantity", Milli),
    given("value_minor", MoneyMinor),
    CheckConstraint("quantity >= 0", name="quantity_not_negative"),
    CheckConstraint("value_minor >= 0", name="value_not_negative"),
    sqlite_strict=True,
)

# So much of an item is kept for an accepted revision, or not any more (a quantity below zero).
RESERVATION = Table(
    "reservation", metadata,
    Column("id", Integer, primary_key=True),
    given("job_id", Text),
    given("revision", Integer),
    given("item_code", ForeignKey("item.code")),
    given("quantity", Milli),
    given("needed_on", IsoDate),
    given("at", UtcTime),
    given("by", Text),
    given("why", Text),
    ForeignKeyConstraint(["job_id", "revision"], ["revision.job_id", "revision.number"]),
    CheckConstraint("quantity <> 0", name="quantity_not_zero"),
    Index(None, "job_id"),
    Index(None, "item_code"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)

# When the shelf of an item is filled up: what is free falls to `least`, and `order_quantity` or a
# multiple of it is ordered. The newest row of an item holds; 0 is ordered of one that is not kept
# any more.
SHELF_RULE = Table(
    "shelf_rule", metadata,
    Column("id", Integer, primary_key=True),
    given("item_code", ForeignKey("item.code")),
    given("least", Milli),
    given("order_quantity", Milli),
    given("at", UtcTime),
    given("by", Text),
    given("why", Text),
    CheckConstraint("least >= 0", name="least_not_negative"),
    CheckConstraint("order_quantity >= 0", name="order_quantity_not_negative"),
    Index(None, "item_code"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)
