"""`estimator jobs accept`, `decline`, `reopen`, `close`: what became of a quoted job."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import asdict
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

import click

from estimator.cli.common import DAY, TEXT, database_option, echo_json, json_option, tell_problems

if TYPE_CHECKING:
    from estimator.workflow.job_states import Event


def _answer_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command the options of everything that is said of a job."""
    for option in (
        tell_problems, json_option, database_option,
        click.option("--why", type=TEXT, metavar="TEXT", default="", help="Why."),
        click.option("--name", type=TEXT, metavar="NAME", default="", help="Who says so."),
        click.argument("job", type=TEXT),
    ):
        command = option(command)
    return command


_revision_option = click.option(
    "--revision", type=int, metavar="N", help="The revision; the newest if not given.")


@click.command()
@_answer_options
@_revision_option
@click.option("--on", type=DAY, metavar="DATE", help="Day on which the goods are needed; else that "
              "of the work, as the survey says it, else today.")
def accept(revision: int | None, on: datetime | None, **given: Any) -> None:
    """Record that the customer takes a quote, and reserve its goods; a firm price, still valid.

    \b
    Example:
      estimator jobs accept D-101 --name "R. Owner" --why "signed at the house"
      estimator jobs accept D-101 --name "R. Owner" --on 2026-11-20
    """
    _record("accepted", revision, given, on)


@click.command()
@_answer_options
@_revision_option
def decline(revision: int | None, **given: Any) -> None:
    """Record that the customer does not take a quote.

    \b
    Example:
      estimator jobs decline D-101 --name "R. Owner" --why "went to another firm"
    """
    _record("declined", revision, given)


@click.command()
@_answer_options
def reopen(**given: Any) -> None:
    """Record that the answer no longer holds: the job is open again, and nothing reserved for it.

    A job that was closed too early is accepted again.

    \b
    Example:
      estimator jobs reopen D-101 --name "R. Owner" --why "wants two modules after all"
    """
    _record("reopened", None, given)


@click.command()
@_answer_options
def close(**given: Any) -> None:
    """Record that an accepted job is done: goods are back on their sheet, tests and papers said.

    Of every reading somebody has said what it was, or why there is none: estimator closeout show
    JOB. What is still reserved for it is let go. What it used, and what that cost:
    estimator stock used JOB.

    \b
    Example:
      estimator jobs close D-101 --name "S. Fitter" --why "handed over"
    """
    _record("closed", None, given)


def _record(event: Event, revision: int | None, given: dict[str, Any],
            needed: datetime | None = None) -> None:
    from estimator.workflow.firm import here
    from estimator.workflow.job_states import Said, record

    said = Said(given["job"], given["name"], given["why"], revision,
                needed.date() if needed else None)
    found = record(here(given["database"]), event, said, datetime.now(UTC))
    if given["as_json"]:
        echo_json(json.dumps(asdict(found), default=str))
    else:
        now = "accepted again" if (event, found.state) == ("reopened", "accepted") else event
        click.echo(f"Job {found.job}, revision {found.revision}: {now} "
                   f"on {found.at:%Y-%m-%d}, says {found.by}")
