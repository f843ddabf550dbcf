"""`estimator why`: why a line is in a bill, or why an item is not."""

from __future__ import annotations

import click

from estimator.cli.common import TEXT, database_option, echo_json, json_option, tell_problems


@click.command()
@click.argument("job", type=TEXT)
@click.argument("line", type=TEXT, required=False)
@click.option("--not", "absent", type=TEXT, metavar="ITEM",
              help="An item code or role that is not in the bill: say what would add it.")
@click.option("--revision", type=int, metavar="N", help="The revision; the newest if not given.")
@database_option
@json_option
@tell_problems
def why(
    job: str, line: str | None, absent: str | None, revision: int | None, database: str | None,
    as_json: bool,
) -> None:
    """Say why LINE (a number or an item code) is in the bill of JOB, or why an ITEM is not.

    \b
    Example:
      estimator why D-101 3
      estimator why D-101 --not "changeover switch"
    """
    from estimator.workflow.explain import explain

    if (line is None) == (absent is None):
        raise click.UsageError("give a LINE of the bill, or --not ITEM")
    told = explain(database, job, line, absent, revision, as_json=as_json)
    if as_json:
        echo_json(told.rstrip("\n"))
    else:
        click.echo(told, nl=False)
