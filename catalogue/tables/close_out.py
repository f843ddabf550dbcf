"""Close-out sheets: what was issued for a job, and what was written on it when it came back."""

from __future__ import annotations

from sqlalchemy import (
    CheckConstraint,
    Column,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    Integer,
    Table,
    Text,
    UniqueConstraint,
)

from catalogue.tables.base import WRITTEN_ONCE, given, metadata
from catalogue.tables.columns import UtcTime

# A close-out sheet as it was issued: its record as JSON, and the SHA-256 of that. `number` counts
# within the job.
CLOSE_OUT_SHEET = Table(
    "close_out_sheet", metadata,
    Column("id", Integer, primary_key=True),
    given("job_id", Text),
    given("number", Integer),
    given("revision", Integer),
    given("sheet_json", Text),
    given("digest", Text),
    given("issued_at", UtcTime),
    ForeignKeyConstraint(["job_id", "revision"], ["revision.job_id", "revision.number"]),
    UniqueConstraint("job_id", "number"),
    CheckConstraint("number >= 1", name="number_from_one"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)

# A close-out sheet that came back and was read, with what was written on it; it may come back
# again with more. Of one sheet the newest row holds.
CLOSE_OUT_READ = Table(
    "close_out_read", metadata,
    Column("id", Integer, primary_key=True),
    given("sheet_id", ForeignKey("close_out_sheet.id")),
    given("marks_json", Text),
    given("digest", Text),
    given("at", UtcTime),
    given("by", Text),
    Index(None, "sheet_id"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)
