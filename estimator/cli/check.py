"""`estimator check`: is the job safe, allowed and buildable?"""

from __future__ import annotations

import json
import sys
from datetime import datetime
from pathlib import Path

import click

from estimator.cli.common import (
    DAY,
    STOPPED,
    database_option,
    echo_json,
    json_option,
    tell_problems,
)


@click.command()
@click.argument("survey", type=click.Path(path_type=Path))
@click.option("--on", type=DAY, metavar="DATE",
              help="Day of prices, rules and practice values; today if not given.")
@database_option
@json_option
@tell_problems
def check(survey: Path, on: datetime | None, database: str | None, as_json: bool) -> None:
    """Check a job and print what was found, worst first; nothing is kept or written.

    Each finding shows value, limit, source and who must decide. Exit status 3 if one of them
    stops a firm price.

    \b
    Example:
      estimator check demo_jobs/mostly-unknown/survey.toml
    """
    from estimator.papers.terminal import findings_report
    from estimator.workflow.quote import QuoteRequest
    from estimator.workflow.quote import check as check_job

    day = (on or datetime.now().astimezone()).date()
    done = check_job(QuoteRequest(survey, day, database, write_papers=False))
    if as_json:
        found = done.estimate.model_dump(
            mode="json", include={
                "findings", "questions", "worked", "gaps", "kind", "kind_because"})
        echo_json(json.dumps(found, indent=2, ensure_ascii=False))
    else:
        click.echo(findings_report(done.estimate), nl=False)
    if done.stopped:
        sys.exit(STOPPED)
