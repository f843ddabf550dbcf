"""Maximum demand of a home after diversity, against its main fuse; spare ways of its board."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from estimator.design.check import Check, Level
from estimator.design.electrical.comparing import at_least, at_most
from estimator.design.electrical.figures import Figures, OutsideTableError
from estimator.design.limits import Figure, Number

LoadUse = Literal[
    "lighting", "heating", "cooker", "instant water heater", "thermostatic water heater",
    "standard circuit", "vehicle charger", "storage charging", "heat pump",
]


@dataclass(frozen=True, slots=True)
class Loads:
    """All loads of one use: the current of each [A], and cooker switches with a socket."""

    use: LoadUse
    amps: tuple[Number, ...]
    sockets: int = 0

    def __post_init__(self) -> None:
        if any(each < 0 for each in self.amps) or self.sockets < 0:
            raise ValueError(f"{self.use}: a load is not negative")


@dataclass(frozen=True, slots=True)
class Demand:
    """Demand of each use after diversity, and their sum [A]."""

    lines: tuple[tuple[LoadUse, Fraction], ...]
    total_a: Fraction
    source: str


def after_diversity_a(figures: Figures, loads: Loads) -> Fraction:
    """Return the demand [A] of one use.

    The largest loads up to a count are taken in full; of the sum of the rest the first amperes
    in full and a share of what remains; a socket on a cooker's switch adds its own.
    """
    def part(column: str) -> Fraction:
        return figures.cell("diversity", loads.use, column).value

    ordered = sorted((Fraction(each) for each in loads.amps), reverse=True)
    full_loads = int(part("full_loads"))
    rest = sum(ordered[full_loads:], Fraction(0))
    first = min(rest, part("full_a"))
    return (sum(ordered[:full_loads], Fraction(0)) + first + (rest - first) * part("rest_share")
            + loads.sockets * part("socket_a"))


def maximum_demand(figures: Figures, loads: Sequence[Loads]) -> Demand:
    """Return the demand of a home, one phase.

    Raises:
        ValueError: if a use is listed twice, since its diversity holds for all its loads at once.
    """
    if len({each.use for each in loads}) < len(loads):
        raise ValueError("list all loads of one use together")
    lines = tuple((each.use, after_diversity_a(figures, each)) for each in loads)
    source = figures.cell("diversity", "lighting", "rest_share").source
    return Demand(lines, sum((amps for _, amps in lines), Fraction(0)), source)


def fuse_check(demand: Demand, fuse_a: Number, otherwise: Level = "stop") -> Check:
    """Return the check of the demand against the main fuse as read.

    Args:
        otherwise: the level where the demand is over the fuse.
    """
    return at_most("main-fuse", "supply", "maximum demand after diversity", demand.total_a,
                   Figure(Fraction(fuse_a), "A", demand.source, "network operator"), otherwise)


def fuse_needed_a(figures: Figures, demand: Demand) -> Fraction:
    """Return the smallest usual main fuse [A] that holds the demand.

    Raises:
        OutsideTableError: above 100 A, which one phase of a home does not have.
    """
    for rating in figures.first_column("main_fuse"):
        if demand.total_a <= rating:
            return rating
    raise OutsideTableError(
        f"{float(demand.total_a):.0f} A is more than the largest usual main fuse; ask the network")


def ways_check(spare_ways: int, needed_ways: Number) -> Check:
    """Return the check of the board's true spare ways against those needed."""
    return at_least(
        "spare-ways", "board", "true spare ways, counted with the cover off", Fraction(spare_ways),
        Figure(Fraction(needed_ways), "ways", "common practice, no source", "electrician"),
        "caution")
