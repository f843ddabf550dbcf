"""`estimator orders`: what to order where, what is on order, what came of it."""

from __future__ import annotations

import json
from datetime import UTC, datetime
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
from estimator.cli.order_options import rule_options, rules_of
from estimator.cli.orders_place import place
from estimator.cli.orders_receive import receive


@click.group()
def orders() -> None:
    """Decide what to order from whom, order it, and take in what comes.

    \b
    Example:
      estimator orders place D-101 --needed 2026-11-20
    """


@orders.command()
@click.argument("job", type=TEXT)
@click.option("--revision", type=int, metavar="N", help="The revision; the newest if not given.")
@rule_options
@click.option("--with-stock", is_flag=True, help="Order what the shelf would give, too.")
@database_option
@json_option
@tell_problems
def split(job: str, revision: int | None, with_stock: bool, database: str | None, as_json: bool,
          **given: Any) -> None:
    """Split the goods of JOB over suppliers so that all of them cost least.

    Counted are the goods in whole packs, carriage with its free thresholds, goods bought beyond
    the need to reach a least order, and what waiting for the last goods costs. The split is held
    against the cheapest single supplier and against the cheapest goods line by line.

    \b
    Example:
      estimator orders split D-101 --needed 2026-11-20 --lock "01136-OU=Storage Depot"
    """
    from estimator.papers.order_split import order_data, order_text
    from estimator.workflow.orders import Asked, split_orders

    made = split_orders(database, Asked(job, revision, rules_of(given), with_stock))
    if as_json:
        echo_json(json.dumps(order_data(made), ensure_ascii=False))
    else:
        click.echo(order_text(made), nl=False)


orders.add_command(place)
orders.add_command(receive)


@orders.command(name="list")
@click.option("--open", "only_open", is_flag=True, help="Only those of which something is to come.")
@click.option("--on", type=DAY, metavar="DATE", help="Day to judge prices and delays by.")
@database_option
@json_option
@tell_problems
def list_(only_open: bool, on: datetime | None, database: str | None, as_json: bool) -> None:
    """List the orders: from whom, what for, when it comes, how it stands.

    \b
    Example:
      estimator orders list --open
    """
    from estimator.papers.order_text import order_list, placed_data
    from estimator.workflow.firm import here
    from estimator.workflow.order_records import stored_orders

    found = stored_orders(here(database), only_open)
    if as_json:
        echo_json(json.dumps([placed_data(each) for each in found], ensure_ascii=False))
    else:
        click.echo(order_list(found, day_of(on)))


@orders.command()
@click.argument("number", type=click.IntRange(min=1))
@click.option("--on", type=DAY, metavar="DATE", help="Day to judge prices and delays by.")
@database_option
@json_option
@tell_problems
def show(number: int, on: datetime | None, database: str | None, as_json: bool) -> None:
    """Show an order: its lines, what came of each and at which price.

    \b
    Example:
      estimator orders show 12
    """
    from estimator.papers.order_text import placed_data, placed_text
    from estimator.workflow.firm import here
    from estimator.workflow.order_records import stored_order

    found = stored_order(here(database), number)
    if as_json:
        echo_json(json.dumps(placed_data(found), ensure_ascii=False))
    else:
        click.echo(placed_text(found, day_of(on)), nl=False)


@orders.command()
@click.argument("number", type=click.IntRange(min=1))
@click.option("--out", type=click.Path(path_type=Path, file_okay=False), metavar="DIR",
              default=Path("out"), show_default=True, help="Folder for the papers.")
@database_option
@json_option
@tell_problems
def papers(number: int, out: Path, database: str | None, as_json: bool) -> None:
    """Write an order as a workbook, as a page to print, and as XML (UBL 2.1 Order).

    The same order gives the same files; those that are there are replaced.

    \b
    Example:
      estimator orders papers 12 --out out
    """
    from estimator.workflow.order_papers import write_order_papers

    written = write_order_papers(database, number, out)
    if as_json:
        echo_json(json.dumps({"written": written}))
    else:
        click.echo("\n".join(f"written: {each}" for each in written))


@orders.command()
@click.argument("number", type=click.IntRange(min=1))
@click.option("--why", type=TEXT, metavar="TEXT", default="", help="Why.")
@click.option("--name", type=TEXT, metavar="NAME", help="Who says so; else the user's name here.")
@database_option
@json_option
@tell_problems
def cancel(number: int, why: str, name: str | None, database: str | None, as_json: bool) -> None:
    """Record that what has not come of an order is not wanted any more.

    What came stays. Telling the supplier is left to you.

    \b
    Example:
      estimator orders cancel 12 --why "the customer took another converter"
    """
    from estimator.papers.order_text import placed_data, placed_text
    from estimator.workflow.firm import here
    from estimator.workflow.receipts import cancel_order

    at = datetime.now(UTC)
    found = cancel_order(here(database), number, name, why, at)
    if as_json:
        echo_json(json.dumps(placed_data(found), ensure_ascii=False))
    else:
        click.echo(placed_text(found, at.astimezone().date()), nl=False)
