"""What the commands of `orders` share: how amounts, locks and quantities are typed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, datetime
from decimal import Decimal, InvalidOperation
from typing import TYPE_CHECKING, Any

import click

from estimator.cli.common import DAY, TEXT, day_of
from estimator.cli.numbers import AMOUNT

if TYPE_CHECKING:
    from estimator.workflow.order_basket import Rules

_MOST = 10_000_000


class Lock(click.ParamType[tuple[str, str]]):
    """An item and the supplier who is to bring it."""

    name = "item=supplier"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Return item and supplier."""
        item, given, supplier = TEXT(value).partition("=")
        if not (item.strip() and given and supplier.strip()):
            self.fail(f"'{value}' is not ITEM=SUPPLIER.", param, ctx)
        return item.strip(), supplier.strip()


class ItemQuantity(click.ParamType[tuple[str, Decimal]]):
    """An item and so much of it."""

    name = "code=quantity"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Return code and quantity."""
        code, _, typed = TEXT(value).rpartition("=")
        quantity = _number(typed)
        if not code.strip() or quantity is None or quantity <= 0:
            self.fail(f"'{value}' is not CODE=QUANTITY, such as 02902-MC=200.", param, ctx)
        return code.strip(), quantity


class LineNumber(click.ParamType[tuple[int, Decimal]]):
    """A line of an order and a number: how much of it came, or what was charged."""

    name = "line=number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Return line and number."""
        line, _, typed = TEXT(value).partition("=")
        number = _number(typed)
        if not (line.strip().isascii() and line.strip().isdigit()) or number is None:
            self.fail(f"'{value}' is not LINE=NUMBER, such as 2=10.", param, ctx)
        return int(line), number


class LineAmount(LineNumber):
    """A line of an order and an amount of money, to the penny."""

    name = "line=amount"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Return line and amount."""
        line, amount = super().convert(value, param, ctx)
        if amount != round(amount, 2):
            self.fail(f"'{value}' is not LINE=AMOUNT, such as 2=14.50.", param, ctx)
        return line, amount


class LineText(click.ParamType[tuple[int, str]]):
    """A line of an order and a serial number."""

    name = "line=serial"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Return line and text."""
        line, _, typed = TEXT(value).partition("=")
        if not (line.strip().isascii() and line.strip().isdigit()) or not typed.strip():
            self.fail(f"'{value}' is not LINE=SERIAL.", param, ctx)
        return int(line), typed.strip()


class LineBatch(click.ParamType[tuple[int, str, "date | None"]]):
    """A line of an order, a batch, and its last day behind an @."""

    name = "line=batch@date"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Return line, batch and day."""
        line, named = LineText().convert(value, param, ctx)
        batch, sign, typed = named.rpartition("@")
        if not sign:
            return line, named, None
        if not batch.strip():
            self.fail(f"'{value}' is not LINE=BATCH or LINE=BATCH@DATE.", param, ctx)
        return line, batch.strip(), DAY.convert(typed.strip(), param, ctx).date()


def _number(typed: str) -> Decimal | None:
    try:
        number = Decimal(typed.strip())
    except InvalidOperation:
        return None
    return number if number.is_finite() and 0 <= number <= _MOST else None


def rule_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command the options that say when and from whom is ordered."""
    for option in (
        click.option("--without", type=TEXT, multiple=True, metavar="SUPPLIER",
                     help="Take nothing from this supplier. May be repeated."),
        click.option("--lock", "locks", type=Lock(), multiple=True, metavar="ITEM=SUPPLIER",
                     help="Who is to bring an item, decided already. May be repeated."),
        click.option("--hard", is_flag=True, help="Take nothing that comes after the day needed."),
        click.option("--late-per-day", type=AMOUNT, metavar="AMOUNT",
                     help="Cost of each day later; else the firm's setting."),
        click.option("--needed", type=DAY, metavar="DATE", help="Day on which all must be there."),
        click.option("--on", type=DAY, metavar="DATE",
                     help="Day of the order and its prices; else today."),
    ):
        command = option(command)
    return command


def rules_of(given: Mapping[str, Any]) -> Rules:
    """Return the rules that the options of `rule_options` say.

    Raises:
        click.UsageError: for options that contradict each other.
    """
    from estimator.workflow.order_basket import Rules

    needed: datetime | None = given["needed"]
    if needed is None and (given["hard"] or given["late_per_day"] is not None):
        raise click.UsageError("--hard and --late-per-day need the day: --needed DATE")
    if given["hard"] and given["late_per_day"] is not None:
        raise click.UsageError("a day is --hard, or costs --late-per-day, not both")
    return Rules(day_of(given["on"]), needed.date() if needed else None, given["hard"],
                 given["late_per_day"], given["locks"], given["without"])
