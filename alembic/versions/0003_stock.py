"""Places, lots, the ledger of moves with what it comes to, and reservations."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

LARGE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
DAY = sa.Date().with_variant(sa.Text(), "sqlite")
MOMENT = sa.DateTime(timezone=True).with_variant(sa.Text(), "sqlite")
STRICT = {"sqlite_strict": True}


def upgrade() -> None:
    _places()
    _moves()
    _what_they_come_to()
    _reservations()


def _to(table: str, column: str, other: str, key: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(
        [column], [f"{other}.{key}"], name=f"fk_{table}_{column}_{other}")


def _places() -> None:
    op.create_table(
        "place",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_place"),
        sa.CheckConstraint("name <> ''", name="name_given"),
        sa.CheckConstraint(
            "kind IN ('store', 'van', 'site', 'counter', 'quarantine')", name="kind_known"),
        **STRICT,
    )
    op.create_table(
        "lot",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("item_code", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("expires_on", DAY),
        sa.Column("cut_from", sa.Text()),
        sa.Column("made_at", MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_lot"),
        _to("lot", "item_code", "item", "code"),
        _to("lot", "cut_from", "lot", "id"),
        sa.CheckConstraint("id <> ''", name="id_given"),
        sa.CheckConstraint("kind IN ('length', 'batch', 'serial')", name="kind_known"),
        **STRICT,
    )
    op.create_index("ix_lot_item_code", "lot", ["item_code"])


def _moves() -> None:
    op.create_table(
        "move",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("item_code", sa.Text(), nullable=False),
        sa.Column("lot_id", sa.Text()),
        sa.Column("quantity", LARGE, nullable=False),
        sa.Column("from_place", sa.Text()),
        sa.Column("to_place", sa.Text()),
        sa.Column("job_id", sa.Text()),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("value_minor", LARGE),
        sa.Column("at", MOMENT, nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_move"),
        _to("move", "item_code", "item", "code"),
        _to("move", "lot_id", "lot", "id"),
        _to("move", "from_place", "place", "name"),
        _to("move", "to_place", "place", "name"),
        _to("move", "job_id", "job", "id"),
        sa.CheckConstraint("quantity > 0", name="quantity_positive"),
        sa.CheckConstraint("value_minor >= 0", name="value_not_negative"),
        sa.CheckConstraint("from_place IS NOT NULL OR to_place IS NOT NULL", name="somewhere"),
        sa.CheckConstraint("from_place <> to_place", name="elsewhere"),
        **STRICT,
    )
    op.create_index("ix_move_item_code", "move", ["item_code"])
    op.create_index("ix_move_job_id", "move", ["job_id"])


def _what_they_come_to() -> None:
    op.create_table(
        "level",
        sa.Column("item_code", sa.Text(), nullable=False),
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("lot_id", sa.Text(), nullable=False),
        sa.Column("quantity", LARGE, nullable=False),
        sa.PrimaryKeyConstraint("item_code", "place", "lot_id", name="pk_level"),
        _to("level", "item_code", "item", "code"),
        _to("level", "place", "place", "name"),
        sa.CheckConstraint("quantity >= 0", name="quantity_not_negative"),
        **STRICT,
    )
    op.create_table(
        "worth",
        sa.Column("item_code", sa.Text(), nullable=False),
        sa.Column("quantity", LARGE, nullable=False),
        sa.Column("value_minor", LARGE, nullable=False),
        sa.PrimaryKeyConstraint("item_code", name="pk_worth"),
        _to("worth", "item_code", "item", "code"),
        sa.CheckConstraint("quantity >= 0", name="quantity_not_negative"),
        sa.CheckConstraint("value_minor >= 0", name="value_not_negative"),
        **STRICT,
    )


def _reservations() -> None:
    op.create_table(
        "reservation",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("item_code", sa.Text(), nullable=False),
        sa.Column("quantity", LARGE, nullable=False),
        sa.Column("needed_on", DAY, nullable=False),
        sa.Column("at", MOMENT, nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_reservation"),
        _to("reservation", "item_code", "item", "code"),
        sa.ForeignKeyConstraint(
            ["job_id", "revision"], ["revision.job_id", "revision.number"],
            name="fk_reservation_job_id_revision_revision"),
        sa.CheckConstraint("quantity <> 0", name="quantity_not_zero"),
        **STRICT,
    )
    op.create_index("ix_reservation_job_id", "reservation", ["job_id"])
    op.create_index("ix_reservation_item_code", "reservation", ["item_code"])


def downgrade() -> None:
    for table in ("reservation", "worth", "level", "move", "lot", "place"):
        op.drop_table(table)
