"""Price lists, price breaks, cut charges and carriage; what revisions were made with.

Prices that were ended by a newer one keep the end that was written to them: which of two holds on
a day comes out the same.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

LARGE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
DAY = sa.Date().with_variant(sa.Text(), "sqlite")
MOMENT = sa.DateTime(timezone=True).with_variant(sa.Text(), "sqlite")
STRICT = {"sqlite_strict": True}
IN_USE = sa.text("withdrawn_at IS NULL")

NEW_COLUMNS = ("per", "least", "cut_charge_minor", "carriage_class", "price_list_id")
NEW_CHECKS = {
    "per_positive": "per > 0",
    "least_not_negative": "least >= 0",
    "cut_charge_not_negative": "cut_charge_minor >= 0",
}
TO_PRICE_LIST = "fk_offer_price_list_id_price_list"


def upgrade() -> None:
    _price_lists()
    op.drop_index("uq_offer_in_use", "offer")
    if op.get_bind().dialect.name == "sqlite":
        _written_anew(_columns_before() + _new_columns(), _checks() + _checks(NEW_CHECKS), True)
    else:
        for column in _new_columns():
            op.add_column("offer", column)
        op.create_foreign_key(TO_PRICE_LIST, "offer", "price_list", ["price_list_id"], ["id"])
        for name, condition in NEW_CHECKS.items():
            op.create_check_constraint(op.f(f"ck_offer_{name}"), "offer", condition)
    _index_in_use("pack", "least")
    _carriage()
    _jobs()


def _index_in_use(*told_by: str) -> None:
    op.create_index(
        "uq_offer_in_use", "offer",
        ["item_code", "supplier", *told_by, "currency", "from_date"],
        unique=True, sqlite_where=IN_USE, postgresql_where=IN_USE,
    )


def _columns_before() -> list[sa.Column]:
    return [
        sa.Column("id", sa.Integer(), nullable=False),
        *(sa.Column(name, sa.Text(), nullable=False)
          for name in ("item_code", "supplier", "supplier_code")),
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
    ]


def _new_columns() -> list[sa.Column]:
    return [
        sa.Column("per", LARGE),
        sa.Column("least", LARGE, nullable=False, server_default=sa.text("0")),
        sa.Column("cut_charge_minor", LARGE),
        sa.Column("carriage_class", sa.Text(), nullable=False, server_default=sa.text("''")),
        sa.Column("price_list_id", sa.Integer()),
    ]


def _checks(named: dict[str, str] | None = None) -> list[sa.CheckConstraint]:
    before = {
        "pack_positive": "pack > 0",
        "price_not_negative": "price_minor >= 0",
        "currency_of_three_letters": "length(currency) = 3",
        "dates_in_order": "to_date >= from_date",
        "lead_days_not_negative": "lead_days >= 0",
    }
    return [
        sa.CheckConstraint(condition, name=op.f(f"ck_offer_{name}"))
        for name, condition in (named or before).items()
    ]


def _written_anew(
    columns: list[sa.Column], checks: list[sa.CheckConstraint], with_list: bool
) -> None:
    """Give a table of SQLite, which cannot change constraints, its new form and its rows."""
    lists = [sa.ForeignKeyConstraint(["price_list_id"], ["price_list.id"], name=TO_PRICE_LIST)]
    op.create_table(
        "offer_anew", *columns, *checks,
        sa.PrimaryKeyConstraint("id", name="pk_offer"),
        sa.ForeignKeyConstraint(["item_code"], ["item.code"], name="fk_offer_item_code_item"),
        sa.ForeignKeyConstraint(
            ["supplier"], ["supplier.name"], name="fk_offer_supplier_supplier"),
        *(lists if with_list else ()),
        **STRICT,
    )
    kept = ", ".join(column.name for column in _columns_before())
    op.execute(f"INSERT INTO offer_anew ({kept}) SELECT {kept} FROM offer")
    op.drop_table("offer")
    op.rename_table("offer_anew", "offer")


def _price_lists() -> None:
    op.create_table(
        "price_list",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("supplier", sa.Text(), nullable=False),
        sa.Column("file_name", sa.Text(), nullable=False),
        sa.Column("file_sha256", sa.Text(), nullable=False),
        sa.Column("from_date", DAY, nullable=False),
        sa.Column("imported_at", MOMENT, nullable=False),
        sa.Column("imported_by", sa.Text(), nullable=False),
        *(sa.Column(count, sa.Integer(), nullable=False)
          for count in ("new", "changed", "unchanged", "unknown", "refused")),
        sa.PrimaryKeyConstraint("id", name="pk_price_list"),
        sa.ForeignKeyConstraint(
            ["supplier"], ["supplier.name"], name="fk_price_list_supplier_supplier"),
        sa.UniqueConstraint("supplier", "file_sha256", "from_date",
                            name="uq_price_list_supplier_file_sha256_from_date"),
        **STRICT,
    )
    op.create_table(
        "price_columns",
        sa.Column("supplier", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("changed_at", MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("supplier", name="pk_price_columns"),
        sa.ForeignKeyConstraint(
            ["supplier"], ["supplier.name"], name="fk_price_columns_supplier_supplier"),
        **STRICT,
    )
    op.create_table(
        "supplier_item",
        sa.Column("supplier", sa.Text(), nullable=False),
        sa.Column("supplier_code", sa.Text(), nullable=False),
        sa.Column("item_code", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("supplier", "supplier_code", name="pk_supplier_item"),
        sa.ForeignKeyConstraint(
            ["supplier"], ["supplier.name"], name="fk_supplier_item_supplier_supplier"),
        sa.ForeignKeyConstraint(
            ["item_code"], ["item.code"], name="fk_supplier_item_item_code_item"),
        sa.CheckConstraint("supplier_code <> ''", name="code_given"),
        **STRICT,
    )
    op.create_index("ix_supplier_item_item_code", "supplier_item", ["item_code"])


def _carriage() -> None:
    op.create_table(
        "carriage",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("supplier", sa.Text(), nullable=False),
        sa.Column("carriage_class", sa.Text(), nullable=False),
        sa.Column("charge_minor", LARGE, nullable=False),
        sa.Column("free_from_minor", LARGE),
        sa.Column("least_order_minor", LARGE),
        sa.Column("currency", sa.Text(), nullable=False),
        sa.Column("from_date", DAY, nullable=False),
        sa.Column("to_date", DAY),
        sa.Column("entered_at", MOMENT, nullable=False),
        sa.Column("entered_by", sa.Text(), nullable=False),
        sa.Column("entered_from", sa.Text(), nullable=False),
        sa.Column("withdrawn_at", MOMENT),
        sa.PrimaryKeyConstraint("id", name="pk_carriage"),
        sa.ForeignKeyConstraint(
            ["supplier"], ["supplier.name"], name="fk_carriage_supplier_supplier"),
        sa.CheckConstraint("charge_minor >= 0", name="charge_not_negative"),
        sa.CheckConstraint("free_from_minor > 0", name="free_from_positive"),
        sa.CheckConstraint("least_order_minor > 0", name="least_order_positive"),
        sa.CheckConstraint("length(currency) = 3", name="currency_of_three_letters"),
        sa.CheckConstraint("to_date >= from_date", name="dates_in_order"),
        **STRICT,
    )
    op.create_index(
        "uq_carriage_in_use", "carriage",
        ["supplier", "carriage_class", "currency", "from_date"],
        unique=True, sqlite_where=IN_USE, postgresql_where=IN_USE,
    )


def _jobs() -> None:
    op.create_table(
        "job_event",
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
        sa.CheckConstraint(
            "event IN ('accepted', 'declined', 'reopened')", name="event_known"),
        **STRICT,
    )
    op.create_index("ix_job_event_job_id", "job_event", ["job_id"])
    op.create_table(
        "kept_text",
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("digest", name="pk_kept_text"),
        **STRICT,
    )
    op.create_table(
        "revision_basis",
        sa.Column("job_id", sa.Text(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("job_id", "number", "kind", name="pk_revision_basis"),
        sa.ForeignKeyConstraint(
            ["digest"], ["kept_text.digest"], name="fk_revision_basis_digest_kept_text"),
        sa.ForeignKeyConstraint(
            ["job_id", "number"], ["revision.job_id", "revision.number"],
            name="fk_revision_basis_job_id_number_revision"),
        sa.CheckConstraint("kind <> ''", name="kind_given"),
        **STRICT,
    )


def downgrade() -> None:
    """Take the tables away again; an offer that the old ones cannot hold goes with them.

    That is one with a price for other than a pack, a least quantity or a cut charge.
    """
    for table in ("revision_basis", "kept_text", "job_event", "carriage", "supplier_item",
                  "price_columns"):
        op.drop_table(table)
    op.execute("DELETE FROM offer "
               "WHERE per IS NOT NULL OR least > 0 OR cut_charge_minor IS NOT NULL")
    op.drop_index("uq_offer_in_use", "offer")
    if op.get_bind().dialect.name == "sqlite":
        _written_anew(_columns_before(), _checks(), False)
    else:
        for name in NEW_CHECKS:
            op.drop_constraint(f"ck_offer_{name}", "offer", type_="check")
        op.drop_constraint(TO_PRICE_LIST, "offer", type_="foreignkey")
        for column in NEW_COLUMNS:
            op.drop_column("offer", column)
    _index_in_use("pack")
    op.drop_table("price_list")
