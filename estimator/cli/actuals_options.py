"""How a timesheet or a file of bills is laid out, as options of the command line."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeVar

import click

from estimator.cli.common import TEXT

if TYPE_CHECKING:
    from estimator.workflow.price_columns import Layout

Command = TypeVar("Command", bound=Callable[..., Any])
ORDERS = ("year month day", "day month year", "month day year")


def table_options(command: Command) -> Command:
    """Give a command the options of a table's layout."""
    for option in (
        click.option("--dates", type=click.Choice(ORDERS), help="Order of dates that are text."),
        click.option("--sheet", type=TEXT, metavar="NAME", help="Sheet of the workbook."),
        click.option("--decimal", type=click.Choice([".", ","]), help="Decimal mark of texts."),
        click.option("--columns", multiple=True, type=TEXT, metavar="MAP.toml|KEY=HEADER",
                     help="Column map: one file, or pairs; else a guess to look at."),
    ):
        command = option(command)
    return command


def layout_of(
    columns: tuple[str, ...], decimal: str | None, sheet: str | None, dates: str | None
) -> Layout:
    """Return the layout that the options say."""
    from estimator.workflow.price_columns import Layout

    return Layout(columns, decimal or "", "", sheet or "", dates or "")
