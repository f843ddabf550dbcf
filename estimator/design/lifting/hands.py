"""Where the hands are in a lift, from what is lifted, how high it ends, and how it stands.

A zone of the lifting filter goes by the height of the hands. Nobody measures that beforehand: it is
taken from the way a load is fixed, with heights that stand in the practice pack.
"""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Literal, NamedTuple, cast

from estimator.design.lifting.filter import Box, Reach, Zone
from estimator.design.limits import exact
from estimator.practice.pack import Practice

MM_PER_M = 1000
Way = Literal["hung on a wall", "standing on the floor", "panel", "carried"]
FROM_THE_FLOOR: tuple[Way, ...] = ("hung on a wall", "standing on the floor")


class Hands(NamedTuple):
    """Lowest and highest place of the hands above the floor [m], and how far they reach."""

    lowest_m: Fraction
    highest_m: Fraction
    reach: Reach

    def joined(self, other: Hands) -> Hands:
        """Return the hands that pass through all that either pass through."""
        reach: Reach = "arm" if "arm" in (self.reach, other.reach) else "close"
        low, high = self.lowest_m, self.highest_m
        return Hands(min(low, other.lowest_m), max(high, other.highest_m), reach)


def hands_of(
    practice: Practice, on: date, way: Way, height_mm: int | None, stands_on_mm: int = 0
) -> Hands:
    """Return where the hands are.

    Args:
        way: how the load is fixed or moved, a row of the table `lifting_hands`.
        height_mm: height of the load; taken from the floor a low one is held at its top, and one
            of unknown height at its lower edge.
        stands_on_mm: height of what it is lifted on to (the modules below it in a stack).

    Raises:
        ProblemsFound: P020 if the pack lacks the table.
    """
    table = practice.table("lifting_hands", on)
    held, to = exact(table.column("from")[way]), table.column("to").get(way)
    if way in FROM_THE_FLOOR:
        held = Fraction(0) if height_mm is None else min(held, Fraction(height_mm, MM_PER_M))
    top = held + Fraction(stands_on_mm, MM_PER_M) if to is None else max(held, exact(to))
    return Hands(held, top, cast(Reach, table.column("reach")[way]))


def boxes_of(practice: Practice, on: date, hands: Hands) -> tuple[Box, ...]:
    """Return every box of the lifting filter that the hands pass through, from the top down.

    A zone counts from its height up to that of the next, which begins the next.

    Raises:
        ProblemsFound: P020 if the pack lacks the heights of the zones.
    """
    table = practice.table("lifting_heights", on)
    starts = table.column("from")
    found: list[Box] = []
    above: Fraction | None = None
    for zone in table.keys:
        start = exact(starts[zone])
        if start <= hands.highest_m and (above is None or hands.lowest_m < above):
            found.append((cast(Zone, zone), hands.reach))
        above = start
    return tuple(found)
