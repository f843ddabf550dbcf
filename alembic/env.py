"""Runs migrations on the connection that `catalogue.db` hands over.

By hand (`alembic revision`, `alembic check`) the database of ESTIMATOR_DB is used. Changes run in
one transaction on SQLite and PostgreSQL alike, so a step that fails leaves nothing behind.
"""

from __future__ import annotations

import os

from alembic import context
from sqlalchemy import Connection

from catalogue.tables import metadata


def run(connection: Connection) -> None:
    context.configure(
        connection=connection,
        target_metadata=metadata,
        render_as_batch=True,  # SQLite changes a table by writing it anew
        compare_type=True,
        autogenerate_plugins=[
            "alembic.autogenerate.*",
            "alembic.ext.checkconstraint_byname",  # off by default; sees CHECKs added or dropped
        ],
    )
    context.run_migrations()


given: Connection | None = context.config.attributes.get("connection")
if given is not None:
    run(given)
else:
    from catalogue.db import engine_for, url_of

    engine = engine_for(url_of(os.environ.get("ESTIMATOR_DB")))
    with engine.begin() as connection:
        run(connection)
    engine.dispose()
