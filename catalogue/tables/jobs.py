"""Quoted jobs, their revisions, what each was made with and what became of it. All written once."""

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
)

from catalogue.tables.base import WRITTEN_ONCE, given, metadata
from catalogue.tables.columns import IsoDate, MoneyMinor, UtcTime

# One job, by the id its survey gives.
JOB = Table(
    "job", metadata,
    Column("id", Text, primary_key=True),
    given("title", Text),
    given("created_at", UtcTime),
    CheckConstraint("id <> ''", name="id_given"),
    sqlite_strict=True,
)

# One estimate of a job as it was made, with the survey it was made from. `number` is 1, 2, 3 ...
# within the job. `inputs_digest` comes of survey, prices, rules and settings; the same inputs give
# it again. `kind` is the kind of the quote ("firm", "budget"), `net_minor` its selling price
# before tax, in minor units.
REVISION = Table(
    "revision", metadata,
    Column("job_id", ForeignKey("job.id"), primary_key=True),
    Column("number", Integer, primary_key=True, autoincrement=False),
    given("on_date", IsoDate),
    given("survey_text", Text),
    given("estimate_json", Text),
    given("inputs_digest", Text),
    given("made_at", UtcTime),
    given("kind", Text),
    given("net_minor", MoneyMinor),
    given("currency", Text),
    CheckConstraint("number >= 1", name="number_from_one"),
    CheckConstraint("length(currency) = 3", name="currency_of_three_letters"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)

# What became of a quote, in order: a job is open until it is accepted or declined, and again after
# it was reopened. An accepted one is closed when what it used is settled. Rows are only ever added.
JOB_EVENT = Table(
    "job_event", metadata,
    Column("id", Integer, primary_key=True),
    given("job_id", Text),
    given("revision", Integer),
    given("event", Text),
    given("at", UtcTime),
    given("by", Text),
    given("why", Text),
    ForeignKeyConstraint(["job_id", "revision"], ["revision.job_id", "revision.number"]),
    CheckConstraint("event IN ('accepted', 'declined', 'reopened', 'closed')", name="event_known"),
    Index(None, "job_id"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)

# A text that revisions were made with, kept once: rule files, norms, settings. The digest is the
# SHA-256 of the text.
KEPT_TEXT = Table(
    "kept_text", metadata,
    Column("digest", Text, primary_key=True),
    given("text", Text),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)

# With which texts a revision was made. `kind` says what the text is ("rules", "norms", "practice",
# "settings", ...).
REVISION_BASIS = Table(
    "revision_basis", metadata,
    Column("job_id", Text, primary_key=True),
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("kind", Text, primary_key=True),
    given("digest", ForeignKey("kept_text.digest")),
    ForeignKeyConstraint(["job_id", "number"], ["revision.job_id", "revision.number"]),
    CheckConstraint("kind <> ''", name="kind_given"),
    info=WRITTEN_ONCE,
    sqlite_strict=True,
)
