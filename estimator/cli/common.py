"""What every command shares: the database option, machine output, and how problems are told."""

from __future__ import annotations

import functools
import json
import sys
from collections.abc import Callable
from typing import Any, TypeVar

import click

from catalogue.problems import ProblemsFound

Command = TypeVar("Command", bound=Callable[..., Any])

DONE, WRONG_INPUT, USAGE, STOPPED = 0, 1, 2, 3

database_option = click.option(
    "--db", "database", envvar="ESTIMATOR_DB", show_envvar=True, metavar="URL",
    help="Database (any SQLAlchemy URL or a file path); else the firm folder's estimator.db.",
)
json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON for machines.")


def tell_problems(command: Command) -> Command:
    """Print a user's mistakes, all of them, and leave with status 1; no traceback."""

    @functools.wraps(command)
    def told(*args: Any, **kwargs: Any) -> Any:
        try:
            return command(*args, **kwargs)
        except ProblemsFound as found:
            if kwargs.get("as_json"):
                click.echo(json.dumps({"problems": [_as_data(p) for p in found.problems]}))
            for problem in found.problems:
                click.echo(str(problem), err=True)
            count = len(found.problems)
            click.echo(f"{count} problem{'s' if count != 1 else ''}; nothing was changed.",
                       err=True)
            sys.exit(WRONG_INPUT)

    return told  # type: ignore[return-value]


def _as_data(problem: Any) -> dict[str, Any]:
    where = problem.where
    return {
        "code": problem.code, "file": where.file, "line": where.line, "column": where.column,
        "cell": where.cell, "says": problem.says, "mend": problem.mend,
    }
