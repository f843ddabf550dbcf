"""`estimator orders place`: make orders of what is short."""

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
    echo_json,
    json_option,
    tell_problems,
)
from estimator.cli.order_options import ItemQuantity, rule_options, rules_of


@click.command()
@click.argument("job", type=TEXT, required=False)
@click.option("--item", "items", type=ItemQuantity(), multiple=True, metavar="CODE=QUANTITY",
              help="Order so much of an item for the shelf. May be repeated.")
@click.option("--until", type=DAY, metavar="DATE",
              help="Order what all accepted jobs and the shelf lack until this day.")
@rule_options
@click.option("--with-stock", is_flag=True, help="Order what the shelf would give JOB, too.")
@click.option("--to", type=TEXT, metavar="PLACE", default="store", show_default=True,
              help="Where the goods go: a store, van or counter of yours.")
@click.option("--to-site", is_flag=True, help="Let them be brought to the house of JOB.")
@click.option("--receiver", type=TEXT, metavar="NAME", default="",
              help="Who takes the goods in; must be said with --to-site.")
@click.option("--note", type=TEXT, metavar="TEXT", default="", help="A word to the supplier.")
@click.option("--name", type=TEXT, metavar="NAME", help="Who orders; else the user's name here.")
@click.option("--write", is_flag=True, help="Keep the orders; without it they are only shown.")
@database_option
@json_option
@tell_problems
def place(
    job: str | None, items: tuple[tuple[str, Decimal], ...], until: datetime | None, write: bool,
    database: str | None, as_json: bool, **given: Any,
) -> None:
    """Order the goods of an accepted JOB, items, or all that is short: one order a supplier.

    What is short is what `stock short` shows. What is on order for the job already, or lies there
    for it, is not ordered again. The basket decides who brings what, as in `orders split`. Each
    order says the supplier's codes and ours, whole packs, the price with its last day, lead days,
    carriage, least order, where to and who takes it in. Nothing is sent: `orders papers` writes
    what goes to the supplier.

    \b
    Example:
      estimator orders place D-101 --needed 2026-11-20
      estimator orders place D-101 --to-site --receiver "R. Site, 07700 900123" --write
      estimator orders place --until 2026-12-31
      estimator orders place --item 02902-MC=200 --item 03025-TE=100 --write
    """
    from estimator.papers.order_text import orders_data, orders_text
    from estimator.workflow.order_needs import Ordering
    from estimator.workflow.placing import place_orders

    if bool(job) + bool(items) + bool(until) != 1:
        raise click.UsageError(
            "name a JOB, or items with --item CODE=QUANTITY, or a day with --until: one of them")
    asked = Ordering(
        rules_of(given), job or "", items, until.date() if until else None, given["with_stock"],
        given["to"], given["to_site"], given["receiver"], given["note"], given["name"])
    made = place_orders(database, asked, datetime.now(UTC), write=write)
    if not as_json:
        click.echo(orders_text(made), nl=False)
        if not write and agreed():
            made = place_orders(database, asked, datetime.now(UTC), write=True)
            click.echo(orders_text(made), nl=False)
    else:
        echo_json(json.dumps(orders_data(made), ensure_ascii=False))
