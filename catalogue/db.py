"""The door to the database: open it, work in one transaction, read the price book of a day.

A database is a SQLite file by default; any SQLAlchemy URL will do. On first use it is built whole
(tables by migration, starter catalogue) under a temporary name and then renamed, so a half-made
one never stays. An older database is never changed behind the user's back, since other desks may
still work on it with an older program: the message names `estimator db upgrade`.

The migrations library is loaded only when tables are to be made or changed.
"""

from __future__ import annotations

import os
import secrets
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, text
from sqlalchemy.exc import DatabaseError, DBAPIError, NoSuchModuleError
from sqlalchemy.pool import NullPool, StaticPool

from catalogue.address import file_of, refused, shown, url_of
from catalogue.loading import load_price_book
from catalogue.problems import ProblemsFound

__all__ = [
    "SCHEMA", "engine_for", "is_to_be_made", "load_price_book", "open_database", "session", "shown",
    "upgrade", "url_of", "version_of",
]

SCHEMA = "0010"  # the newest step under alembic/versions; a test compares
WAIT_S = 30  # how long a writer waits for another
STALE_S = 3600  # a half-made file this old is nobody's any more

_USUAL = {"journal_mode": "wal", "foreign_keys": "on", "synchronous": "normal"}
# Tables that are written anew would break references on the way; they are checked at the end.
CHANGING_TABLES = {"foreign_keys": "off"}
_BUILDING = {"journal_mode": "delete", "foreign_keys": "off"}


def is_to_be_made(database: str | URL | None) -> bool:
    """Return whether the database is a file that is not there yet; opening it makes it.

    Raises:
        ProblemsFound: with code D002 if nobody can tell, as in a folder that may not be read.
    """
    file = file_of(database)
    try:
        return file is not None and not file.exists()
    except OSError as error:
        raise _cannot_open(url_of(database), error) from error


def engine_for(database: str | URL | None, pragmas: Mapping[str, str] = _USUAL) -> Engine:
    """Return an engine; nothing is opened or made yet.

    On SQLite a unit of work begins by taking the write lock (BEGIN IMMEDIATE), since a reader
    that turns writer half way can lose against another desk; see `session`.

    Raises:
        ProblemsFound: with code D001 for an unknown kind of database, D006 if its driver is not
            installed.
    """
    url = url_of(database)
    try:
        if url.get_backend_name() != "sqlite":
            return create_engine(url)
        pool = NullPool if file_of(url) else StaticPool
        engine = create_engine(url, poolclass=pool, connect_args={"timeout": WAIT_S})
    except ModuleNotFoundError as error:
        raise refused("D006", shown(url), f"the driver '{error.name}' is not installed",
                       f"pip install {error.name}") from error
    except NoSuchModuleError as error:
        raise refused("D001", shown(url), f"'{url.drivername}' is no known kind of database",
                       "use sqlite or postgresql+psycopg") from error

    @event.listens_for(engine, "connect")
    def _set_up(connection: Any, record: Any) -> None:
        connection.isolation_level = None  # this program says BEGIN, not the driver
        for name, value in pragmas.items():
            connection.execute(f"pragma {name}={value}")

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        writes = connection.get_execution_options().get("sqlite_write", True)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    return engine


@contextmanager
def session(engine: Engine, write: bool = True) -> Iterator[Connection]:
    """Give a unit of work. The caller commits once; leaving without a commit rolls back.

    Args:
        engine: an open database.
        write: False for a unit that only reads, which then waits for no writer.

    Raises:
        ProblemsFound: D002 if it cannot be opened any more; D007 if it is held by another, full,
            or out of reach; D008 if its file is damaged.
    """
    try:
        with engine.execution_options(sqlite_write=write).connect() as work:
            yield work
    except engine.dialect.loaded_dbapi.Error as error:  # SQLAlchemy leaves those on connecting bare
        raise _cannot_open(engine.url, error) from error
    except DatabaseError as error:
        told = _cannot_use(engine.url, error)
        if told is None:
            raise
        raise told from error


def open_database(database: str | URL | None) -> Engine:
    """Return an engine on a database whose tables are those this program knows.

    One that does not exist yet is made, with the starter catalogue in it.

    Raises:
        ProblemsFound: D002 if it cannot be opened, D003 if it belongs to another program, D004 if
            it is older than this program, D005 if it is newer.
    """
    url = url_of(database)
    file = file_of(url)
    if file is not None and _is_new(file):
        _build_file(file)
    engine = engine_for(url)
    try:
        with engine.connect().execution_options(sqlite_write=False) as connection:
            version = version_of(connection)
    except (DBAPIError, engine.dialect.loaded_dbapi.Error) as error:
        raise (_damaged(url, error) or _cannot_open(url, error)) from error
    if version == SCHEMA:
        return engine
    if version is None:
        _fill_empty(engine, url)
        return engine
    if version < SCHEMA:
        raise refused("D004", shown(url), f"this database is of version {version}, and this "
                       f"program works with version {SCHEMA}", "run: estimator db upgrade")
    raise refused("D005", shown(url), f"this database is of version {version}, newer than this "
                   f"program's {SCHEMA}", "install the newer program")


