"""When the shelf of an item is filled up, and in which lots."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

LARGE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
MOMENT = sa.DateTime(timezone=True).with_variant(sa.Text(), "sqlite")


def upgrade() -> None:
    op.create_table(
        "shelf_rule",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("item_code", sa.Text(), nullable=False),
        sa.Column("least", LARGE, nullable=False),
        sa.Column("order_quantity", LARGE, nullable=False),
        sa.Column("at", MOMENT, nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_shelf_rule"),
        sa.ForeignKeyConstraint(["item_code"], ["item.code"], name="fk_shelf_rule_item_code_item"),
        sa.CheckConstraint("least >= 0", name="least_not_negative"),
        sa.CheckConstraint("order_quantity >= 0", name="order_quantity_not_negative"),
        sqlite_strict=True,
    )
    op.create_index("ix_shelf_rule_item_code", "shelf_rule", ["item_code"])


def downgrade() -> None:
    op.drop_table("shelf_rule")
