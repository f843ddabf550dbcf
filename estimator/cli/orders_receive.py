"""`estimator orders receive`: take in what comes of an order."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

import click

from estimator.cli.common import (
    DAY,
    TEXT,
    agreed,
    database_option,
    day_of,
    echo_json,
    json_option,
    tell_problems,
)
from estimator.cli.order_options import LineAmount, LineBatch, LineNumber, LineText


@click.command()
@click.argument("number", type=click.IntRange(min=1))
@click.option("--line", "good", type=LineNumber(), multiple=True, metavar="N=QUANTITY",
              help="So many units of a line came in good order. May be repeated.")
@click.option("--all", "everything", is_flag=True, help="All that was still to come came.")
@click.option("--damaged", type=LineNumber(), multiple=True, metavar="N=QUANTITY",
              help="So many units of a line came damaged; they go into quarantine.")
@click.option("--price", "prices", type=LineAmount(), multiple=True, metavar="N=AMOUNT",
              help="What was charged, for as many units as the ordered price is for.")
@click.option("--serial", "serials", type=LineText(), multiple=True, metavar="N=SERIAL",
              help="Serial number of one good unit. May be repeated.")
@click.option("--batch", "batches", type=LineBatch(), multiple=True, metavar="N=BATCH[@DATE]",
              help="Batch of a line's good units, and the last day on which it may be used.")
@click.option("--note", type=TEXT, metavar="TEXT", default="",
              help="Number of the supplier's delivery note.")
@click.option("--on", type=DAY, metavar="DATE", help="Day on which it came; else today.")
@click.option("--name", type=TEXT, metavar="NAME", help="Who took it in; else the user here.")
@click.option("--write", is_flag=True, help="Write it; without it the moves are only shown.")
@database_option
@json_option
@tell_problems
def receive(
    number: int, good: tuple[tuple[int, Decimal], ...], write: bool, database: str | None,
    as_json: bool, **given: Any,
) -> None:
    """Take in what came of order NUMBER: good, damaged, at another price, or only a part.

    Good goods go where the order was to go, at the price paid; damaged ones into quarantine. What
    has not come stays on order. More than is on order is refused. What was paid above the ordered
    price is shown as price variance, never hidden in the job's margin.

    \b
    Example:
      estimator orders receive 12 --line 1=2 --damaged 1=1 --price 2=61.00 --note DN-4711 --write
      estimator orders receive 13 --line 1=6 --batch 1=B-77@2027-03-31 --write
    """
    from estimator.papers.receipt_text import receipt_data, receipt_text
    from estimator.workflow.firm import here
    from estimator.workflow.receipt_lots import Arrival
    from estimator.workflow.receipts import receive_order

    said = Arrival(
        number, good, given["damaged"], given["prices"], given["serials"], given["everything"],
        day_of(given["on"]), given["note"], given["name"], given["batches"])
    made = receive_order(here(database), said, datetime.now(UTC), write=write)
    if not as_json:
        click.echo(receipt_text(made), nl=False)
        if not write and agreed():
            made = receive_order(here(database), said, datetime.now(UTC), write=True)
            click.echo(receipt_text(made), nl=False)
    else:
        echo_json(json.dumps(receipt_data(made), ensure_ascii=False))
