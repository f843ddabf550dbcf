"""`estimator diff`: what changed between two revisions of a job, and what each change did."""

from __future__ import annotations

import json

import click

from estimator.cli.common import (
    TEXT,
    database_option,
    echo_json,
    json_option,
    progress,
    tell_problems,
)


@click.command()
@click.argument("job", type=TEXT)
@click.argument("was", type=int, metavar="REV1")
@click.argument("now", type=int, metavar="REV2")
@click.option("--all", "every_step", is_flag=True, help="Show changes that move no money too.")
@click.option("--both-ways", is_flag=True,
              help="Give the mean of the shares in the stated order and in the opposite one.")
@database_option
@json_option
@tell_problems
def diff(
    job: str, was: int, now: int, every_step: bool, both_ways: bool, database: str | None,
    as_json: bool,
) -> None:
    """Say what made cost and price of JOB change from revision REV1 to REV2, by cause.

    Both revisions are made again from what they were made with; then the day, facts, practice
    values, norms, rules, settings, data sheets, prices, substitutes and the discount are replaced
    one after another. The shares add up to the change of price to the penny.

    \b
    Example:
      estimator diff D-101 1 2
    """
    from estimator.papers.difference import difference_data, difference_text
    from estimator.workflow.difference import DiffRequest, difference

    with progress("changes") as tell:
        found = difference(DiffRequest(job, was, now, database, both_ways), tell)
    if as_json:
        echo_json(json.dumps(difference_data(found), ensure_ascii=False, indent=2))
    else:
        click.echo(difference_text(found, every_step=every_step), nl=False)
