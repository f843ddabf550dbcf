"""What the database knows about itself."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, Column, Table, Text

from catalogue.tables.base import given, metadata

# A named remark about the database: which starter catalogue was loaded, which currency.
FIRM_META = Table(
    "firm_meta", metadata,
    Column("name", Text, primary_key=True),
    given("value", Text),
    CheckConstraint("name <> ''", name="name_given"),
    sqlite_strict=True,
)
