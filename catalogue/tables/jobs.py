"""Quoted jobs and the revisions of their estimates. A revision is written once."""

from __future__ import annotations

from typing import Any

from sqlalchemy import (
    CheckConstraint,
    Column,
    Delete,
    Engine,
    ForeignKey,
    Integer,
    Table,
    Text,
    Update,
    event,
)

from catalogue.tables.base import given, metadata
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
    sqlite_strict=True,
)


@event.listens_for(Engine, "before_execute")
def _written_once(
    connection: Any, statement: Any, rows: Any, values: Any, options: Any
) -> None:
    if isinstance(statement, Update | Delete) and statement.table is REVISION:
        raise ValueError("a revision is written once; add a new one")
