"""`estimator norms`: list the labour norms, learn others from finished jobs, accept them."""

from __future__ import annotations

import json
from datetime import date, datetime
from pathlib import Path
from typing import Any

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

on_option = click.option("--on", type=DAY, metavar="DATE",
                         help="Day on which the norms hold; today if not given.")


@click.group()
def norms() -> None:
    """List the labour norms, learn from finished jobs what they should be, accept that.

    \b
    Example:
      estimator norms learn --from 2026-01-01 --out out/norms.toml
    """


@norms.command()
@click.option("--from", "first", type=DAY, metavar="DATE", help="Jobs closed on this day or later.")
@click.option("--to", "last", type=DAY, metavar="DATE", help="Jobs closed on this day or earlier.")
@click.option("--out", type=click.Path(path_type=Path), metavar="FILE.toml",
              help="Also write the proposed norms to this file, for review.")
@click.option("--replace", is_flag=True, help="Write over a file that is there.")
@on_option
@database_option
@json_option
@tell_problems
def learn(as_json: bool, on: datetime | None, **chosen: Any) -> None:
    """Say what finished jobs say of each norm: how long the task took against what was reckoned.

    Ratios are pulled towards the other tasks, the more the fewer jobs there are. A norm is proposed
    only where there are enough jobs and chance alone is no likely reason. Nothing changes until
    somebody accepts the file.

    \b
    Example:
      estimator norms learn --from 2026-01-01 --to 2026-12-31
      estimator norms learn --out out/norms.toml
    """
    from estimator.papers.norms_learned import learned_data, learned_text
    from estimator.workflow.booked_hours import Period
    from estimator.workflow.norms import LearnRequest, learn_norms

    out: Path | None = chosen["out"]
    told = learn_norms(LearnRequest(
        day_of(on), Period(_day(chosen["first"]), _day(chosen["last"])), chosen["database"], out,
        chosen["replace"]))
    if as_json:
        echo_json(json.dumps(learned_data(told), ensure_ascii=False, indent=2))
        return
    click.echo(learned_text(told), nl=False)
    if out is not None:
        click.echo(f"\nWritten: {out}. Look through it, then: estimator norms accept {out} "
                   '--name "WHO" --from DATE')


@norms.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--name", type=TEXT, metavar="TEXT", required=True, help="Who accepts the norms.")
@click.option("--from", "starts", type=DAY, metavar="DATE", required=True,
              help="Day from which on they hold.")
@json_option
@tell_problems
def accept(file: Path, name: str, starts: datetime, as_json: bool) -> None:
    """Put the norms of a looked-through proposal into the firm's folder, from a day on.

    What was quoted stays as it was; quotes of that day and later take the new norms. A proposal is
    refused if the norms have changed since it was learned.

    \b
    Example:
      estimator norms accept out/norms.toml --name "R. Owner" --from 2027-01-01
    """
    from estimator.papers.norms_list import accepted_data, accepted_lines
    from estimator.workflow.norms_accept import AcceptRequest, accept_norms

    done = accept_norms(AcceptRequest(file, name, starts.date(), day_of(None)))
    if as_json:
        echo_json(json.dumps(accepted_data(done), ensure_ascii=False, indent=2))
    else:
        click.echo(accepted_lines(done), nl=False)


@norms.command(name="list")
@click.argument("words", nargs=-1, type=TEXT)
@click.option("--all", "every", is_flag=True,
              help="Also versions that begin later or that others have taken the place of.")
@on_option
@json_option
@tell_problems
def list_(words: tuple[str, ...], every: bool, on: datetime | None, as_json: bool) -> None:
    """List the norms that hold on a day: minutes, crew, since when, from which file.

    WORDS narrow the list to norms whose id, name or group holds all of them.

    \b
    Example:
      estimator norms list roof fixing
    """
    from estimator.papers.norms_list import list_data, list_text
    from estimator.workflow.norms import listed_norms

    day = day_of(on)
    found = [each for each in listed_norms(day) if (every or each.holds) and all(
        word.lower() in f"{each.norm.id} {each.norm.name} {each.norm.group}".lower()
        for word in words)]
    if as_json:
        echo_json(json.dumps(list_data(found), ensure_ascii=False, indent=2))
    else:
        click.echo(list_text(found, day), nl=False)


def _day(given: datetime | None) -> date | None:
    return None if given is None else given.date()
