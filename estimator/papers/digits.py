"""A number as its digits: what every paper shows, apart from the models of the JSON form."""

from __future__ import annotations

from decimal import Decimal


def plain(number: Decimal) -> str:
    """Return a decimal as digits, without exponent and without idle zeros (5.0 -> 5)."""
    text = format(number, "f")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text
