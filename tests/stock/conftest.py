"""A PostgreSQL database for each test that asks for one, on a server of the run's own."""

from __future__ import annotations

import os
from collections.abc import Iterator
from itertools import count

import pytest
from sqlalchemy import create_engine, make_url, text

from tests import postgres_server

NUMBERS = count()


@pytest.fixture(scope="session")
def postgres_server_url() -> Iterator[str]:
    """The address of a server that runs until the last test is through."""
    lacks = postgres_server.missing()
    if lacks:
        if os.environ.get("POSTGRES_REQUIRED") == "1":
            pytest.fail(f"{lacks}, and POSTGRES_REQUIRED asks for it")
        pytest.skip(lacks)
    with postgres_server.server() as url:
        yield url


@pytest.fixture
def postgres_url(postgres_server_url: str) -> Iterator[str]:
    """The test's own database, with nothing in it."""
    owner = create_engine(postgres_server_url, isolation_level="AUTOCOMMIT")
    name = f"test_{next(NUMBERS)}"
    with owner.connect() as connection:
        connection.execute(text(f'CREATE DATABASE "{name}"'))
    yield make_url(postgres_server_url).set(database=name).render_as_string(hide_password=False)
    with owner.connect() as connection:
        connection.execute(text(f'DROP DATABASE "{name}" WITH (FORCE)'))
    owner.dispose()
