"""Who enters what from where, and one row put into a table.

Apart from `recording`, since a long price list is written without a look at items and their data
sheets, whose models take a quarter of the time in which a command starts.
"""

from __future__ import annotations

import getpass
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from typing import Any

from sqlalchemy import Connection, Table, insert, select, update


def user() -> str:
    """Return the name under which somebody works on this machine; "" if it has none."""
    try:
        return getpass.getuser()
    except (OSError, KeyError):
        return ""


@dataclass(frozen=True, slots=True)
class Entered:
    """From which day new prices hold, where they come from, and who enters them when."""

    prices_from: date
    source: str
    by: str = field(default_factory=user)
    at: datetime = field(default_factory=lambda: datetime.now(UTC))


def put(work: Connection, table: Table, key: dict[str, Any], values: dict[str, Any]) -> None:
    """Insert a row, or give the one with this key new values."""
    where = [table.c[name] == value for name, value in key.items()]
    if work.execute(select(*(table.c[name] for name in key)).where(*where)).first() is None:
        work.execute(insert(table).values(**key, **values))
    else:
        work.execute(update(table).where(*where).values(**values))
