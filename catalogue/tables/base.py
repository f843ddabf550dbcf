"""The one metadata and the names its constraints get."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Column, Delete, Engine, MetaData, Table, Update, event

# Constraints are named from the first migration on, so that a later one can change them on every
# engine. A CHECK gets its bare name ("price_not_negative"); the rest is added here.
NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}

metadata = MetaData(naming_convention=NAMING)

# `info` of a table whose rows are only ever added.
WRITTEN_ONCE = {"written once": True}


def given(name: str, *about: Any, **more: Any) -> Column[Any]:
    """Return a column that every row must fill in."""
    return Column(name, *about, nullable=False, **more)


@event.listens_for(Engine, "before_execute")
def _written_once(
    connection: Any, statement: Any, rows: Any, values: Any, options: Any
) -> None:
    if not isinstance(statement, Update | Delete) or not isinstance(statement.table, Table):
        return
    if statement.table.info.get("written once"):
        raise ValueError(f"a row of {statement.table.name} is written once; add a new one")
