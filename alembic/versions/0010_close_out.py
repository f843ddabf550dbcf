"""Close-out sheets, and why a reading that is not as expected may stand."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None

MOMENT = sa.DateTime(timezone=True).with_variant(sa.Text(), "sqlite")
CHECK = "ck_reading_only_what_is_amiss_is_accepted"
AMISS = "accepted_because = '' OR verdict = 'not as expected'"


def upgrade() -> None:
    _columns_of_readings()
    op.create_table(
        "close_out_sheet",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Text(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("sheet_json", sa.Text(), nullable=False),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("issued_at", MOMENT, nullable=False),
        sa.CheckConstraint("number >= 1", name="number_from_one"),
        sa.ForeignKeyConstraint(
            ["job_id", "revision"], ["revision.job_id", "revision.number"],
            name="fk_close_out_sheet_job_id_revision_revision"),
        sa.PrimaryKeyConstraint("id", name="pk_close_out_sheet"),
        sa.UniqueConstraint("job_id", "number", name="uq_close_out_sheet_job_id_number"),
        sqlite_strict=True,
    )
    op.create_table(
        "close_out_read",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("sheet_id", sa.Integer(), nullable=False),
        sa.Column("marks_json", sa.Text(), nullable=False),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("at", MOMENT, nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["sheet_id"], ["close_out_sheet.id"],
            name="fk_close_out_read_sheet_id_close_out_sheet"),
        sa.PrimaryKeyConstraint("id", name="pk_close_out_read"),
        sqlite_strict=True,
    )
    op.create_index("ix_close_out_read_sheet_id", "close_out_read", ["sheet_id"])


def _columns_of_readings() -> None:
    op.add_column("reading", sa.Column("remark", sa.Text(), server_default="", nullable=False))
    if op.get_bind().dialect.name == "sqlite":  # it cannot add a check to a table that is there
        op.execute("ALTER TABLE reading ADD COLUMN accepted_because TEXT DEFAULT '' NOT NULL "
                   f"CONSTRAINT {CHECK} CHECK ({AMISS})")
        return
    op.add_column(
        "reading", sa.Column("accepted_because", sa.Text(), server_default="", nullable=False))
    op.create_check_constraint(op.f(CHECK), "reading", AMISS)


def downgrade() -> None:
    op.drop_table("close_out_read")
    op.drop_table("close_out_sheet")
    if op.get_bind().dialect.name != "sqlite":
        op.drop_constraint(op.f(CHECK), "reading", type_="check")
    op.drop_column("reading", "accepted_because")
    op.drop_column("reading", "remark")
