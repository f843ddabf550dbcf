"""What every command shares: the database option, machine output, and how problems are told."""

from __future__ import annotations

import errno
import functools
import json
import sys
from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Any, TypeVar

import click

from catalogue.problems import Place, Problem, ProblemsFound, printable

Command = TypeVar("Command", bound=Callable[..., Any])

DONE, WRONG_INPUT, USAGE, STOPPED = 0, 1, 2, 3
_SHOWN = 200  # most problems that the terminal shows; --json has all of them
_FIRST_YEAR, _LAST_YEAR = 1900, 2999


def _text(value: str) -> str:
    """Return text that can be shown and kept: no control characters, no bytes that are no text."""
    if not value.isprintable():
        raise click.BadParameter(f"'{printable(value)}' holds a character that cannot be seen.")
    return value


class _Day(click.DateTime):
    """A day near enough for sums with weeks and years."""

    def __init__(self) -> None:
        super().__init__(["%Y-%m-%d"])

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        day: datetime = super().convert(value, param, ctx)
        if not _FIRST_YEAR <= day.year <= _LAST_YEAR:
            self.fail(f"'{value}' is not a day from {_FIRST_YEAR} to {_LAST_YEAR}.", param, ctx)
        return day


def _swap(value: str) -> tuple[str, str]:
    """Return the codes of OLD=NEW."""
    original, sign, substitute = (part.strip() for part in _text(value).partition("="))
    if not (original and sign and substitute):
        raise click.BadParameter(f"'{value}' is not OLD=NEW, such as 03040-TE=03060-TE.")
    return original, substitute


TEXT, DAY, SWAP = _text, _Day(), _swap

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
            _tell(found.problems, "; nothing was changed.", as_json=bool(kwargs.get("as_json")))
        except OSError as error:
            if error.errno == errno.EPIPE:  # the reader of the output has had enough
                raise
            # It may be the printing that failed, after all was kept and written.
            _tell([_refused(error)], ".", as_json=bool(kwargs.get("as_json")))
        sys.exit(WRONG_INPUT)

    return told  # type: ignore[return-value]


def _refused(error: OSError) -> Problem:
    """Return what to tell where the system refuses what no reader or writer foresaw."""
    return Problem(
        "F005", Place(str(error.filename) if error.filename else "this command"),
        f"the system refuses: {error.strerror or error}",
        "see that the folder is there, that you may use it, and that the disk has room")


def _tell(problems: Sequence[Problem], end: str, *, as_json: bool) -> None:
    if as_json:
        echo_problems(problems)
    for problem in problems[:_SHOWN]:
        click.echo(str(problem), err=True)
    if len(problems) > _SHOWN:
        click.echo(f"... and {len(problems) - _SHOWN} more", err=True)
    count = len(problems)
    click.echo(f"{count} problem{'s' if count != 1 else ''}{end}", err=True)


def echo_problems(problems: Sequence[Problem]) -> None:
    """Print problems as JSON on the standard output, if it can still be written to."""
    try:
        echo_json(json.dumps({"problems": [_as_data(each) for each in problems]}))
    except OSError as error:
        if error.errno == errno.EPIPE:
            raise


def echo_json(text: str) -> None:
    """Print JSON, which is UTF-8 whatever the terminal takes (RFC 8259, section 8.1)."""
    click.echo(text.encode("utf-8", "backslashreplace"))


def _as_data(problem: Problem) -> dict[str, Any]:
    where = problem.where
    return {
        "code": problem.code, "file": where.file, "line": where.line, "column": where.column,
        "cell": where.cell, "says": problem.says, "mend": problem.mend,
    }
