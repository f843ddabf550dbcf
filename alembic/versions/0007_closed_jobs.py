"""A job may be closed: what it used is back from the site and settled."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

MOMENT = sa.DateTime(timezone=True).with_variant(sa.Text(), "sqlite")
BEFORE = "event IN ('accepted', 'declined', 'reopened')"
AFTER = "event IN ('accepted', 'declined', 'reopened', 'closed')"
COLUMNS = "id, job_id, revision, event, at, by, why"


def upgrade() -> None:
    _known_events(AFTER)


def downgrade() -> None:
    # What was closed was accepted before, and stands there as accepted again.
    op.execute("DELETE FROM job_event WHERE event = 'closed'")
    _known_events(BEFORE)


def _known_events(check: str) -> None:
    if op.get_bind().dialect.name != "sqlite":
        op.drop_constraint(op.f("ck_job_event_event_known"), "job_event", type_="check")
        op.create_check_constraint("event_known", "job_event", check)
        return
    # SQLite cannot change a check, so the table is written anew.
    op.drop_index("ix_job_event_job_id", "job_event")
    op.create_table(
        "job_event_anew",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("event", sa.Text(), nullable=False),
        sa.Column("at", MOMENT, nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_job_event"),
        sa.ForeignKeyConstraint(
            ["job_id", "revision"], ["revision.job_id", "revision.number"],
            name="fk_job_event_job_id_revision_revision"),
        sa.CheckConstraint(check, name=op.f("ck_job_event_event_known")),
        sqlite_strict=True,
    )
    op.execute(f"INSERT INTO job_event_anew ({COLUMNS}) SELECT {COLUMNS} FROM job_event")
    op.drop_table("job_event")
    op.rename_table("job_event_anew", "job_event")
    op.create_index("ix_job_event_job_id", "job_event", ["job_id"])
