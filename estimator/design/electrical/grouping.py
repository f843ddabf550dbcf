"""Cables that warm one another: the grouping factor and its exceptions (BS 7671, Table 4C1)."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from estimator.design.electrical.capacity import ONE
from estimator.design.electrical.figures import Figures
from estimator.design.limits import Figure, Number

Arrangement = Literal["bunched", "single layer"]


@dataclass(frozen=True, slots=True)
class Neighbour:
    """Another circuit in the group: its load and what its cable carries as grouped [A]."""

    load_a: Number
    grouped_a: Number


def circuits_counted(figures: Figures, neighbours: Sequence[Neighbour]) -> int:
    """Return how many circuits the group counts: this one and each that is not lightly loaded.

    A cable that carries no more than 30 % of its grouped rating is left out.
    """
    light = figures.number("group_light_share").value
    return 1 + sum(
        Fraction(each.load_a) > light * Fraction(each.grouped_a) for each in neighbours
    )


def group_factor(
    figures: Figures, circuits: int, arrangement: Arrangement, gap_diameters: Number = 0
) -> Figure:
    """Return Cg for circuits of like size; between steps the next larger group.

    Args:
        circuits: circuits in the group, this one among them.
        gap_diameters: clear gap between neighbours in cable diameters; more than two ends it.

    Raises:
        OutsideTableError: for more bunched circuits than the table goes to.
    """
    if circuits <= 1 or gap_diameters > figures.number("group_gap_diameters").value:
        return ONE
    return figures.step_up("factor_group", circuits, arrangement, arrangement == "single layer")


def mixed_sizes_factor(circuits: int) -> Figure:
    """Return Cg for a group of different sizes: one over the root of the number of circuits."""
    if circuits <= 1:
        return ONE
    return Figure(Fraction(1 / math.sqrt(circuits)), "",
                  "1 / root n for different sizes (circuitry guide to BS 7671, 17th edition)")


def needed_not_together_a(
    figures: Figures, rating_a: Number, design_a: Number, factor: Number
) -> Fraction:
    """Return the tabulated current [A] for a group that is never overloaded all at once.

    The greater of Ib / Cg and root(In² + 0.48 Ib² (1 - Cg²) / Cg²); the other factors divide it
    as usual (BS 7671, Appendix 4, as told by the circuitry guide to its 17th edition). It never
    asks for more than In / Cg.
    """
    rating, load, cg = Fraction(rating_a), Fraction(design_a), Fraction(factor)
    share = figures.number("group_not_overloaded").value
    under = rating**2 + share * load**2 * (1 - cg**2) / cg**2
    return max(load / cg, Fraction(math.sqrt(under)))
