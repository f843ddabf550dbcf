"""`estimator db`: look after the database."""

from __future__ import annotations

import json
from dataclasses import asdict

import click

from estimator.cli.common import database_option, echo_json, json_option, tell_problems


@click.group()
def db() -> None:
    """Look after the database.

    \b
    Example:
      estimator db where
    """


@db.command()
@database_option
@json_option
@tell_problems
def where(database: str | None, as_json: bool) -> None:
    """Say which database is used, its version, and what is in it.

    \b
    Example:
      estimator db where
    """
    from estimator.workflow.database import whereabouts
    from estimator.workflow.firm import here

    found = whereabouts(here(database))
    if as_json:
        echo_json(json.dumps(asdict(found)))
    elif found.version is None:
        click.echo(f"{found.where}: not made yet; the first command that needs it makes it")
    else:
        click.echo(f"{found.where}: version {found.version} of {found.newest}, {found.items} "
                   f"items, {found.jobs} jobs, starter catalogue {found.starter or 'none'}")


@db.command()
@database_option
@json_option
@tell_problems
def upgrade(database: str | None, as_json: bool) -> None:
    """Bring an older database to this program's version, whole or not at all.

    Take a copy of the file (or a dump of the server's database) first.

    \b
    Example:
      estimator db upgrade
    """
    from estimator.workflow.database import upgrade_database
    from estimator.workflow.firm import here

    done = upgrade_database(here(database))
    if as_json:
        echo_json(json.dumps(asdict(done)))
    elif done.before == done.after:
        click.echo(f"{done.where}: version {done.after} already; nothing to do")
    else:
        click.echo(f"{done.where}: version {done.before or 'none'} -> {done.after}")
