"""One piece of what a revision was made with that differs from the other's."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from estimator.difference.inputs import Inputs

DAY, FACT, PRACTICE, NORM, RULE, SETTING, DATA_SHEET, PRICE, SUBSTITUTE, DISCOUNT = CAUSES = (
    "day", "fact", "practice value", "norm", "rule", "setting", "data sheet", "price",
    "substitute", "discount")
_LONGEST = 60  # of a value in words


@dataclass(frozen=True, eq=False)
class Change:
    """A piece that differs.

    Attributes:
        cause: one of `CAUSES`, or a word of its own.
        what: which fact, rule, item ...
        was, now: its value in words; "" where there was or is none.
        put: returns inputs with the piece as it is now, all else left alone.
    """

    cause: str
    what: str
    was: str
    now: str
    put: Callable[[Inputs], Inputs]


def in_words(value: Any, unit: str = "") -> str:
    """Return a value as a person says it, cut where it is long."""
    match value:
        case None:
            return "not known"
        case bool():
            return "yes" if value else "no"
        case Decimal() | Fraction():
            text = _plain(Decimal(value)) if isinstance(value, Decimal) else str(value)
        case tuple() | list():
            text = ", ".join(in_words(each) for each in value) or "none"
        case _:
            text = str(value)
    text = " ".join(text.split())
    text = text if len(text) <= _LONGEST else text[: _LONGEST - 3].rstrip() + "..."
    return f"{text} {unit}".rstrip()


def _plain(number: Decimal) -> str:
    text = f"{number:f}"
    return (text.rstrip("0").rstrip(".") if "." in text else text) or "0"
