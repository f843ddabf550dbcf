"""Purchase orders, what became of them and what was delivered. All written once.

What an order says is kept as it was sent: names, codes, prices and where they came from. How it
stands follows from its deliveries and events.
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
from catalogue.tables.columns import Flag, IsoDate, Milli, MoneyMinor, UtcTime

# One order to one supplier. `job_id` is the job whose site it goes to, NULL for the firm's own
# places. Amounts are net of tax; `least_minor` is the supplier's least order, `advised_minor` the
# goods beyond the need that would pay.
PURCHASE_ORDER = Table(
    "purchase_order", metadata,
    Column("number", Integer, primary_key=True),
    given("supplier", ForeignKey("supplier.name")),
    given("on_date", IsoDate),
    Column("wanted_on", IsoDate),
    given("currency", Text),
    given("carriage_minor", MoneyMinor),
    given("least_minor", MoneyMinor),
    given("advised_minor", MoneyMinor),
    given("to_place", ForeignKey("place.name")),
    Column("job_id", ForeignKey("job.id")),
    given("address", Text),
    given("receiver", Text),
    given("note", Text),
    given("at", UtcTime),
    given("by", Text),
    CheckConstraint("carriage_minor >= 0", name="carriage_not_negative"),
    CheckConstraint("length(currency) = 3", name="currency_of_three_letters"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)

# One line: `quantity` units in packs of `pack`, at `price_minor` for `per` units, with all cut
# charges of the line. `quoted` says what the price stands on, `price_until` is its last day.
PURCHASE_LINE = Table(
    "purchase_line", metadata,
    Column("order_number", ForeignKey("purchase_order.number"), primary_key=True),
    Column("line", Integer, primary_key=True, autoincrement=False),
    given("item_code", ForeignKey("item.code")),
    given("name", Text),
    given("unit", Text),
    given("supplier_code", Text),
    given("quantity", Milli),
    given("pack", Milli),
    given("per", Milli),
    given("price_minor", MoneyMinor),
    given("cut_charge_minor", MoneyMinor),
    given("carriage_class", Text),
    given("quoted", Text),
    given("price_from", IsoDate),
    Column("price_until", IsoDate),
    given("lead_days", Integer),
    Column("needed_on", IsoDate),
    given("comes_on", IsoDate),
    given("serials", Flag),
    given("family", Text),
    CheckConstraint("line >= 1", name="line_from_one"),
    CheckConstraint("quantity > 0", name="quantity_positive"),
    CheckConstraint("pack > 0", name="pack_positive"),
    CheckConstraint("per > 0", name="per_positive"),
    CheckConstraint("price_minor >= 0", name="price_not_negative"),
    CheckConstraint("cut_charge_minor >= 0", name="cut_charge_not_negative"),
    CheckConstraint("lead_days >= 0", name="lead_days_not_negative"),
    Index(None, "item_code"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)

# For which jobs a line is, and how much of it; the rest is for the shelf. `position` is the order
# in which the jobs are served.
PURCHASE_LINE_JOB = Table(
    "purchase_line_job", metadata,
    Column("order_number", Integer, primary_key=True, autoincrement=False),
    Column("line", Integer, primary_key=True, autoincrement=False),
    Column("position", Integer, primary_key=True, autoincrement=False),
    given("job_id", ForeignKey("job.id")),
    given("quantity", Milli),
    ForeignKeyConstraint(
        ["order_number", "line"], ["purchase_line.order_number", "purchase_line.line"]),
    CheckConstraint("quantity > 0", name="quantity_positive"),
    Index(None, "job_id"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)

# What became of an order beside its deliveries: what has not come is not wanted any more.
PURCHASE_EVENT = Table(
    "purchase_event", metadata,
    Column("id", Integer, primary_key=True),
    given("order_number", ForeignKey("purchase_order.number")),
    given("event", Text),
    given("at", UtcTime),
    given("by", Text),
    given("why", Text),
    CheckConstraint("event IN ('cancelled')", name="event_known"),
    Index(None, "order_number"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)

# What came in one go; `note` is the supplier's delivery note.
DELIVERY = Table(
    "delivery", metadata,
    Column("id", Integer, primary_key=True),
    given("order_number", ForeignKey("purchase_order.number")),
    given("on_date", IsoDate),
    given("note", Text),
    given("at", UtcTime),
    given("by", Text),
    Index(None, "order_number"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)

# What came of one line; `price_minor` was charged for the line's `per` units. `serials` are the
# serial numbers that were noted, one a line of text.
DELIVERY_LINE = Table(
    "delivery_line", metadata,
    Column("delivery_id", ForeignKey("delivery.id"), primary_key=True),
    Column("order_number", Integer, primary_key=True, autoincrement=False),
    Column("line", Integer, primary_key=True, autoincrement=False),
    given("good", Milli),
    given("damaged", Milli),
    given("price_minor", MoneyMinor),
    given("serials", Text),
    ForeignKeyConstraint(
        ["order_number", "line"], ["purchase_line.order_number", "purchase_line.line"]),
    CheckConstraint("good >= 0", name="good_not_negative"),
    CheckConstraint("damaged >= 0", name="damaged_not_negative"),
    CheckConstraint("good + damaged > 0", name="something_came"),
    CheckConstraint("price_minor >= 0", name="price_not_negative"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)
