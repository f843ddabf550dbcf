"""What happened on a job after its quote: days, variations, hours, bills, readings, payments.

Every row is written once; a mistake is taken back by a row of its own. Goods stand in the ledger of
stock, under `move.job_id`. Amounts are net of tax, in minor units of the job's currency.
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
    UniqueConstraint,
)

from catalogue.tables.base import WRITTEN_ONCE, given, metadata
from catalogue.tables.columns import Flag, IsoDate, Milli, MoneyMinor, UtcTime

# What a revision is about, as jobs are held side by side: one row for each revision. Words are
# those of the survey ("" = unknown or none); `hours` and the costs are what was reckoned, `area` is
# the first part of the postcode.
QUOTED = Table(
    "quoted", metadata,
    Column("job_id", Text, primary_key=True),
    Column("number", Integer, primary_key=True, autoincrement=False),
    given("kind_of_job", Text),
    given("covering", Text),
    given("wall", Text),
    given("estimator", Text),
    given("surveyor", Text),
    given("lead_source", Text),
    given("area", Text),
    Column("storeys", Integer),
    given("panels", Integer),
    given("modules", Integer),
    given("hours", Milli),
    given("direct_minor", MoneyMinor),
    given("cost_minor", MoneyMinor),
    given("valid_until", IsoDate),
    ForeignKeyConstraint(["job_id", "number"], ["revision.job_id", "revision.number"]),
    CheckConstraint("kind_of_job IN ('panels', 'storage', 'panels and storage', 'other')",
                    name="kind_of_job_known"),
    CheckConstraint("panels >= 0", name="panels_not_negative"),
    CheckConstraint("modules >= 0", name="modules_not_negative"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)

# What a revision was reckoned to cost, line by line; the lines add up to its full cost. Written
# when it is accepted or a variation agreed. `code` is an item or a norm ("" = neither),
# `task_group` that of a task, `quantity` in units of the item or hours of the task.
PLAN_LINE = Table(
    "plan_line", metadata,
    Column("job_id", Text, primary_key=True),
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("line", Integer, primary_key=True, autoincrement=False),
    given("kind", Text),
    given("head", Text),
    given("code", Text),
    given("task_group", Text),
    given("supplier", Text),
    given("quantity", Milli),
    given("amount_minor", MoneyMinor),
    ForeignKeyConstraint(["job_id", "number"], ["revision.job_id", "revision.number"]),
    CheckConstraint("kind IN ('goods', 'bought in', 'labour', 'overhead', 'provision')",
                    name="kind_known"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)

# What happened to a job, and on which day. Of 'planned', 'begun' and 'commissioned' the newest row
# holds; `crew` is who is to do it or does it. `chance_percent` is how likely the customer takes it.
JOB_DAY = Table(
    "job_day", metadata,
    Column("id", Integer, primary_key=True),
    given("job_id", ForeignKey("job.id")),
    given("what", Text),
    given("on_date", IsoDate),
    given("crew", Text),
    Column("chance_percent", Integer),
    given("at", UtcTime),
    given("by", Text),
    given("why", Text),
    CheckConstraint("what IN ('sent', 'contacted', 'planned', 'begun', 'commissioned')",
                    name="what_known"),
    CheckConstraint("chance_percent BETWEEN 0 AND 100", name="chance_is_a_percentage"),
    Index(None, "job_id"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)

# Something found on the job that changes it. `number` counts within the job; `changes` are the
# facts as they are now, one `path = value` a line. It leads from one revision to another, priced
# with what the first was priced with; `price_minor` is what the customer pays for it (0 = not
# chargeable).
VARIATION = Table(
    "variation", metadata,
    Column("job_id", ForeignKey("job.id"), primary_key=True),
    Column("number", Integer, primary_key=True, autoincrement=False),
    given("found", Text),
    given("photo", Text),
    given("reason", Text),
    given("changes", Text),
    given("before_revision", Integer),
    given("after_revision", Integer),
    given("chargeable", Flag),
    given("cost_minor", MoneyMinor),
    given("price_minor", MoneyMinor),
    given("at", UtcTime),
    given("by", Text),
    ForeignKeyConstraint(["job_id", "before_revision"], ["revision.job_id", "revision.number"]),
    ForeignKeyConstraint(["job_id", "after_revision"], ["revision.job_id", "revision.number"]),
    CheckConstraint("reason IN ('missed at survey', 'customer change', 'hidden', 'network', "
                    "'supplier', 'our error')", name="reason_known"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)

# What the customer said of a variation, and in which writing.
VARIATION_EVENT = Table(
    "variation_event", metadata,
    Column("id", Integer, primary_key=True),
    given("job_id", Text),
    given("number", Integer),
    given("event", Text),
    given("on_date", IsoDate),
    given("writing", Text),
    given("at", UtcTime),
    given("by", Text),
    ForeignKeyConstraint(["job_id", "number"], ["variation.job_id", "variation.number"]),
    CheckConstraint("event IN ('agreed', 'refused')", name="event_known"),
    Index(None, "job_id"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)

# One file of hours that was read; the digest is the SHA-256 of the file.
TIME_FILE = Table(
    "time_file", metadata,
    Column("id", Integer, primary_key=True),
    given("file_name", Text),
    given("digest", Text),
    given("at", UtcTime),
    given("by", Text),
    UniqueConstraint("digest"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)

# What somebody worked at one thing. `row` is the line of the file (0 = entered by hand). `task` is
# a norm ("" = only the group is known), `cause` why somebody waited or did it again. Minutes below
# zero take back the line `takes_back`. `overhead_minor` is the office's share of these hours.
TIME_LINE = Table(
    "time_line", metadata,
    Column("id", Integer, primary_key=True),
    Column("file_id", ForeignKey("time_file.id")),
    given("row", Integer),
    given("job_id", ForeignKey("job.id")),
    given("person", Text),
    given("crew", Text),
    given("on_date", IsoDate),
    given("begun", Text),
    given("ended", Text),
    given("minutes", Integer),
    given("task_group", Text),
    given("task", Text),
    given("cause", Text),
    given("rate_minor", MoneyMinor),
    given("amount_minor", MoneyMinor),
    given("overhead_minor", MoneyMinor),
    Column("takes_back", ForeignKey("time_line.id")),
    given("at", UtcTime),
    given("by", Text),
    CheckConstraint("minutes <> 0", name="minutes_not_zero"),
    CheckConstraint("task_group IN ('roof', 'electrical', 'storage', 'site', 'travel', 'waiting', "
                    "'office', 'rework')", name="task_group_known"),
    UniqueConstraint("takes_back"),
    Index(None, "job_id"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)

# One invoice or credit note; what a credit note gives back is below zero. `digest` is that of the
# file that it was read from ("" = entered by hand).
INVOICE = Table(
    "invoice", metadata,
    Column("id", Integer, primary_key=True),
    given("kind", Text),
    given("supplier", Text),
    given("number", Text),
    given("on_date", IsoDate),
    Column("due_on", IsoDate),
    given("currency", Text),
    given("net_minor", MoneyMinor),
    given("tax_minor", MoneyMinor),
    given("file_name", Text),
    given("digest", Text),
    given("at", UtcTime),
    given("by", Text),
    CheckConstraint("kind IN ('invoice', 'credit note')", name="kind_known"),
    CheckConstraint("length(currency) = 3", name="currency_of_three_letters"),
    UniqueConstraint("supplier", "number"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)

# One line of it. `net_minor` is what it charges; `cost_minor` what of that is a cost of the job
# beside what the ledger of stock holds already: of goods that were taken in by an order only the
# difference to what they were taken in at. Without a job it is a cost of the firm.
INVOICE_LINE = Table(
    "invoice_line", metadata,
    Column("invoice_id", ForeignKey("invoice.id"), primary_key=True),
    Column("line", Integer, primary_key=True, autoincrement=False),
    given("kind", Text),
    given("head", Text),
    Column("job_id", ForeignKey("job.id")),
    Column("order_number", ForeignKey("purchase_order.number")),
    Column("order_line", Integer),
    Column("item_code", ForeignKey("item.code")),
    given("name", Text),
    given("quantity", Milli),
    given("net_minor", MoneyMinor),
    given("cost_minor", MoneyMinor),
    CheckConstraint("kind IN ('goods', 'carriage', 'plant', 'subcontract', 'fees', 'other')",
                    name="kind_known"),
    Index(None, "job_id"),
    Index(None, "order_number"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)

# What the customer paid, or was paid back (below zero).
CUSTOMER_PAYMENT = Table(
    "customer_payment", metadata,
    Column("id", Integer, primary_key=True),
    given("job_id", ForeignKey("job.id")),
    given("what", Text),
    given("on_date", IsoDate),
    given("amount_minor", MoneyMinor),
    given("at", UtcTime),
    given("by", Text),
    CheckConstraint("amount_minor <> 0", name="amount_not_zero"),
    Index(None, "job_id"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)

# One reading or tick of a job's close-out; the newest of its code and subject holds. `value` is as
# it was read, in `unit`; `not_tested` is the reason why there is none ("" = it was tested).
# `verdict` holds it against what was expected when it was entered; `accepted_because` is why one
# that is not as expected may stand, by whom that says (`by`).
READING = Table(
    "reading", metadata,
    Column("id", Integer, primary_key=True),
    given("job_id", ForeignKey("job.id")),
    given("code", Text),
    given("subject", Text),
    given("value", Text),
    given("unit", Text),
    given("not_tested", Text),
    given("verdict", Text),
    Column("accepted_because", Text, nullable=False, server_default=""),
    given("instrument", Text),
    Column("calibrated_on", IsoDate),
    given("conditions", Text),
    Column("remark", Text, nullable=False, server_default=""),
    given("on_date", IsoDate),
    given("at", UtcTime),
    given("by", Text),
    CheckConstraint("verdict IN ('as expected', 'not as expected', 'noted', 'not tested')",
                    name="verdict_known"),
    CheckConstraint("(not_tested = '') <> (verdict = 'not tested')", name="not_tested_has_reason"),
    CheckConstraint("(value = '') = (verdict = 'not tested')", name="tested_has_value"),
    CheckConstraint("accepted_because = '' OR verdict = 'not as expected'",
                    name="only_what_is_amiss_is_accepted"),
    Index(None, "job_id"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)
