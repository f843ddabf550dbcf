"""Makes and changes the tables by running the migration steps. The only user of alembic."""

from __future__ import annotations

from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.util.exc import CommandError
from sqlalchemy import Connection


class NoWayOn(Exception):  # noqa: N818  (no step leads on; `catalogue.db` tells it)
    """The tables are of a version that no step of this program starts from."""


def migrations_folder() -> Path:
    """Return the folder of the steps: beside this package in the source, inside it in a wheel."""
    package = Path(__file__).resolve().parent
    inside = package / "migrations"  # pyproject.toml maps the folder alembic/ there
    return inside if inside.is_dir() else package.parent / "alembic"


def config(connection: Connection | None = None) -> Config:
    """Return the settings of the migration library for a connection."""
    settings = Config()
    settings.set_main_option("script_location", str(migrations_folder()).replace("%", "%%"))
    settings.attributes["connection"] = connection
    return settings


def migrate(connection: Connection, to: str = "head") -> None:
    """Bring the tables to a version, up or down, in the connection's transaction.

    Args:
        connection: on SQLite, without the enforcement of references, see
            `catalogue.db.CHANGING_TABLES`.
        to: "head", "base" or a step's number.

    Raises:
        NoWayOn: if the tables are of a version that is none of this program's.
        RuntimeError: if the steps leave a row that refers to nothing; the caller rolls back.
    """
    now = MigrationContext.configure(connection).get_current_revision() or ""
    down = to == "base" or (to != "head" and to < now)
    try:
        (command.downgrade if down else command.upgrade)(config(connection), to)
    except CommandError as error:
        raise NoWayOn(str(error)) from error
    if connection.dialect.name == "sqlite":
        lost = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
        if lost:
            raise RuntimeError(f"rows refer to nothing after the migration: {lost[:5]}")
