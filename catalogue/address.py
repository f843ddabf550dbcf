"""Where a database is: a file of SQLite, named by its path, or a server, named by a URL."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import URL, make_url
from sqlalchemy.exc import ArgumentError

from catalogue.problems import Place, Problem, ProblemsFound

DEFAULT_FILE = "estimator.db"


def url_of(database: str | URL | None) -> URL:
    """Return the URL of a database named by a URL or a file's path; None is `estimator.db` here.

    Raises:
        ProblemsFound: with code D001 if it looks like a URL and cannot be read as one, or asks for
            more than the file of SQLite.
    """
    if isinstance(database, URL):
        return database
    if database and "://" in database:
        try:
            return _plain(make_url(database))
        except (ArgumentError, ValueError) as error:
            raise refused("D001", "the address given by --db or ESTIMATOR_DB",
                           "this is no database address",
                           "give a file's path, or for example "
                           "postgresql+psycopg://name@server/estimator") from error
    return URL.create("sqlite", database=database or DEFAULT_FILE)


def _plain(url: URL) -> URL:
    """Return the URL, unless it asks SQLite for another driver or for settings of its own."""
    if url.get_backend_name() == "sqlite" and (
        url.query or url.drivername not in ("sqlite", "sqlite+pysqlite")
    ):
        raise refused("D001", url.render_as_string(hide_password=True),
                       "a SQLite database is named by its file alone",
                       "give the file's path, or sqlite:///PATH")
    return url


def shown(database: str | URL | None) -> str:
    """Return how messages name a database: a file's path, or its URL without the password."""
    url = url_of(database)
    if url.get_backend_name() == "sqlite":
        return url.database or "(in memory)"
    return url.render_as_string(hide_password=True)


def file_of(database: str | URL | None) -> Path | None:
    """Return the file of a SQLite database; None for one in memory or on a server."""
    url = url_of(database)
    in_memory = url.database in (None, "", ":memory:")
    return None if in_memory or url.get_backend_name() != "sqlite" else Path(str(url.database))


def refused(code: str, where: str, says: str, mend: str) -> ProblemsFound:
    """Return the one problem that a database or its address gives."""
    return ProblemsFound([Problem(code, Place(where), says, mend)])