def upgrade(database: str | URL | None) -> tuple[str | None, str | None]:
    """Bring an existing database to this program's version; return the versions before and after.

    Raises:
        ProblemsFound: D001 or D006, see `engine_for`; D007 or D008, see `session`; D009 if no step
            leads on from its version.
    """
    from catalogue.schema import NoWayOn, migrate

    engine = engine_for(database, CHANGING_TABLES)
    try:
        with session(engine) as connection:
            before = version_of(connection)
            migrate(connection)
            after = version_of(connection)
            connection.commit()
    except NoWayOn as error:
        raise refused("D009", shown(database), "no step of this program leads on from the "
                       "version of this database",
                       "install the program that made it, or export its catalogue there and "
                       "import it here") from error
    finally:
        engine.dispose()
    return before, after


def version_of(connection: Connection) -> str | None:
    """Return the version of the tables; None if there are none of this program's."""
    try:
        found = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    except DBAPIError as error:
        connection.rollback()
        if connection.dialect.has_table(connection, "alembic_version"):
            raise error from None
        return None
    return None if found is None else str(found)


def _is_new(file: Path) -> bool:
    try:
        return not file.exists() or file.stat().st_size == 0
    except OSError as error:
        raise _cannot_open(url_of(str(file)), error) from error


def _build_file(file: Path) -> None:
    """Build a SQLite database under another name and give it its own only when it is whole."""
    half_made = file.with_name(f".{file.name}.{secrets.token_hex(4)}.new")
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        _sweep(file)
        half_made.unlink(missing_ok=True)
        engine = engine_for(URL.create("sqlite", database=str(half_made)), _BUILDING)
        _fill(engine)
        engine.dispose()
        if file.exists() and file.stat().st_size == 0:
            file.unlink()
        _give_name(half_made, file)
    except (OSError, DBAPIError) as error:
        raise _cannot_open(URL.create("sqlite", database=str(file)), error) from error
    finally:
        with suppress(OSError):  # the folder may be what is amiss
            half_made.unlink(missing_ok=True)


def _sweep(file: Path) -> None:
    """Delete what a build that was killed left behind; a build takes seconds, not an hour."""
    for left in file.parent.glob(f".{file.name}.*.new*"):
        if time.time() - left.stat().st_mtime > STALE_S:
            left.unlink(missing_ok=True)


def _give_name(half_made: Path, file: Path) -> None:
    """Name the new file, unless another process has made one in the meantime: then that stays."""
    try:
        os.link(half_made, file)
    except FileExistsError:
        return
    except OSError:  # a file system without links
        if not file.exists():
            half_made.rename(file)


def _fill_empty(engine: Engine, url: URL) -> None:
    """Make the tables in a database that has none; refuse one that has somebody else's."""
    with engine.connect() as connection:
        tables = engine.dialect.get_table_names(connection)
    if set(tables) - {"alembic_version"}:
        raise refused("D003", shown(url), "this is the database of another program",
                       "give another address with --db or ESTIMATOR_DB")
    _fill(engine)


def _fill(engine: Engine) -> None:
    """Make all tables and load the starter catalogue, in one transaction."""
    from catalogue.schema import migrate
    from catalogue.starter import load_starter

    with engine.begin() as connection:
        migrate(connection)
        load_starter(connection)


def _cannot_open(url: URL, error: Exception) -> ProblemsFound:
    return refused("D002", shown(url), f"the database cannot be opened: {_why(error)}",
                    "check the address, and that you may write there")


def _cannot_use(url: URL, error: Exception) -> ProblemsFound | None:
    """Return what to tell; None for a statement that is wrong, which is this program's fault."""
    kind = type(error).__name__  # the same names in SQLAlchemy and in every driver
    if _engine_says(error) == "SQLITE_NOTADB":
        return _cannot_open(url, error)
    if kind == "OperationalError":
        return refused("D007", shown(url), f"the database cannot be used: {_why(error)}",
                        "see that nothing else holds it and the disk has room; nothing was "
                        "changed, so run the command again")
    return _damaged(url, error)


def _damaged(url: URL, error: Exception) -> ProblemsFound | None:
    """Return what to tell of a file whose pages contradict each other; None for another error."""
    if type(error).__name__ != "DatabaseError" or _engine_says(error) == "SQLITE_NOTADB":
        return None
    return refused("D008", shown(url), f"the database is damaged: {_why(error)}",
                   "put the last copy of the file back in its place")


def _engine_says(error: Exception) -> str:
    """Return SQLite's own name of an error, or ""."""
    name: str = getattr(getattr(error, "orig", error), "sqlite_errorname", "")
    return name


def _why(error: Exception) -> str:
    """Return the engine's own reason, without the statement and its values."""
    if isinstance(error, OSError):
        return error.strerror or type(error).__name__
    reason = str(getattr(error, "orig", None) or error).strip().splitlines()
    return reason[0] if reason else type(error).__name__
