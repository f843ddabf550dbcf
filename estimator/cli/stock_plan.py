"""`estimator stock short`, `stock shelf`: what must be ordered, and when the shelf is filled up."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal
from typing import Any

import click

from estimator.cli.common import (
    DAY,
    TEXT,
    database_option,
    day_of,
    echo_either,
    json_option,
    progress,
    tell_problems,
)
from estimator.cli.numbers import AMOUNT, QUANTITY, minor

SHOWN_AFTER_S = 1.0


@click.command()
@click.option("--until", type=DAY, required=True, metavar="DATE",
              help="What is needed until this day.")
@click.option("--on", type=DAY, metavar="DATE", help="As if it were this day; today if not given.")
@click.option("--cuts", type=click.IntRange(0, 365), default=14, show_default=True, metavar="DAYS",
              help="Cut together what jobs need within so many days.")
@database_option
@json_option
@tell_problems
def short(until: datetime, on: datetime | None, cuts: int, database: str | None, as_json: bool
          ) -> None:
    """Show what must be ordered by when: for all accepted jobs, and to fill up the shelf.

    What lies there and what is on its way is netted first; the last day to order is the lead time
    of the quickest supplier before the day of need. Bars that several jobs cut in the next days
    are cut together, so that the offcut of one serves the next.

    \b
    Example:
      estimator stock short --until 2026-12-31
    """
    from estimator.papers.stock_short import short_data, short_text
    from estimator.workflow import stock_short
    from estimator.workflow.firm import here

    with progress("Cuts", SHOWN_AFTER_S) as tell:
        found = stock_short.short(here(database), day_of(on), until.date(), cuts, tell)
    echo_either(short_data(found), short_text(found), as_json)


@click.command()
@click.argument("item", type=TEXT, required=False)
@click.option("--least", type=QUANTITY, metavar="N", help="Order when what is free falls to this.")
@click.option("--order", type=QUANTITY, metavar="N", help="Order this, or a multiple of it.")
@click.option("--order-cost", type=AMOUNT, metavar="AMOUNT", help="Cost of one order: propose.")
@click.option("--holding", type=QUANTITY, metavar="SHARE",
              help="Cost of holding a year, as a share of the worth (0.2): propose.")
@click.option("--demand", type=QUANTITY, metavar="N",
              help="What a year takes; else what jobs took in the last 365 days.")
@click.option("--safety", type=QUANTITY, default="0", metavar="N",
              help="Kept beyond the demand in the lead time.")
@click.option("--why", type=TEXT, default="", metavar="TEXT", help="Why; kept with the rule.")
@database_option
@json_option
@tell_problems
def shelf(item: str | None, least: Decimal | None, order: Decimal | None,
          order_cost: Decimal | None, holding: Decimal | None, why: str, database: str | None,
          as_json: bool, **more: Any) -> None:
    """List the shelves that are filled up by themselves; keep a rule for ITEM, or propose one.

    A proposal weighs what an order costs against what holding costs (economic order quantity), in
    whole packs, and orders when what is left is the demand in the lead time.

    \b
    Example:
      estimator stock shelf
      estimator stock shelf 15040 --least 200 --order 500
      estimator stock shelf 15040 --order-cost 15.00 --holding 0.2 --demand 4000
    """
    rule, costs = (least, order), (order_cost, holding)
    if item is None and any(each is not None for each in (*rule, *costs)):
        raise click.UsageError("name the item")
    if any((a is None) != (b is None) for a, b in (rule, costs)):
        raise click.UsageError("--least goes with --order, and --order-cost with --holding")
    if item is not None and (least is None) == (order_cost is None):
        raise click.UsageError("either a rule: --least N --order N; or what a proposal stands on: "
                               "--order-cost AMOUNT --holding SHARE")
    if item is not None and order_cost is not None and holding is not None:
        _propose(item, (order_cost, holding), more, database, as_json)
    else:
        _keep(item, rule, why, database, as_json)


def _propose(item: str, costs: tuple[Decimal, Decimal], more: dict[str, Any],
             database: str | None, as_json: bool) -> None:
    from dataclasses import asdict

    from estimator.papers.stock_short import proposal_text
    from estimator.workflow import stock_shelf
    from estimator.workflow.firm import here

    made = stock_shelf.propose(here(database), item, stock_shelf.ShelfCosts(
        minor(costs[0]), costs[1], more["demand"], more["safety"]), day_of(None))
    echo_either(asdict(made), proposal_text(made), as_json)


def _keep(item: str | None, rule: tuple[Decimal | None, Decimal | None], why: str,
          database: str | None, as_json: bool) -> None:
    from catalogue.stock.shortages import ShelfRule
    from estimator.cli.stock import by_now
    from estimator.papers.stock_short import shelves_data, shelves_text
    from estimator.workflow import stock_shelf
    from estimator.workflow.firm import here

    least, order = rule
    keep = None if item is None else (item, ShelfRule(least or Decimal(0), order or Decimal(0)))
    found = stock_shelf.shelves(here(database), day_of(None), keep, by_now(), why)
    echo_either(shelves_data(found), shelves_text(found), as_json)
