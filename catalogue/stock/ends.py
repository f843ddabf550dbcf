"""Ends of sticks: lengths that are left of an item which is counted in whole sticks.

An end is a lot with a length of its own. In the ledger it counts as its share of a stick, so that
it is worth that share and what is cut adds up; it is one piece, goes whole or is sawn, and never
serves a claim on whole sticks.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_DOWN, Decimal

_THOUSANDTH = Decimal("0.001")
MM_PER_M = 1000


@dataclass(frozen=True, slots=True)
class End:
    """An end that lies in a place; `share` is what the ledger counts it as."""

    item: str
    place: str
    lot: str
    length_mm: int
    share: Decimal


def share_of_stick(length_mm: int, stick_mm: int) -> Decimal:
    """Return how much of a stick an end is, to a thousandth, rounded down.

    Raises:
        ValueError: for what is no end: as long as the stick or longer, or under a thousandth of it.
    """
    share = (Decimal(length_mm) / Decimal(stick_mm)).quantize(_THOUSANDTH, ROUND_DOWN)
    if length_mm >= stick_mm or share <= 0:
        raise ValueError(f"{length_mm} mm is no end of a stick of {stick_mm} mm")
    return share


def stick_mm_of(unit: str, spec_json: str) -> int | None:
    """Return the length of one stick by an item's data sheet; None if it is sold in no sticks."""
    if unit != "each" or '"stick_m"' not in spec_json:
        return None
    stick_m = json.loads(spec_json).get("stick_m")
    return None if stick_m is None else int(Decimal(str(stick_m)) * MM_PER_M)


def longest_first(ends: Iterable[End]) -> list[End]:
    """Return ends by length, ties by item, place and lot."""
    return sorted(ends, key=lambda end: (-end.length_mm, end.item, end.place, end.lot))
