"""The couple on a wall bracket, and what its fixings must be.

A unit of weight W hangs at a distance e from the wall. Moments about the foot of the bracket give
the pull of the top row, T = W e / h; a plate moved up or down on its bracket changes nothing,
since W is upright. The shear is shared by all fixings.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, NamedTuple

from estimator.design.limits import ENGINEER, Number

Mount = Literal["wall", "floor"]
MM_PER_M = 1000


@dataclass(frozen=True, slots=True)
class Bracket:
    """A bracket as it meets the wall.

    Attributes:
        centre_mm: e, from the face of the wall to the centre of mass of the unit.
        couple_mm: h, from the top row of fixings down to the row or edge it turns about.
        fixings: all fixings, sharing the shear.
        top_fixings: those of the top row, sharing the pull.
    """

    centre_mm: Number
    couple_mm: Number
    fixings: int
    top_fixings: int

    def __post_init__(self) -> None:
        if self.centre_mm < 0 or self.couple_mm <= 0:
            raise ValueError("a bracket has a height, and its load hangs before the wall")
        if not 1 <= self.top_fixings <= self.fixings:
            raise ValueError("the top row holds at least one of the fixings")


class BracketForces(NamedTuple):
    """Moment [N m] at the wall, pull [N] of the top row and of each, shear [N] of each."""

    moment_nm: Fraction
    pull_total_n: Fraction
    pull_each_n: Fraction
    shear_each_n: Fraction


class FixingDuty(NamedTuple):
    """What a bracket asks of each of its fixings.

    Attributes:
        role: role of the fixing in the catalogue.
        load_rated: whether its sheet must give rated loads for this wall.
        pull_n: pull on each of the top row; 0 where the floor carries the weight.
        shear_n: shear on each fixing.
        because: why, in words.
        decides: who must decide.
    """

    role: Literal["wall fixing", "anti-tip fixing"]
    load_rated: bool
    pull_n: Fraction
    shear_n: Fraction
    because: str
    decides: str


def bracket_forces(mass_kg: Number, bracket: Bracket, gravity_m_s2: Number) -> BracketForces:
    """Return the forces of a hanging unit, without any partial factor.

    Raises:
        ValueError: for a mass below zero.
    """
    if mass_kg < 0:
        raise ValueError("a mass is not below zero")
    weight_n = Fraction(mass_kg) * Fraction(gravity_m_s2)
    moment_nm = weight_n * Fraction(bracket.centre_mm) / MM_PER_M
    pull_n = weight_n * Fraction(bracket.centre_mm) / Fraction(bracket.couple_mm)
    return BracketForces(
        moment_nm=moment_nm,
        pull_total_n=pull_n,
        pull_each_n=pull_n / bracket.top_fixings,
        shear_each_n=weight_n / bracket.fixings,
    )


def tipping_duty() -> FixingDuty:
    """Return what the fixings of a unit that stands on the floor must be."""
    return FixingDuty(
        "anti-tip fixing", False, Fraction(0), Fraction(0),
        "the floor carries the weight and the bracket only stops tipping: ordinary screws "
        "and plugs may serve, as the maker's manual says",
        "maker of the unit",
    )


def fixing_duty(
    mount: Mount, mass_kg: Number, bracket: Bracket, gravity_m_s2: Number
) -> FixingDuty:
    """Return what the fixings of a bracket must be (common practice, no source).

    A bracket of a unit that stands on the floor only stops tipping: ordinary screws and plugs may
    serve. A bracket of a unit hung clear of the floor carries the weight: rated wall bolts.
    """
    if mount == "floor":
        return tipping_duty()
    forces = bracket_forces(mass_kg, bracket, gravity_m_s2)
    return FixingDuty(
        "wall fixing", True, forces.pull_each_n, forces.shear_each_n,
        "the unit hangs clear of the floor and the bracket carries its weight: bolts rated for "
        "the load in this wall",
        f"fixing maker, or {ENGINEER}",
    )
