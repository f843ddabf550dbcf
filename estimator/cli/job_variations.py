"""`estimator jobs vary`, `agree`, `refuse`, `record`: what was found on a job, and what became."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from dataclasses import asdict
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

import click

from estimator.cli.common import (
    DAY,
    STOPPED,
    TEXT,
    database_option,
    day_of,
    echo_json,
    json_option,
    tell_problems,
)
from estimator.outcome.variation import REASONS

if TYPE_CHECKING:
    from estimator.workflow.agreeing import Answer

_name = click.option("--name", "by", type=TEXT, metavar="NAME", default="", help="Who says so.")


@click.command()
@click.argument("job", type=TEXT)
@click.option("--set", "changes", type=TEXT, multiple=True, required=True, metavar="FACT=VALUE",
              help="A fact as it is now, such as storage.wall=stone or "
              "plane.garage.covering=slate; may be given several times.")
@click.option("--found", type=TEXT, metavar="TEXT", default="", help="What was found, in words.")
@click.option("--photo", type=TEXT, metavar="NAME", default="", help="Where the photo of it lies.")
@click.option("--reason", type=click.Choice(REASONS), required=True, help="Why it was not quoted.")
@click.option("--not-chargeable", is_flag=True, help="The customer pays what was agreed.")
@_name
@database_option
@json_option
@tell_problems
def vary(as_json: bool, database: str | None, not_chargeable: bool, **given: Any) -> None:
    """Price what was found on an accepted job and keep it as its next revision, not agreed yet.

    The survey of the accepted revision is taken with these facts, and the job priced again with the
    prices, rules, norms, practice values and settings of the quote. Checks judge it anew: exit
    status 3 if a finding stops a firm price, and then it cannot be agreed.

    \b
    Example:
      estimator jobs vary D-101 --set "storage.wall=light block" --found "block behind plaster"
          --photo IMG_0012 --reason hidden --name "S. Fitter"
    """
    from estimator.papers.variation import variation_data, variation_text
    from estimator.workflow.varying import VariationAsked, vary

    asked = VariationAsked(chargeable=not not_chargeable, **given)
    varied = vary(database, asked, datetime.now(UTC))
    if as_json:
        echo_json(json.dumps(variation_data(varied), ensure_ascii=False, indent=2))
    else:
        click.echo(variation_text(varied), nl=False)
    if varied.stopped:
        sys.exit(STOPPED)


def _answer_options(command: Callable[..., Any]) -> Callable[..., Any]:
    for option in (
        tell_problems, json_option, database_option, _name,
        click.option("--writing", type=TEXT, metavar="TEXT", default="",
                     help='In which writing, such as "e-mail of 3 May".'),
        click.option("--on", type=DAY, metavar="DATE", help="The day; today if not given."),
        click.argument("number", type=int), click.argument("job", type=TEXT),
    ):
        command = option(command)
    return command


@click.command()
@_answer_options
def agree(**given: Any) -> None:
    """Record that the customer agreed to variation NUMBER in writing, before the work on it.

    Its revision is the accepted one from then on: goods are reserved anew, less what is on site,
    and a pick sheet that is out is stale.

    \b
    Example:
      estimator jobs agree D-101 1 --on 2026-12-07 --writing "e-mail of 7 Dec" --name "B. Office"
    """
    _answer("agreed", given)


@click.command()
@_answer_options
def refuse(**given: Any) -> None:
    """Record that the customer refused variation NUMBER; what was accepted stands.

    \b
    Example:
      estimator jobs refuse D-101 1 --on 2026-12-07 --name "B. Office"
    """
    _answer("refused", given)


def _answer(answer: Answer, given: dict[str, Any]) -> None:
    from estimator.papers.variation import answered_text
    from estimator.workflow.agreeing import VariationAnswered, answer_variation
    from estimator.workflow.firm import here

    database, as_json, on = (given.pop(name) for name in ("database", "as_json", "on"))
    said = VariationAnswered(answer=answer, on=day_of(on), **given)
    done = answer_variation(here(database), said, datetime.now(UTC))
    if as_json:
        told = {**asdict(said), "accepted_revision": done.accepted.revision,
                "net_minor": done.accepted.price.net, "currency": done.accepted.currency}
        echo_json(json.dumps(told, default=str, ensure_ascii=False))
    else:
        click.echo(answered_text(done), nl=False)


@click.command()
@click.argument("job", type=TEXT)
@database_option
@json_option
@tell_problems
def record(job: str, database: str | None, as_json: bool) -> None:
    """Print the whole record of JOB: quotes, answers, days, variations, and what else is kept.

    \b
    Example:
      estimator jobs record D-101
    """
    from estimator.papers.job_record import record_data, record_text
    from estimator.workflow.firm import here
    from estimator.workflow.job_record import job_record

    found = job_record(here(database), job)
    if as_json:
        echo_json(json.dumps(record_data(found), ensure_ascii=False, indent=2))
    else:
        click.echo(record_text(found), nl=False)
