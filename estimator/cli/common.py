"""What every command shares: the database option, machine output, and how problems are told."""

from __future__ import annotations

import errno
import functools
import json
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date, datetime
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


@contextmanager
def progress(named: str, after_s: float = 0.0) -> Iterator[Callable[[int, int], None]]:
    """Give a function that moves a progress bar on the error output, where a person sees it.

    Args:
        named: stands before the bar.
        after_s: seconds for which there is none yet.
    """
    shown: list[Any] = []
    start = time.monotonic()

    def tell(done: int, of: int) -> None:
        if not sys.stderr.isatty() or time.monotonic() - start < after_s:
            return
        if not shown:
            shown.append(click.progressbar(length=of, label=named, file=sys.stderr))
            shown[0].__enter__()
        shown[0].update(done - shown[0].pos)

    try:
        yield tell
    finally:
        for bar in shown:
            bar.__exit__(None, None, None)


def agreed() -> bool:
    """Ask a person whether to write; without a terminal say how to go on."""
    if sys.stdin.isatty():
        return click.confirm("Write these changes?")
    click.echo("Add --write to write the changes.")
    return False


def day_of(given: datetime | None) -> date:
    """Return the day of an option, or today."""
    return (given or datetime.now().astimezone()).date()


def echo_either(data: Any, text: str, as_json: bool) -> None:
    """Print data for a machine, or text for a person."""
    if as_json:
        from estimator.cli.catalogue_text import as_json as written

        echo_json(written(data))
    else:
        click.echo(text)


def echo_json(text: str) -> None:
    """Print JSON, which is UTF-8 whatever the terminal takes (RFC 8259, section 8.1)."""
    click.echo(text.encode("utf-8", "backslashreplace"))


def _as_data(problem: Problem) -> dict[str, Any]:
    where = problem.where
    return {
        "code": problem.code, "file": where.file, "line": where.line, "column": where.column,
        "cell": where.cell, "says": problem.says, "mend": problem.mend,
    }
