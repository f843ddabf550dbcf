"""What the tests share: databases built by migrating, a session that rolls back, a price book."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from sqlalchemy import Engine
from sqlalchemy.orm import Session

from catalogue.db import engine_for, load_price_book, open_database, session, url_of
from catalogue.price_book import PriceBook
from catalogue.schema import migrate
from tests import factories

# Before its first example the library reads every module of the program for constants, which on a
# busy machine looks like examples that are slow to make. How long one example takes says as little
# while other tests run beside it.
settings.register_profile(
    "suite", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("suite")


@pytest.fixture(scope="session")
def empty_template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a database with all tables and nothing in them, built by the migrations."""
    path = tmp_path_factory.mktemp("templates") / "empty.db"
    engine = engine_for(str(path), {"journal_mode": "delete"})
    with engine.begin() as connection:
        migrate(connection)
    engine.dispose()
    return path


@pytest.fixture(scope="session")
def starter_template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a database as the program makes it on first use."""
    path = tmp_path_factory.mktemp("templates") / "starter.db"
    open_database(str(path)).dispose()
    return path


def _copy(template: Path, folder: Path) -> str:
    shutil.copy(template, folder / "estimator.db")
    return url_of(str(folder / "estimator.db")).render_as_string()


@pytest.fixture
def database_url(empty_template: Path, tmp_path: Path) -> str:
    """The test's own database: all tables, nothing in them."""
    return _copy(empty_template, tmp_path)


@pytest.fixture
def starter_url(starter_template: Path, tmp_path: Path) -> str:
    """The test's own database with the starter catalogue."""
    return _copy(starter_template, tmp_path)


@pytest.fixture
def engine(database_url: str) -> Iterator[Engine]:
    """An engine on `database_url`."""
    opened = open_database(database_url)
    yield opened
    opened.dispose()


@pytest.fixture
def rows(engine: Engine) -> Iterator[Session]:
    """A unit of work to which the row factories add; it rolls back."""
    with Session(engine) as work:
        for each in factories.ROW_FACTORIES:
            each._meta.sqlalchemy_session = work
        yield work
        work.rollback()
        for each in factories.ROW_FACTORIES:
            each._meta.sqlalchemy_session = None


@pytest.fixture(scope="session")
def price_book(starter_template: Path) -> PriceBook:
    """The starter catalogue's price book of 2 November 2026; it is frozen, so all may share it."""
    opened = open_database(str(starter_template))
    with session(opened, write=False) as work:
        book = load_price_book(work, factories.ON)
    opened.dispose()
    return book


@pytest.fixture(autouse=True)
def _factories_from_zero() -> None:
    """Start every sequence anew, so that a test's codes do not hang on the tests before it."""
    factories.ItemFactory.reset_sequence(0)
    for each in factories.ROW_FACTORIES:
        each.reset_sequence(0)
