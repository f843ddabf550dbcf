"""`estimator papers`: quote and drawings of a kept job, in one folder."""

from __future__ import annotations

import json
from pathlib import Path

import click

from estimator.cli.common import TEXT, database_option, echo_json, json_option, tell_problems

PARTS = ("quote", "drawings")


@click.command()
@click.argument("job", type=TEXT)
@click.option("--only", type=click.Choice(PARTS), multiple=True,
              help="Only this part. May be repeated.")
@click.option("--revision", type=int, metavar="N", help="The revision; the newest if not given.")
@click.option("--out", type=click.Path(path_type=Path, file_okay=False), required=True,
              metavar="DIR", help="Folder for the papers; files of the same name are replaced.")
@database_option
@json_option
@tell_problems
def papers(job: str, only: tuple[str, ...], revision: int | None, out: Path,
           database: str | None, as_json: bool) -> None:
    """Write the papers of JOB into a folder: the customer's quote, and drawings to scale.

    Walls are drawn with every unit, bracket and hole, roof planes with panels, strings, rails and
    fixings. Begin with index.html. The drawings are for setting out once a competent person has
    checked them: local codes, makers' manuals and licensed practice decide.

    \b
    Example:
      estimator papers D-102 --out papers
    """
    from estimator.workflow.papers import write_job_papers

    written = write_job_papers(database, job, out, only, revision)
    if as_json:
        echo_json(json.dumps({"written": written}))
    else:
        for name in written:
            click.echo(name)
