"""An end of a stick is a lot with a length of its own."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None

CHECK, LONGER = "ck_lot_length_positive", "length_mm > 0"


def upgrade() -> None:
    if op.get_bind().dialect.name == "sqlite":  # it cannot add a check to a table that is there
        op.execute("ALTER TABLE lot ADD COLUMN length_mm INTEGER "
                   f"CONSTRAINT {CHECK} CHECK ({LONGER})")
        return
    op.add_column("lot", sa.Column("length_mm", sa.Integer()))
    op.create_check_constraint(op.f(CHECK), "lot", LONGER)


def downgrade() -> None:
    if op.get_bind().dialect.name != "sqlite":
        op.drop_constraint(op.f(CHECK), "lot", type_="check")
    op.drop_column("lot", "length_mm")
