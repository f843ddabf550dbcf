"""Numbers on the command line: amounts of money and quantities, exact."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation
from typing import Any

import click


class Exact(click.ParamType[Decimal]):
    """A number from nought to ten millions, with so many decimal places at most."""

    def __init__(self, name: str, places: int, such_as: str) -> None:
        self.name = name
        self.places = places
        self.such_as = such_as

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Return the number, or fail with what was typed."""
        try:
            number = Decimal(value)
        except InvalidOperation:
            number = Decimal("NaN")
        if (not number.is_finite() or not 0 <= number <= 10_000_000
                or number != round(number, self.places)):
            self.fail(f"'{value}' is not {self.such_as}.", param, ctx)
        return number


AMOUNT = Exact("amount", 2, "an amount such as 250 or 250.50")
QUANTITY = Exact("quantity", 3, "a quantity such as 12 or 18.5")


def minor(amount: Decimal) -> int:
    """Return an amount of major units in minor units."""
    return int(amount * 100)
