"""The one metadata and the names its constraints get."""

from __future__ import annotations

from sqlalchemy import MetaData
from sqlalchemy.orm import DeclarativeBase

# Constraints are named from the first migration on, so that a later one can change them on every
# engine. A CHECK gets its bare name ("price_not_negative"); the rest is added here.
NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}


class Base(DeclarativeBase):
    """What every table shares."""

    metadata = MetaData(naming_convention=NAMING)


# SQLite holds a value to its column's type only in a STRICT table.
STRICT = {"sqlite_strict": True}
