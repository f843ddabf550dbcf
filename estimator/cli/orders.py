"""`estimator orders`: what to order where."""

from __future__ import annotations

import json
from datetime import datetime
from decimal import Decimal, InvalidOperation
from typing import Any

import click

from estimator.cli.common import (
    DAY,
    TEXT,
    database_option,
    echo_json,
    json_option,
    tell_problems,
)


class _Amount(click.ParamType[Decimal]):
    """An amount of money in major units, to the penny."""

    name = "amount"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        try:
            amount = Decimal(value)
        except InvalidOperation:
            amount = Decimal("NaN")
        if not amount.is_finite() or not 0 <= amount <= 10_000_000 or amount != round(amount, 2):
            self.fail(f"'{value}' is not an amount such as 250 or 250.50.", param, ctx)
        return amount


class _Lock(click.ParamType[tuple[str, str]]):
    """An item and the supplier who is to bring it."""

    name = "item=supplier"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        item, given, supplier = TEXT(value).partition("=")
        if not (item.strip() and given and supplier.strip()):
            self.fail(f"'{value}' is not ITEM=SUPPLIER.", param, ctx)
        return item.strip(), supplier.strip()


@click.group()
def orders() -> None:
    """Decide what to order from whom.

    \b
    Example:
      estimator orders split storage-outside
    """


@orders.command()
@click.argument("job", type=TEXT)
@click.option("--revision", type=int, metavar="N", help="The revision; the newest if not given.")
@click.option("--on", type=DAY, metavar="DATE", help="Day of the order and its prices; else today.")
@click.option("--needed", type=DAY, metavar="DATE", help="Day on which all must be there.")
@click.option("--late-per-day", type=_Amount(), metavar="AMOUNT",
              help="Cost of each day later; else the firm's setting.")
@click.option("--hard", is_flag=True, help="Take nothing that comes after the day needed.")
@click.option("--lock", "locks", type=_Lock(), multiple=True, metavar="ITEM=SUPPLIER",
              help="Who is to bring an item, decided already. May be repeated.")
@click.option("--without", type=TEXT, multiple=True, metavar="SUPPLIER",
              help="Take nothing from this supplier. May be repeated.")
@click.option("--with-stock", is_flag=True, help="Order what the shelf would give, too.")
@database_option
@json_option
@tell_problems
def split(
    job: str, on: datetime | None, needed: datetime | None, locks: tuple[tuple[str, str], ...],
    database: str | None, as_json: bool, **more: Any,
) -> None:
    """Split the goods of JOB over suppliers so that all of them cost least.

    Counted are the goods in whole packs, carriage with its free thresholds, goods bought beyond
    the need to reach a least order, and what waiting for the last goods costs. The split is held
    against the cheapest single supplier and against the cheapest goods line by line.

    \b
    Example:
      estimator orders split storage-outside --needed 2026-11-20 --lock "01136-OU=Storage Depot"
    """
    from estimator.papers.order_split import order_data, order_text
    from estimator.workflow.orders import Asked, split_orders

    if needed is None and (more["hard"] or more["late_per_day"] is not None):
        raise click.UsageError("--hard and --late-per-day need the day: --needed DATE")
    if more["hard"] and more["late_per_day"] is not None:
        raise click.UsageError("a day is --hard, or costs --late-per-day, not both")
    made = split_orders(database, Asked(
        job, on=(on or datetime.now().astimezone()).date(),
        needed=needed.date() if needed else None, locks=locks, **more))
    if as_json:
        echo_json(json.dumps(order_data(made), ensure_ascii=False))
    else:
        click.echo(order_text(made), nl=False)
