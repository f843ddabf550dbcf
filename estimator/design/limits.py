"""Limits of the practice pack as exact numbers with their source, and sums held against them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from estimator.design.check import Check
from estimator.practice.pack import Practice
from estimator.practice.tables import Cell

Number = int | Decimal | Fraction
ENGINEER = "structural engineer"


@dataclass(frozen=True, slots=True)
class Figure:
    """A number with its unit, where it is printed and who decides."""

    value: Fraction
    unit: str
    source: str
    decides: str = ""


def outcome(
    code: str, says: str, value: Fraction | float, limit: Fraction | float, unit: str, passes: bool,
    source: str, decides: str,
) -> Check:
    """Return a value beside its limit as a check that stops the job unless it passes.

    Args:
        passes: whether the value is within the limit, compared unrounded.
    """
    return Check(code, "fine" if passes else "stop", "", says, source, decides, value, limit, unit)


def limit_of(practice: Practice, name: str, on: date) -> Figure:
    """Return a limit in force on a day.

    Raises:
        ProblemsFound: P020 if the pack has no such value on that day, P021 if it is no number.
    """
    number, value = practice.number(name, on), practice.needed(name, on)
    return Figure(Fraction(number), value.unit, value.source, value.decides)


def exact(cell: Cell) -> Fraction:
    """Return the number in a cell of a table.

    Raises:
        ValueError: if the cell is blank or holds words.
    """
    if not isinstance(cell, Decimal):
        raise ValueError(f"{cell!r} is no number")
    return Fraction(cell)


def shown(value: Fraction | float, places: int = 1) -> str:
    """Return a number for the reader, rounded; never for comparing."""
    text = f"{float(value):.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
