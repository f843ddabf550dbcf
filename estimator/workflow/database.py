"""Look after the database: where it is, what version it has, bring it up to date."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from sqlalchemy import Connection, Table, func, select
from sqlalchemy.exc import DBAPIError

from catalogue import db
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.tables import FIRM_META, ITEM, JOB


@dataclass(frozen=True)
class Whereabouts:
    """Which database is used, and what is in it; version None if it is not made yet."""

    where: str
    version: str | None
    newest: str
    items: int = 0
    jobs: int = 0
    starter: str = ""


@dataclass(frozen=True)
class Upgraded:
    """The versions before and after; before is None if the database was made just now."""

    where: str
    before: str | None
    after: str


@contextmanager
def at_work(database: str | None, write: bool = False) -> Iterator[Connection]:
    """Open a database, give one unit of work on it, and close it again.

    Raises:
        ProblemsFound: as `catalogue.db.open_database` and `catalogue.db.session`.
    """
    engine = db.open_database(database)
    try:
        with db.session(engine, write=write) as work:
            yield work
    finally:
        engine.dispose()


def whereabouts(database: str | None) -> Whereabouts:
    """Return where the database is and what is in it; nothing is made or changed.

    Raises:
        ProblemsFound: D002 if it cannot be opened.
    """
    where = db.shown(database)
    if db.is_to_be_made(database):
        return Whereabouts(where, None, db.SCHEMA)
    engine = db.engine_for(database)
    try:
        with db.session(engine, write=False) as work:
            version = db.version_of(work)
            if version != db.SCHEMA:
                return Whereabouts(where, version, db.SCHEMA)
            starter = work.scalar(
                select(FIRM_META.c.value).where(FIRM_META.c.name == "starter catalogue"))
            return Whereabouts(
                where, version, db.SCHEMA, _count(work, ITEM), _count(work, JOB),
                starter or "")
    except (DBAPIError, engine.dialect.loaded_dbapi.Error) as error:
        raise ProblemsFound([Problem(
            "D002", Place(where), "the database cannot be opened",
            "check the address given by --db or ESTIMATOR_DB")]) from error
    finally:
        engine.dispose()


def _count(work: Connection, table: Table) -> int:
    return work.scalar(select(func.count()).select_from(table)) or 0


def upgrade_database(database: str | None) -> Upgraded:
    """Make the database if there is none, or bring an older one to this program's version.

    All steps run in one transaction: the database is upgraded whole or left as it was.

    Raises:
        ProblemsFound: as `catalogue.db.open_database`, apart from an older version.
    """
    where, before = db.shown(database), whereabouts(database).version
    if before is not None and before < db.SCHEMA:
        db.upgrade(database)
    db.open_database(database).dispose()
    return Upgraded(where, before, db.SCHEMA)
