"""`estimator jobs sent`, `contacted`, `plan`, `begin`, `commission`: on which day it happened."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import asdict
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

import click

from estimator.cli.common import (
    DAY,
    TEXT,
    database_option,
    day_of,
    echo_json,
    json_option,
    tell_problems,
)

if TYPE_CHECKING:
    from estimator.workflow.job_days import What


def _day_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command the options of everything that happens on a day."""
    for option in (
        tell_problems, json_option, database_option,
        click.option("--note", "why", type=TEXT, metavar="TEXT", default="", help="Any remark."),
        click.option("--name", "by", type=TEXT, metavar="NAME", default="", help="Who says so."),
        click.option("--on", type=DAY, metavar="DATE", help="The day; today if not given."),
        click.argument("job", type=TEXT),
    ):
        command = option(command)
    return command


_crew = click.option("--crew", type=TEXT, metavar="CREW", default="", help="Who does it.")


@click.command()
@_day_options
def sent(**given: Any) -> None:
    """Record on which day the quote went to the customer.

    \b
    Example:
      estimator jobs sent D-101 --on 2026-11-03 --name "B. Office"
    """
    _record("sent", given)


@click.command()
@_day_options
@click.option("--chance", type=int, metavar="PERCENT",
              help="How likely the customer takes it, from 0 to 100.")
def contacted(chance: int | None, **given: Any) -> None:
    """Record that the customer of an open quote was spoken to, and how likely it is taken.

    \b
    Example:
      estimator jobs contacted D-101 --chance 60 --note "decides by Friday" --name "B. Office"
    """
    _record("contacted", {**given, "chance_percent": chance})


@click.command()
@_day_options
@_crew
def plan(**given: Any) -> None:
    """Record for which day an accepted job is planned, and which crew is to do it.

    \b
    Example:
      estimator jobs plan D-101 --on 2026-12-07 --crew North --name "B. Office"
    """
    _record("planned", given)


@click.command()
@_day_options
@_crew
def begin(**given: Any) -> None:
    """Record on which day work on an accepted job began, and which crew does it.

    Without --crew it is the one that was planned.

    \b
    Example:
      estimator jobs begin D-101 --on 2026-12-07 --crew North --name "S. Fitter"
    """
    _record("begun", given)


@click.command()
@_day_options
def commission(**given: Any) -> None:
    """Record on which day a job was commissioned; the clocks of papers and notices start then.

    It says nothing of tests: readings and certificates are the close-out's, and a competent
    person's.

    \b
    Example:
      estimator jobs commission D-101 --on 2026-12-08 --name "S. Fitter"
    """
    _record("commissioned", given)


def _record(what: What, given: dict[str, Any]) -> None:
    from estimator.workflow.firm import here
    from estimator.workflow.job_days import DaySaid, record_day

    database, as_json, on = (given.pop(name) for name in ("database", "as_json", "on"))
    said = DaySaid(what=what, on=day_of(on), **given)
    done = record_day(here(database), said, datetime.now(UTC))
    if as_json:
        echo_json(json.dumps({**asdict(done.said), "stands": done.stands}, default=str))
        return
    crew = f" by crew {done.said.crew}" if done.said.crew else ""
    chance = "" if done.said.chance_percent is None else f", chance {done.said.chance_percent} %"
    click.echo(f"Job {done.said.job}: {what} on {done.said.on}{crew}{chance}, says {done.said.by}; "
               f"it is {done.stands} now")
