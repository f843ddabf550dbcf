"""Items, boxes, suppliers, offers, jobs and revisions."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

# A STRICT table of SQLite knows INTEGER and TEXT only; other engines get the fitting type.
LARGE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
FLAG = sa.Boolean().with_variant(sa.Integer(), "sqlite")
DAY = sa.Date().with_variant(sa.Text(), "sqlite")
MOMENT = sa.DateTime(timezone=True).with_variant(sa.Text(), "sqlite")
STRICT = {"sqlite_strict": True}


def upgrade() -> None:
    _items()
    _offers()
    _jobs()
    op.create_table(
        "firm_meta",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_firm_meta"),
        sa.CheckConstraint("name <> ''", name="name_given"),
        **STRICT,
    )


def _items() -> None:
    op.create_table(
        "item",
        sa.Column("code", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("family", sa.Text(), nullable=False),
        sa.Column("unit", sa.Text(), nullable=False),
        sa.Column("spec", sa.Text(), nullable=False),
        sa.Column("head", sa.Text(), nullable=False),
        sa.Column("held", sa.Text(), nullable=False),
        sa.Column("bin", sa.Text(), nullable=False),
        sa.Column("mass_kg", LARGE),
        sa.Column("length_mm", sa.Integer()),
        sa.Column("width_mm", sa.Integer()),
        sa.Column("height_mm", sa.Integer()),
        sa.Column("waste", LARGE, nullable=False),
        sa.Column("vat_class", sa.Text(), nullable=False),
        sa.Column("serialised", FLAG, nullable=False),
        sa.Column("sold_apart", FLAG, nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("code", name="pk_item"),
        sa.CheckConstraint("code <> ''", name="code_given"),
        sa.CheckConstraint("held IN ('stock', 'job')", name="held_known"),
        sa.CheckConstraint("vat_class IN ('energy saving', 'standard')", name="vat_class_known"),
        sa.CheckConstraint("waste >= 0 AND waste < 1000", name="waste_is_a_share"),
        sa.CheckConstraint("mass_kg > 0", name="mass_positive"),
        sa.CheckConstraint(
            "length_mm > 0 AND width_mm > 0 AND height_mm > 0", name="size_positive"),
        **STRICT,
    )
    op.create_index("ix_item_family", "item", ["family"])
    op.create_table(
        "item_role",
        sa.Column("item_code", sa.Text(), nullable=False),
        sa.Column("role", sa.Text(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("item_code", "role", name="pk_item_role"),
        sa.ForeignKeyConstraint(
            ["item_code"], ["item.code"], name="fk_item_role_item_code_item", ondelete="CASCADE"),
        sa.CheckConstraint("role <> ''", name="role_given"),
        **STRICT,
    )
    op.create_table(
        "box_part",
        sa.Column("box_code", sa.Text(), nullable=False),
        sa.Column("item_code", sa.Text(), nullable=False),
        sa.Column("from_date", DAY, nullable=False),
        sa.Column("to_date", DAY),
        sa.Column("quantity", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("box_code", "item_code", "from_date", name="pk_box_part"),
        sa.ForeignKeyConstraint(["box_code"], ["item.code"], name="fk_box_part_box_code_item"),
        sa.ForeignKeyConstraint(["item_code"], ["item.code"], name="fk_box_part_item_code_item"),
        sa.CheckConstraint("quantity > 0", name="quantity_positive"),
        sa.CheckConstraint("to_date >= from_date", name="dates_in_order"),
        sa.CheckConstraint("box_code <> item_code", name="not_in_itself"),
        **STRICT,
    )
    op.create_index("ix_box_part_item_code", "box_part", ["item_code"])


def _offers() -> None:
    op.create_table(
        "supplier",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("lead_days", sa.Integer(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_supplier"),
        sa.CheckConstraint("lead_days >= 0", name="lead_days_not_negative"),
        **STRICT,
    )
    op.create_table(
        "offer",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("item_code", sa.Text(), nullable=False),
        sa.Column("supplier", sa.Text(), nullable=False),
        sa.Column("supplier_code", sa.Text(), nullable=False),
        sa.Column("pack", LARGE, nullable=False),
        sa.Column("price_minor", LARGE, nullable=False),
        sa.Column("currency", sa.Text(), nullable=False),
        sa.Column("lead_days", sa.Integer()),
        sa.Column("from_date", DAY, nullable=False),
        sa.Column("to_date", DAY),
        sa.Column("entered_at", MOMENT, nullable=False),
        sa.Column("entered_by", sa.Text(), nullable=False),
        sa.Column("entered_from", sa.Text(), nullable=False),
        sa.Column("withdrawn_at", MOMENT),
        sa.PrimaryKeyConstraint("id", name="pk_offer"),
        sa.ForeignKeyConstraint(["item_code"], ["item.code"], name="fk_offer_item_code_item"),
        sa.ForeignKeyConstraint(
            ["supplier"], ["supplier.name"], name="fk_offer_supplier_supplier"),
        sa.CheckConstraint("pack > 0", name="pack_positive"),
        sa.CheckConstraint("price_minor >= 0", name="price_not_negative"),
        sa.CheckConstraint("length(currency) = 3", name="currency_of_three_letters"),
        sa.CheckConstraint("to_date >= from_date", name="dates_in_order"),
        sa.CheckConstraint("lead_days >= 0", name="lead_days_not_negative"),
        **STRICT,
    )
    in_use = sa.text("withdrawn_at IS NULL")
    op.create_index(
        "uq_offer_in_use", "offer", ["item_code", "supplier", "pack", "currency", "from_date"],
        unique=True, sqlite_where=in_use, postgresql_where=in_use,
    )


def _jobs() -> None:
    op.create_table(
        "job",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("created_at", MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_job"),
        sa.CheckConstraint("id <> ''", name="id_given"),
        **STRICT,
    )
    op.create_table(
        "revision",
        sa.Column("job_id", sa.Text(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("on_date", DAY, nullable=False),
        sa.Column("survey_text", sa.Text(), nullable=False),
        sa.Column("estimate_json", sa.Text(), nullable=False),
        sa.Column("inputs_digest", sa.Text(), nullable=False),
        sa.Column("made_at", MOMENT, nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("net_minor", LARGE, nullable=False),
        sa.Column("currency", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("job_id", "number", name="pk_revision"),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name="fk_revision_job_id_job"),
        sa.CheckConstraint("number >= 1", name="number_from_one"),
        sa.CheckConstraint("length(currency) = 3", name="currency_of_three_letters"),
        **STRICT,
    )


def downgrade() -> None:
    for table in ("revision", "job", "offer", "supplier", "box_part", "item_role", "item",
                  "firm_meta"):
        op.drop_table(table)
