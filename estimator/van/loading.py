"""In which order goods go into the van, and whether it carries them.

What is wanted last goes in first: of two jobs, the goods of the second. Of one job first the long
pieces, then what is heavy, low against the bulkhead, then the rest, the heavier before the lighter,
and what breaks last of all, upright and strapped. Common practice, no source; how a load is secured
is the driver's duty and stands in the van maker's manual and the local code.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from estimator.van.sharing import Choice, Load, best_split

LONG_MM = 2000  # what is longer lies along the floor or on the roof bars
HEAVY_KG = Decimal(25)  # one of it
FRAGILE = frozenset({"panel", "sheet"})  # families: glass, and boards whose edges break
_WHERE = ("along the floor or on the roof bars", "low, against the bulkhead",
          "on the floor or the shelves", "upright, strapped, last in")
GRAMS = 1000


@dataclass(frozen=True, slots=True)
class Goods:
    """So many of an item for one job.

    Attributes:
        stop: 1 for the job that is driven to first.
        each_kg: mass of one unit; None if it is not known.
        longest_mm: its longest side; None if it is not known or it bends.
    """

    job: str
    stop: int
    item: str
    name: str
    family: str
    count: Decimal
    unit: str
    each_kg: Decimal | None = None
    longest_mm: int | None = None
    lift: str = ""


@dataclass(frozen=True, slots=True)
class VanHolds:
    """What a van carries in a day."""

    name: str
    payload_kg: Decimal
    longest_mm: int
    minutes: int


@dataclass(frozen=True, slots=True)
class Carried:
    """What a job's goods take of a van: whole grams, minutes, and the longest piece."""

    job: str
    grams: int
    minutes: int
    longest_mm: int


def loading_order(goods: Sequence[Goods]) -> list[tuple[Goods, str]]:
    """Return the goods as they go in, each with where it goes."""
    ordered = sorted(goods, key=lambda each: (
        -each.stop, _layer(each), -(each.each_kg or Decimal(0)), each.item))
    return [(each, _WHERE[_layer(each)]) for each in ordered]


def _layer(each: Goods) -> int:
    if each.family in FRAGILE:
        return 3
    if (each.longest_mm or 0) > LONG_MM:
        return 0
    return 1 if (each.each_kg or Decimal(0)) >= HEAVY_KG else 2


def carried(goods: Sequence[Goods], minutes: Mapping[str, int]) -> tuple[Carried, ...]:
    """Return what the goods of each job take, in the order of the stops; `minutes` by job."""
    jobs = sorted({(each.stop, each.job) for each in goods})
    return tuple(
        Carried(job, _grams(mine), minutes[job],
                max((each.longest_mm or 0 for each in mine), default=0))
        for _, job in jobs
        for mine in [[each for each in goods if each.job == job]]
    )


def _grams(goods: Sequence[Goods]) -> int:
    total = sum((each.count * each.each_kg for each in goods if each.each_kg is not None),
                Decimal(0))
    return int((total * GRAMS).to_integral_value(ROUND_CEILING))


def van_holds_all(loads: Sequence[Carried], van: VanHolds) -> bool:
    """Return whether the van carries all loads: payload, longest piece and the hours of the day."""
    offered = [
        Load(each.job, {van.name: Choice({"g": each.grams, "min": each.minutes}, 1)}
             if each.longest_mm <= van.longest_mm else {})
        for each in loads
    ]
    holds = {van.name: {"g": int(van.payload_kg * GRAMS), "min": van.minutes}}
    return best_split(offered, holds, all_must_go=True) is not None
