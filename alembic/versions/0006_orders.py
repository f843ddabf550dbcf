"""Purchase orders with their lines, what became of them, and what was delivered."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None

LARGE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
FLAG = sa.Boolean().with_variant(sa.Integer(), "sqlite")
DAY = sa.Date().with_variant(sa.Text(), "sqlite")
MOMENT = sa.DateTime(timezone=True).with_variant(sa.Text(), "sqlite")
STRICT = {"sqlite_strict": True}


def upgrade() -> None:
    _orders()
    _lines()
    _events()
    _deliveries()


def _to(table: str, column: str, other: str, key: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(
        [column], [f"{other}.{key}"], name=f"fk_{table}_{column}_{other}")


def _to_line(table: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(
        ["order_number", "line"], ["purchase_line.order_number", "purchase_line.line"],
        name=f"fk_{table}_order_number_line_purchase_line")


def _orders() -> None:
    op.create_table(
        "purchase_order",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("supplier", sa.Text(), nullable=False),
        sa.Column("on_date", DAY, nullable=False),
        sa.Column("wanted_on", DAY),
        sa.Column("currency", sa.Text(), nullable=False),
        sa.Column("carriage_minor", LARGE, nullable=False),
        sa.Column("least_minor", LARGE, nullable=False),
        sa.Column("advised_minor", LARGE, nullable=False),
        sa.Column("to_place", sa.Text(), nullable=False),
        sa.Column("job_id", sa.Text()),
        sa.Column("address", sa.Text(), nullable=False),
        sa.Column("receiver", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("at", MOMENT, nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("number", name="pk_purchase_order"),
        _to("purchase_order", "supplier", "supplier", "name"),
        _to("purchase_order", "to_place", "place", "name"),
        _to("purchase_order", "job_id", "job", "id"),
        sa.CheckConstraint("carriage_minor >= 0", name="carriage_not_negative"),
        sa.CheckConstraint("length(currency) = 3", name="currency_of_three_letters"),
        **STRICT,
    )


def _lines() -> None:
    op.create_table(
        "purchase_line",
        sa.Column("order_number", sa.Integer(), nullable=False),
        sa.Column("line", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("item_code", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("unit", sa.Text(), nullable=False),
        sa.Column("supplier_code", sa.Text(), nullable=False),
        sa.Column("quantity", LARGE, nullable=False),
        sa.Column("pack", LARGE, nullable=False),
        sa.Column("per", LARGE, nullable=False),
        sa.Column("price_minor", LARGE, nullable=False),
        sa.Column("cut_charge_minor", LARGE, nullable=False),
        sa.Column("carriage_class", sa.Text(), nullable=False),
        sa.Column("quoted", sa.Text(), nullable=False),
        sa.Column("price_from", DAY, nullable=False),
        sa.Column("price_until", DAY),
        sa.Column("lead_days", sa.Integer(), nullable=False),
        sa.Column("needed_on", DAY),
        sa.Column("comes_on", DAY, nullable=False),
        sa.Column("serials", FLAG, nullable=False),
        sa.Column("family", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("order_number", "line", name="pk_purchase_line"),
        _to("purchase_line", "order_number", "purchase_order", "number"),
        _to("purchase_line", "item_code", "item", "code"),
        sa.CheckConstraint("line >= 1", name="line_from_one"),
        sa.CheckConstraint("quantity > 0", name="quantity_positive"),
        sa.CheckConstraint("pack > 0", name="pack_positive"),
        sa.CheckConstraint("per > 0", name="per_positive"),
        sa.CheckConstraint("price_minor >= 0", name="price_not_negative"),
        sa.CheckConstraint("cut_charge_minor >= 0", name="cut_charge_not_negative"),
        sa.CheckConstraint("lead_days >= 0", name="lead_days_not_negative"),
        **STRICT,
    )
    op.create_index("ix_purchase_line_item_code", "purchase_line", ["item_code"])
    op.create_table(
        "purchase_line_job",
        sa.Column("order_number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("line", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("job_id", sa.Text(), nullable=False),
        sa.Column("quantity", LARGE, nullable=False),
        sa.PrimaryKeyConstraint("order_number", "line", "position", name="pk_purchase_line_job"),
        _to_line("purchase_line_job"),
        _to("purchase_line_job", "job_id", "job", "id"),
        sa.CheckConstraint("quantity > 0", name="quantity_positive"),
        **STRICT,
    )
    op.create_index("ix_purchase_line_job_job_id", "purchase_line_job", ["job_id"])


def _events() -> None:
    op.create_table(
        "purchase_event",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("order_number", sa.Integer(), nullable=False),
        sa.Column("event", sa.Text(), nullable=False),
        sa.Column("at", MOMENT, nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_purchase_event"),
        _to("purchase_event", "order_number", "purchase_order", "number"),
        sa.CheckConstraint("event IN ('cancelled')", name="event_known"),
        **STRICT,
    )
    op.create_index("ix_purchase_event_order_number", "purchase_event", ["order_number"])


def _deliveries() -> None:
    op.create_table(
        "delivery",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("order_number", sa.Integer(), nullable=False),
        sa.Column("on_date", DAY, nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("at", MOMENT, nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_delivery"),
        _to("delivery", "order_number", "purchase_order", "number"),
        **STRICT,
    )
    op.create_index("ix_delivery_order_number", "delivery", ["order_number"])
    op.create_table(
        "delivery_line",
        sa.Column("delivery_id", sa.Integer(), nullable=False),
        sa.Column("order_number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("line", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("good", LARGE, nullable=False),
        sa.Column("damaged", LARGE, nullable=False),
        sa.Column("price_minor", LARGE, nullable=False),
        sa.Column("serials", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("delivery_id", "order_number", "line", name="pk_delivery_line"),
        _to("delivery_line", "delivery_id", "delivery", "id"),
        _to_line("delivery_line"),
        sa.CheckConstraint("good >= 0", name="good_not_negative"),
        sa.CheckConstraint("damaged >= 0", name="damaged_not_negative"),
        sa.CheckConstraint("good + damaged > 0", name="something_came"),
        sa.CheckConstraint("price_minor >= 0", name="price_not_negative"),
        **STRICT,
    )


def downgrade() -> None:
    for table in ("delivery_line", "delivery", "purchase_event", "purchase_line_job",
                  "purchase_line", "purchase_order"):
        op.drop_table(table)
