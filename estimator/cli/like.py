"""`estimator like`: the finished jobs that are most like a new one."""

from __future__ import annotations

import json
from datetime import datetime

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


@click.command()
@click.argument("named", metavar="SURVEY|JOB", type=TEXT)
@click.option("--on", type=DAY, metavar="DATE",
              help="Day of the prices for a survey; today if not given.")
@database_option
@json_option
@tell_problems
def like(named: str, on: datetime | None, database: str | None, as_json: bool) -> None:
    """Show the five finished jobs most like a job, and what became of their hours and cost.

    SURVEY is a file that is estimated now, JOB one that was quoted. Jobs are alike by kind,
    covering, wall, storeys, panels, modules, metres of cable, travel and area, as far as both are
    known. The price for a panel, a module and a kWh is held against the last 20 quotes of the same
    kind. For the office only.

    \b
    Example:
      estimator like demo_jobs/storage-outside/survey.toml
    """
    from estimator.papers.like import like_data, like_text
    from estimator.workflow.like import LikeRequest, like_jobs

    told = like_jobs(LikeRequest(named, day_of(on), database))
    if as_json:
        echo_json(json.dumps(like_data(told), ensure_ascii=False, indent=2))
    else:
        click.echo(like_text(told), nl=False)
