"""Sheets that were issued to be written on, and those that were read back. All written once."""

from __future__ import annotations

from sqlalchemy import (
    CheckConstraint,
    Column,
    ForeignKey,
    ForeignKeyConstraint,
    Integer,
    Table,
    Text,
    UniqueConstraint,
)

from catalogue.tables.base import WRITTEN_ONCE, given, metadata
from catalogue.tables.columns import UtcTime

# A sheet as it was issued. `number` is 1, 2, 3 ... within the job; `kind` says what it is for:
# "pick" for the van, "back" for what comes back. `sheet_json` is all that it says, `digest` the
# SHA-256 of that text.
STOCK_SHEET = Table(
    "stock_sheet", metadata,
    Column("id", Integer, primary_key=True),
    given("job_id", Text),
    given("number", Integer),
    given("revision", Integer),
    given("kind", Text),
    given("sheet_json", Text),
    given("digest", Text),
    given("issued_at", UtcTime),
    ForeignKeyConstraint(["job_id", "revision"], ["revision.job_id", "revision.number"]),
    UniqueConstraint("job_id", "number"),
    CheckConstraint("number >= 1", name="number_from_one"),
    CheckConstraint("kind IN ('pick', 'back')", name="kind_known"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)

# A sheet that was read back, with what was written on it; `digest` is the SHA-256 of those marks.
STOCK_SHEET_READ = Table(
    "stock_sheet_read", metadata,
    Column("sheet_id", ForeignKey("stock_sheet.id"), primary_key=True, autoincrement=False),
    given("marks_json", Text),
    given("digest", Text),
    given("at", UtcTime),
    given("by", Text),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)
