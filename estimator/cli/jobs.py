"""`estimator jobs`: what has been quoted, and what became of it."""

from __future__ import annotations

import json
import sys
from dataclasses import asdict
from datetime import datetime
from pathlib import Path

import click

from estimator.cli.common import (
    DAY,
    STOPPED,
    TEXT,
    database_option,
    echo_json,
    json_option,
    tell_problems,
)
from estimator.cli.job_answers import accept, close, decline, reopen
from estimator.cli.job_days import begin, commission, contacted, plan, sent
from estimator.cli.job_variations import agree, record, refuse, vary


@click.group()
def jobs() -> None:
    """List the quoted jobs, print them and their cuts, try a substitute, say what became of them.

    \b
    Example:
      estimator jobs list
    """


for told in (accept, decline, reopen, close, sent, contacted, plan, begin, commission, vary, agree,
             refuse, record):
    jobs.add_command(told)


@jobs.command(name="list")
@database_option
@json_option
@tell_problems
def list_(database: str | None, as_json: bool) -> None:
    """List every quoted job, and where it stands.

    It is open, sent, accepted, planned, on site, commissioned, closed or declined. Of one that was
    accepted the accepted revision is shown, else the newest.

    \b
    Example:
      estimator jobs list
    """
    from estimator.papers.job_list import job_list
    from estimator.workflow.firm import here
    from estimator.workflow.job_list import listed_jobs

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
      estimator jobs show D-101 --revision 1
    """
    from estimator.papers.terminal import summary
    from estimator.workflow.firm import here
    from estimator.workflow.jobs import stored_estimate

    kept = stored_estimate(here(database), job, revision)
    if as_json:
        echo_json(kept.dumps())
    else:
        click.echo(summary(kept), nl=False)


@jobs.command()
@click.argument("job", type=TEXT)
@click.option("--revision", type=int, metavar="N", help="The revision; the newest if not given.")
@click.option("--svg", type=click.Path(path_type=Path), metavar="FILE",
              help="Draw the cuts as well, in an .svg file.")
@click.option("--replace", is_flag=True, help="Replace the drawing if it is there already.")
@click.option("--have", "have", type=TEXT, multiple=True, metavar="ITEM=LENGTH[,LENGTH...]",
              help="Pieces on hand, in metres, to be used where that is cheapest. May be repeated.")
@click.option("--from-stock", is_flag=True,
              help="Use the lengths in stock as well, as the books have them.")
@database_option
@json_option
@tell_problems
def cuts(job: str, revision: int | None, svg: Path | None, replace: bool, have: tuple[str, ...],
         from_stock: bool, database: str | None, as_json: bool) -> None:
    """Print what is cut from each bar and drum of a kept estimate, to be followed on site.

    With pieces on hand the cuts are laid out again, and what that saves is told; the quote stays
    as it is.

    \b
    Examples:
      estimator jobs cuts D-102 --svg cuts.svg
      estimator jobs cuts D-102 --have 08125-TR=2.4,1.35 --from-stock
    """
    from estimator.papers.cut_list import cut_list
    from estimator.workflow.cutting import kept_cuts
    from estimator.workflow.firm import here

    if have or from_stock:
        from estimator.papers.on_hand import hand_data, hand_text
        from estimator.workflow.on_hand import OnHandAsked, cuts_on_hand

        found = cuts_on_hand(here(database), job, OnHandAsked(have, from_stock), revision, svg,
                             replace=replace)
        echo_json(json.dumps(hand_data(found), ensure_ascii=False)) if as_json else (
            click.echo(hand_text(found), nl=False))
        return
    kept = kept_cuts(here(database), job, revision, svg, replace)
    if as_json:
        held = kept.model_dump(mode="json", include={"cuts", "cables"})
        echo_json(json.dumps(held, ensure_ascii=False))
    else:
        click.echo(cut_list(kept), nl=False)


@jobs.command()
@click.argument("job", type=TEXT)
@click.argument("old", type=TEXT)
@click.argument("new", type=TEXT)
@click.option("--on", type=DAY, metavar="DATE",
              help="Day of the prices; that of the revision if not given.")
@click.option("--revision", type=int, metavar="N", help="The revision; the newest if not given.")
@database_option
@json_option
@tell_problems
def swap(job: str, old: str, new: str, on: datetime | None, revision: int | None,
         database: str | None, as_json: bool) -> None:
    """Show what item NEW in place of OLD changes on JOB: lines, boxes, checks, hours, price.

    Nothing is kept; `estimator quote SURVEY --substitute OLD=NEW` makes the revision. Exit status 3
    if a finding stops a firm price with the substitute.

    \b
    Example:
      estimator jobs swap D-101 03040-TE 03060-TE
    """
    from estimator.papers.swap import swap_data, swap_text
    from estimator.workflow.swap import SwapRequest, try_swap

    day = on.date() if on is not None else None
    tried = try_swap(SwapRequest(job, old, new, database, day, revision))
    if as_json:
        echo_json(json.dumps(swap_data(tried), ensure_ascii=False))
    else:
        click.echo(swap_text(tried), nl=False)
    if tried.stopped:
        sys.exit(STOPPED)
