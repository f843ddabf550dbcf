"""What happens on a job after its quote: days, variations, hours, bills, readings, payments."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None

LARGE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
DAY = sa.Date().with_variant(sa.Text(), "sqlite")
MOMENT = sa.DateTime(timezone=True).with_variant(sa.Text(), "sqlite")
FLAG = sa.Boolean().with_variant(sa.Integer(), "sqlite")


def upgrade() -> None:
    op.create_table(
        "invoice",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("supplier", sa.Text(), nullable=False),
        sa.Column("number", sa.Text(), nullable=False),
        sa.Column("on_date", DAY, nullable=False),
        sa.Column("due_on", DAY),
        sa.Column("currency", sa.Text(), nullable=False),
        sa.Column("net_minor", LARGE, nullable=False),
        sa.Column("tax_minor", LARGE, nullable=False),
        sa.Column("file_name", sa.Text(), nullable=False),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("at", MOMENT, nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.CheckConstraint("kind IN ('invoice', 'credit note')", name="kind_known"),
        sa.CheckConstraint("length(currency) = 3", name="currency_of_three_letters"),
        sa.PrimaryKeyConstraint("id", name="pk_invoice"),
        sa.UniqueConstraint("supplier", "number", name="uq_invoice_supplier_number"),
        sqlite_strict=True,
    )
    op.create_table(
        "time_file",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("file_name", sa.Text(), nullable=False),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("at", MOMENT, nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_time_file"),
        sa.UniqueConstraint("digest", name="uq_time_file_digest"),
        sqlite_strict=True,
    )
    op.create_table(
        "customer_payment",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Text(), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("on_date", DAY, nullable=False),
        sa.Column("amount_minor", LARGE, nullable=False),
        sa.Column("at", MOMENT, nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.CheckConstraint("amount_minor <> 0", name="amount_not_zero"),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name="fk_customer_payment_job_id_job"),
        sa.PrimaryKeyConstraint("id", name="pk_customer_payment"),
        sqlite_strict=True,
    )
    op.create_index("ix_customer_payment_job_id", "customer_payment", ["job_id"])
    op.create_table(
        "job_day",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Text(), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("on_date", DAY, nullable=False),
        sa.Column("crew", sa.Text(), nullable=False),
        sa.Column("chance_percent", sa.Integer()),
        sa.Column("at", MOMENT, nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.CheckConstraint("what IN ('sent', 'contacted', 'planned', 'begun', 'commissioned')",
                           name="what_known"),
        sa.CheckConstraint("chance_percent BETWEEN 0 AND 100", name="chance_is_a_percentage"),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name="fk_job_day_job_id_job"),
        sa.PrimaryKeyConstraint("id", name="pk_job_day"),
        sqlite_strict=True,
    )
    op.create_index("ix_job_day_job_id", "job_day", ["job_id"])
    op.create_table(
        "reading",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Text(), nullable=False),
        sa.Column("code", sa.Text(), nullable=False),
        sa.Column("subject", sa.Text(), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.Column("unit", sa.Text(), nullable=False),
        sa.Column("not_tested", sa.Text(), nullable=False),
        sa.Column("verdict", sa.Text(), nullable=False),
        sa.Column("instrument", sa.Text(), nullable=False),
        sa.Column("calibrated_on", DAY),
        sa.Column("conditions", sa.Text(), nullable=False),
        sa.Column("on_date", DAY, nullable=False),
        sa.Column("at", MOMENT, nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.CheckConstraint("(not_tested = '') <> (verdict = 'not tested')",
                           name="not_tested_has_reason"),
        sa.CheckConstraint("(value = '') = (verdict = 'not tested')", name="tested_has_value"),
        sa.CheckConstraint("verdict IN ('as expected', 'not as expected', 'noted', 'not tested')",
                           name="verdict_known"),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name="fk_reading_job_id_job"),
        sa.PrimaryKeyConstraint("id", name="pk_reading"),
        sqlite_strict=True,
    )
    op.create_index("ix_reading_job_id", "reading", ["job_id"])
    op.create_table(
        "time_line",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("file_id", sa.Integer()),
        sa.Column("row", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Text(), nullable=False),
        sa.Column("person", sa.Text(), nullable=False),
        sa.Column("crew", sa.Text(), nullable=False),
        sa.Column("on_date", DAY, nullable=False),
        sa.Column("begun", sa.Text(), nullable=False),
        sa.Column("ended", sa.Text(), nullable=False),
        sa.Column("minutes", sa.Integer(), nullable=False),
        sa.Column("task_group", sa.Text(), nullable=False),
        sa.Column("task", sa.Text(), nullable=False),
        sa.Column("cause", sa.Text(), nullable=False),
        sa.Column("rate_minor", LARGE, nullable=False),
        sa.Column("amount_minor", LARGE, nullable=False),
        sa.Column("overhead_minor", LARGE, nullable=False),
        sa.Column("takes_back", sa.Integer()),
        sa.Column("at", MOMENT, nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.CheckConstraint(
            "task_group IN ('roof', 'electrical', 'storage', 'site', 'travel', "
            "'waiting', 'office', 'rework')", name="task_group_known"),
        sa.CheckConstraint("minutes <> 0", name="minutes_not_zero"),
        sa.ForeignKeyConstraint(
            ["file_id"], ["time_file.id"], name="fk_time_line_file_id_time_file"),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name="fk_time_line_job_id_job"),
        sa.ForeignKeyConstraint(
            ["takes_back"], ["time_line.id"], name="fk_time_line_takes_back_time_line"),
        sa.PrimaryKeyConstraint("id", name="pk_time_line"),
        sa.UniqueConstraint("takes_back", name="uq_time_line_takes_back"),
        sqlite_strict=True,
    )
    op.create_index("ix_time_line_job_id", "time_line", ["job_id"])
    op.create_table(
        "invoice_line",
        sa.Column("invoice_id", sa.Integer(), nullable=False),
        sa.Column("line", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("head", sa.Text(), nullable=False),
        sa.Column("job_id", sa.Text()),
        sa.Column("order_number", sa.Integer()),
        sa.Column("order_line", sa.Integer()),
        sa.Column("item_code", sa.Text()),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("quantity", LARGE, nullable=False),
        sa.Column("net_minor", LARGE, nullable=False),
        sa.Column("cost_minor", LARGE, nullable=False),
        sa.CheckConstraint("kind IN ('goods', 'carriage', 'plant', 'subcontract', 'fees', 'other')",
                           name="kind_known"),
        sa.ForeignKeyConstraint(
            ["invoice_id"], ["invoice.id"], name="fk_invoice_line_invoice_id_invoice"),
        sa.ForeignKeyConstraint(
            ["item_code"], ["item.code"], name="fk_invoice_line_item_code_item"),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name="fk_invoice_line_job_id_job"),
        sa.ForeignKeyConstraint(
            ["order_number"], ["purchase_order.number"],
            name="fk_invoice_line_order_number_purchase_order"),
        sa.PrimaryKeyConstraint("invoice_id", "line", name="pk_invoice_line"),
        sqlite_strict=True,
    )
    op.create_index("ix_invoice_line_job_id", "invoice_line", ["job_id"])
    op.create_index("ix_invoice_line_order_number", "invoice_line", ["order_number"])
    op.create_table(
        "plan_line",
        sa.Column("job_id", sa.Text(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("line", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("head", sa.Text(), nullable=False),
        sa.Column("code", sa.Text(), nullable=False),
        sa.Column("task_group", sa.Text(), nullable=False),
        sa.Column("supplier", sa.Text(), nullable=False),
        sa.Column("quantity", LARGE, nullable=False),
        sa.Column("amount_minor", LARGE, nullable=False),
        sa.CheckConstraint("kind IN ('goods', 'bought in', 'labour', 'overhead', 'provision')",
                           name="kind_known"),
        sa.ForeignKeyConstraint(
            ["job_id", "number"], ["revision.job_id", "revision.number"],
            name="fk_plan_line_job_id_number_revision"),
        sa.PrimaryKeyConstraint("job_id", "number", "line", name="pk_plan_line"),
        sqlite_strict=True,
    )
    op.create_table(
        "quoted",
        sa.Column("job_id", sa.Text(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("kind_of_job", sa.Text(), nullable=False),
        sa.Column("covering", sa.Text(), nullable=False),
        sa.Column("wall", sa.Text(), nullable=False),
        sa.Column("estimator", sa.Text(), nullable=False),
        sa.Column("surveyor", sa.Text(), nullable=False),
        sa.Column("lead_source", sa.Text(), nullable=False),
        sa.Column("area", sa.Text(), nullable=False),
        sa.Column("storeys", sa.Integer()),
        sa.Column("panels", sa.Integer(), nullable=False),
        sa.Column("modules", sa.Integer(), nullable=False),
        sa.Column("hours", LARGE, nullable=False),
        sa.Column("direct_minor", LARGE, nullable=False),
        sa.Column("cost_minor", LARGE, nullable=False),
        sa.Column("valid_until", DAY, nullable=False),
        sa.CheckConstraint("kind_of_job IN ('panels', 'storage', 'panels and storage', 'other')",
                           name="kind_of_job_known"),
        sa.CheckConstraint("modules >= 0", name="modules_not_negative"),
        sa.CheckConstraint("panels >= 0", name="panels_not_negative"),
        sa.ForeignKeyConstraint(
            ["job_id", "number"], ["revision.job_id", "revision.number"],
            name="fk_quoted_job_id_number_revision"),
        sa.PrimaryKeyConstraint("job_id", "number", name="pk_quoted"),
        sqlite_strict=True,
    )
    op.create_table(
        "variation",
        sa.Column("job_id", sa.Text(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("found", sa.Text(), nullable=False),
        sa.Column("photo", sa.Text(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("changes", sa.Text(), nullable=False),
        sa.Column("before_revision", sa.Integer(), nullable=False),
        sa.Column("after_revision", sa.Integer(), nullable=False),
        sa.Column("chargeable", FLAG, nullable=False),
        sa.Column("cost_minor", LARGE, nullable=False),
        sa.Column("price_minor", LARGE, nullable=False),
        sa.Column("at", MOMENT, nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.CheckConstraint(
            "reason IN ('missed at survey', 'customer change', 'hidden', "
            "'network', 'supplier', 'our error')", name="reason_known"),
        sa.ForeignKeyConstraint(
            ["job_id", "after_revision"], ["revision.job_id", "revision.number"],
            name="fk_variation_job_id_after_revision_revision"),
        sa.ForeignKeyConstraint(
            ["job_id", "before_revision"], ["revision.job_id", "revision.number"],
            name="fk_variation_job_id_before_revision_revision"),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name="fk_variation_job_id_job"),
        sa.PrimaryKeyConstraint("job_id", "number", name="pk_variation"),
        sqlite_strict=True,
    )
    op.create_table(
        "variation_event",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Text(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("event", sa.Text(), nullable=False),
        sa.Column("on_date", DAY, nullable=False),
        sa.Column("writing", sa.Text(), nullable=False),
        sa.Column("at", MOMENT, nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.CheckConstraint("event IN ('agreed', 'refused')", name="event_known"),
        sa.ForeignKeyConstraint(
            ["job_id", "number"], ["variation.job_id", "variation.number"],
            name="fk_variation_event_job_id_number_variation"),
        sa.PrimaryKeyConstraint("id", name="pk_variation_event"),
        sqlite_strict=True,
    )
    op.create_index("ix_variation_event_job_id", "variation_event", ["job_id"])


def downgrade() -> None:
    op.drop_table("variation_event")
    op.drop_table("variation")
    op.drop_table("quoted")
    op.drop_table("plan_line")
    op.drop_table("invoice_line")
    op.drop_table("time_line")
    op.drop_table("reading")
    op.drop_table("job_day")
    op.drop_table("customer_payment")
    op.drop_table("time_file")
    op.drop_table("invoice")
