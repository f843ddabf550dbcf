"""How exact numbers stand in JSON: a whole number as an integer, any other as decimal text.

A JSON number with a fraction is read by most programs as a binary fraction, and then 18.7 is no
longer 18.7. So `3` is written 3 and 18.7 is written "18.7"; a reader that takes both as decimals
gets back what the engine held. Money is always an integer of minor units (pence).
"""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any

from pydantic import BeforeValidator, PlainSerializer, WithJsonSchema

from catalogue.money import round_half_up
from estimator.papers.digits import plain

_DECIMAL = re.compile(r"-?(0|[1-9][0-9]*)(\.[0-9]+)?")


def as_decimal(value: Any) -> Decimal:
    """Return an exact decimal from an integer, a decimal or decimal text.

    Raises:
        ValueError: for a float, a flag or text in another form.
    """
    if isinstance(value, Decimal) and value.is_finite():
        return value
    if isinstance(value, int) and not isinstance(value, bool):
        return Decimal(value)
    if isinstance(value, str) and _DECIMAL.fullmatch(value):
        return Decimal(value)
    raise ValueError("an integer or decimal text such as '18.7' is needed, never a binary fraction")


def whole_or_text(number: Decimal) -> int | str:
    """Return the JSON form: an integer if the number is whole, else its digits as text."""
    text = plain(number)
    return text if "." in text else int(text)


def rounded(number: Fraction | float | Decimal, places: int) -> Decimal:
    """Return a number with so many decimal places, halves away from zero.

    Exact until the one rounding; a float is taken as the binary fraction it is.
    """
    scaled = round_half_up(Fraction(number) * 10**places)
    return Decimal(scaled).scaleb(-places)


Exact = Annotated[
    Decimal,
    BeforeValidator(as_decimal),
    PlainSerializer(whole_or_text, return_type=Any),
    WithJsonSchema({
        "anyOf": [{"type": "integer"}, {"type": "string", "pattern": f"^{_DECIMAL.pattern}$"}],
        "description": "a whole number as an integer, any other number as decimal text",
    }),
]
