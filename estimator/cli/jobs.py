"""`estimator jobs`: what has been quoted."""

from __future__ import annotations

import json
from dataclasses import asdict

import click

from estimator.cli.common import TEXT, database_option, echo_json, json_option, tell_problems


@click.group()
def jobs() -> None:
    """List the quoted jobs and print their estimates.

    \b
    Example:
      estimator jobs list
    """


@jobs.command(name="list")
@database_option
@json_option
@tell_problems
def list_(database: str | None, as_json: bool) -> None:
    """List every quoted job by its newest revision.

    \b
    Example:
      estimator jobs list
    """
    from estimator.papers.job_list import job_list
    from estimator.workflow.firm import here
    from estimator.workflow.jobs import listed_jobs

    found = listed_jobs(here(database))
    if as_json:
        echo_json(json.dumps([asdict(job) for job in found], default=str))
    else:
        click.echo(job_list(found))


@jobs.command()
@click.argument("job", type=TEXT)
@click.option("--revision", type=int, metavar="N", help="The revision; the newest if not given.")
@database_option
@json_option
@tell_problems
def show(job: str, revision: int | None, database: str | None, as_json: bool) -> None:
    """Print a kept estimate again, as it was quoted.

    \b
    Example:
      estimator jobs show storage-outside --revision 1
    """
    from estimator.papers.terminal import summary
    from estimator.workflow.firm import here
    from estimator.workflow.jobs import stored_estimate

    kept = stored_estimate(here(database), job, revision)
    if as_json:
        echo_json(kept.dumps())
    else:
        click.echo(summary(kept), nl=False)
