"""Brackets and their holes for the drawing: where the maker's template is not in the catalogue.

The size of a bracket and the height between its rows of holes are the catalogue item's; where the
holes are across it is not on the sheet, so they are spread evenly in two rows (one row for two
holes or an odd number). The maker's template decides before anything is drilled.
"""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from estimator.design.siting.shapes import Rect, up_mm
from estimator.practice.pack import Practice


class Point(NamedTuple):
    """A point on the wall [mm]."""

    x_mm: int
    y_mm: int


class Bracket(NamedTuple):
    """A bracket by size and number of holes; None = not in the catalogue [mm].

    Attributes:
        couple_mm: height between its top row of holes and the lowest.
    """

    holes: int
    width_mm: int | None = None
    height_mm: int | None = None
    couple_mm: int | None = None


class BracketPlan(NamedTuple):
    """How brackets sit behind what hangs on them [mm]."""

    drop_mm: int
    inset_mm: int
    height_mm: int


def bracket_plan(practice: Practice, on: date) -> BracketPlan:
    """Return the set-out of brackets; zeros where the pack states none."""
    def number(name: str) -> int:
        value = practice.at(f"siting_bracket_{name}_mm", on)
        return up_mm(practice.number(value.name, on)) if value is not None else 0

    return BracketPlan(number("drop"), number("inset"), number("height"))


def bracket_behind(unit: Rect, bracket: Bracket, plan: BracketPlan) -> Rect | None:
    """Return the bracket on the middle line of a unit, below its top edge; None without holes."""
    if bracket.holes == 0:
        return None
    width = min(bracket.width_mm or unit.width_mm, unit.width_mm)
    height = min(bracket.height_mm or plan.height_mm, unit.height_mm)
    low = max(unit.y_mm, unit.top_mm - plan.drop_mm - height)
    return Rect(unit.x_mm + (unit.width_mm - width) // 2, low, width, height)


def holes_of(
    bracket: Rect, holes: int, plan: BracketPlan, couple_mm: int | None = None
) -> tuple[Point, ...]:
    """Return the holes of a bracket, lower row first, left to right."""
    rows = 2 if holes >= 4 and holes % 2 == 0 else 1
    across = _spread(bracket.x_mm, bracket.width_mm, holes // rows, plan.inset_mm)
    up = _spread(bracket.y_mm, bracket.height_mm, rows, plan.inset_mm)
    if rows == 2 and couple_mm is not None and couple_mm <= bracket.height_mm:
        low = bracket.y_mm + (bracket.height_mm - couple_mm) // 2
        up = (low, low + couple_mm)
    return tuple(Point(x, y) for y in up for x in across)


def _spread(start: int, length: int, count: int, inset: int) -> tuple[int, ...]:
    """Return so many points spread over a length, the outer ones inset from its ends."""
    if count == 1:
        return (start + length // 2,)
    inset = min(inset, length // 4)
    room = length - 2 * inset
    return tuple(start + inset + room * at // (count - 1) for at in range(count))
