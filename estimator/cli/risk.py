"""`estimator risk`: how far the cost of a job may spread, and how likely it makes a loss."""

from __future__ import annotations

import json
from datetime import date, datetime
from decimal import Decimal
from typing import Any

import click

from estimator.cli.common import (
    DAY,
    TEXT,
    database_option,
    day_of,
    echo_json,
    json_option,
    progress,
    tell_problems,
)

_MOST_PERCENT = 90


@click.command()
@click.argument("named", metavar="SURVEY|JOB", type=TEXT)
@click.option("--seed", type=click.IntRange(0, 2**32 - 1), default=1, show_default=True,
              help="Of the random draws: the same seed gives the same figures.")
@click.option("--chance", type=click.FloatRange(0.001, 0.999), default=0.1, show_default=True,
              help="Tell the net price at which no more than this share of jobs make a loss.")
@click.option("--runs", type=click.IntRange(1_000, 1_000_000), default=20_000, show_default=True,
              help="How many jobs like it are simulated.")
@click.option("--order", "order_on", type=DAY, metavar="DATE",
              help="Day on which the goods are ordered; the quote's last day if not given.")
@click.option("--spread", type=click.FloatRange(0, _MOST_PERCENT), metavar="PERCENT",
              help="How far prices may move that no offer promises until then; else the firm's "
              "price_spread.")
@click.option("--on", type=DAY, metavar="DATE",
              help="Day of the prices for a survey; today if not given.")
@database_option
@json_option
@tell_problems
def risk(named: str, on: datetime | None, as_json: bool, **chosen: Any) -> None:
    """Say how far the cost of a job may spread, and how likely it makes a loss at its price.

    SURVEY is a file that is estimated now, JOB one that was quoted. A common job factor, each task,
    the open risks, prices that nobody promises and the answers to open questions are drawn again
    and again. The same seed gives the same figures on every machine. For the office only.

    \b
    Example:
      estimator risk demo_jobs/storage-outside/survey.toml
      estimator risk D-101 --chance 0.05 --order 2027-01-04
    """
    from estimator.papers.risk import risk_data, risk_text
    from estimator.workflow.risk import RiskRequest, job_risk

    with progress("runs", after_s=1.0) as tell:
        told = job_risk(RiskRequest(
            named, day_of(on), chosen["database"], _day(chosen["order_on"]),
            _share(chosen["spread"]), chosen["seed"], chosen["runs"], chosen["chance"]), tell)
    if as_json:
        echo_json(json.dumps(risk_data(told), ensure_ascii=False, indent=2))
    else:
        click.echo(risk_text(told), nl=False)


def _day(given: datetime | None) -> date | None:
    return None if given is None else given.date()


def _share(percent: float | None) -> Decimal | None:
    return None if percent is None else Decimal(str(percent)) / 100
