"""`estimator quote`: the main job."""

from __future__ import annotations

import sys
from datetime import datetime
from pathlib import Path
from typing import Any

import click

from estimator.cli.common import (
    DAY,
    STOPPED,
    SWAP,
    TEXT,
    database_option,
    echo_json,
    json_option,
    tell_problems,
)


@click.command()
@click.argument("survey", type=click.Path(path_type=Path))
@click.option("--on", type=DAY, metavar="DATE",
              help="Day of prices, rules and practice values; today if not given.")
@click.option("--out", type=click.Path(path_type=Path, file_okay=False), metavar="FOLDER",
              help="Where the papers go; 'out' beside the firm's jobs if not given.")
@click.option("--discount", type=TEXT, metavar="AMOUNT", help="Money off, such as 150 or 5%.")
@click.option("--let-pass", "codes", multiple=True, type=TEXT, metavar="CODE",
              help="Quote firm although this finding is a stop; may be given several times.")
@click.option("--substitute", "swaps", multiple=True, type=SWAP, metavar="OLD=NEW",
              help="Take item NEW wherever OLD would be taken; may be given several times.")
@click.option("--reason", type=TEXT, metavar="TEXT", default="",
              help="Why the discount is given, the stop let pass or the substitute taken.")
@click.option("--name", type=TEXT, metavar="TEXT", default="", help="Who allows it.")
@click.option("--no-papers", is_flag=True, help="Write no workbook and no quote.")
@database_option
@json_option
@tell_problems
def quote(survey: Path, on: datetime | None, as_json: bool, **chosen: Any) -> None:
    """Quote a job from its survey: bill of materials, hours, price, workbook and quote.

    Exit status: 0 done, 1 the input is wrong, 2 usage, 3 a finding stops a firm price (a budget
    is given all the same).

    A substitute must be as good in every hard field (estimator catalogue substitutes OLD lists
    them); checks, boxes, hours and price are worked out again with it. Discount, stops let pass
    and substitutes hold for the revision that is made, so give them again with the next.

    \b
    Example:
      estimator quote demo_jobs/storage-outside/survey.toml
      estimator quote survey.toml --substitute 03040-TE=03060-TE --reason "out of stock"
      estimator quote survey.toml --let-pass pv-listed --reason "consent is filed" --name "A. B."
    """
    from estimator.workflow.quote import quote as quote_job

    done = quote_job(_request(survey, on, chosen))
    if as_json:
        echo_json(done.estimate.dumps())
    else:
        click.echo(_told(done), nl=False)
    for caution in done.cautions:
        click.echo(f"caution: {caution}", err=True)
    if done.stopped:
        sys.exit(STOPPED)


def _request(survey: Path, on: datetime | None, chosen: dict[str, Any]) -> Any:
    from estimator.buying.swaps import Swap
    from estimator.verdict import LetPass
    from estimator.workflow.quote import DiscountAsked, QuoteRequest

    discount, reason, name = chosen["discount"], chosen["reason"], chosen["name"]
    return QuoteRequest(
        survey=survey, on=(on or datetime.now().astimezone()).date(),
        database=chosen["database"], out=chosen["out"], write_papers=not chosen["no_papers"],
        discount=None if discount is None else DiscountAsked(discount, reason, name),
        passes=tuple(LetPass(code, name, reason) for code in chosen["codes"]),
        swaps=tuple(Swap(old, new, reason, name) for old, new in chosen["swaps"]),
    )


def _told(done: Any) -> str:
    from estimator.papers.terminal import summary

    notes = [path.as_posix() for path in done.files]
    text = summary(done.estimate, notes)
    if not done.new:
        text += f"Nothing has changed since revision {done.estimate.revision}; it stands.\n"
    if done.made_database:
        text += f"A new database with the starter catalogue was made: {done.made_database}\n"
    return str(text)
