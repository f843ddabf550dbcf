"""Sheets that were issued to be written on, and those that were read back."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

MOMENT = sa.DateTime(timezone=True).with_variant(sa.Text(), "sqlite")
STRICT = {"sqlite_strict": True}


def upgrade() -> None:
    op.create_table(
        "stock_sheet",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Text(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("sheet_json", sa.Text(), nullable=False),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("issued_at", MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_stock_sheet"),
        sa.ForeignKeyConstraint(
            ["job_id", "revision"], ["revision.job_id", "revision.number"],
            name="fk_stock_sheet_job_id_revision_revision"),
        sa.UniqueConstraint("job_id", "number", name="uq_stock_sheet_job_id_number"),
        sa.CheckConstraint("number >= 1", name="number_from_one"),
        sa.CheckConstraint("kind IN ('pick', 'back')", name="kind_known"),
        **STRICT,
    )
    op.create_table(
        "stock_sheet_read",
        sa.Column("sheet_id", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("marks_json", sa.Text(), nullable=False),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("at", MOMENT, nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("sheet_id", name="pk_stock_sheet_read"),
        sa.ForeignKeyConstraint(
            ["sheet_id"], ["stock_sheet.id"],
            name="fk_stock_sheet_read_sheet_id_stock_sheet"),
        **STRICT,
    )


def downgrade() -> None:
    op.drop_table("stock_sheet_read")
    op.drop_table("stock_sheet")
