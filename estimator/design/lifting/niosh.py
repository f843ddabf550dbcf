"""The revised NIOSH lifting equation, metric (publication 94-110).

RWL = LC x HM x VM x DM x AM x FM x CM, the recommended weight limit in kg; the lifting index is
the load over it. Exact: nothing is rounded before the comparison.
"""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Literal, NamedTuple

from estimator.design.check import Check
from estimator.design.lifting.filter import NO_LAW
from estimator.design.limits import Number, exact, outcome, shown
from estimator.practice.pack import Practice

Grip = Literal["good", "fair", "poor"]
Hours = Literal[1, 2, 8]
_NUMBERS = (
    "load_kg", "reach_best_cm", "reach_most_cm", "height_best_cm", "height_most_cm",
    "height_per_cm", "travel_least_cm", "travel_most_cm", "travel_base", "travel_cm",
    "turn_per_deg", "turn_most_deg",
)


class Niosh(NamedTuple):
    """The constants of the equation and the bounds within which it holds; names as in the pack."""

    load_kg: Fraction
    reach_best_cm: Fraction
    reach_most_cm: Fraction
    height_best_cm: Fraction
    height_most_cm: Fraction
    height_per_cm: Fraction
    travel_least_cm: Fraction
    travel_most_cm: Fraction
    travel_base: Fraction
    travel_cm: Fraction
    turn_per_deg: Fraction
    turn_most_deg: Fraction
    source: str
    decides: str


class NioshLift(NamedTuple):
    """A lift as the equation sees it.

    Attributes:
        reach_cm: H, hands before the ankles.
        height_cm: V, hands above the floor at the start.
        travel_cm: D, how far the load goes up or down.
        turn_deg: A, turn of the body.
        frequency: FM; `grip`: CM. Both from the published tables, or given.
    """

    reach_cm: Number
    height_cm: Number
    travel_cm: Number
    turn_deg: Number = 0
    frequency: Number = 1
    grip: Number = 1


class Multipliers(NamedTuple):
    """The six multipliers, each from 0 to 1."""

    reach: Fraction
    height: Fraction
    travel: Fraction
    turn: Fraction
    frequency: Fraction
    grip: Fraction

    @property
    def product(self) -> Fraction:
        """Return the product of all six."""
        return (
            self.reach * self.height * self.travel * self.turn * self.frequency * self.grip
        )


def niosh(practice: Practice, on: date) -> Niosh:
    """Return the equation in force on a day.

    Raises:
        ProblemsFound: P020 if the pack lacks a constant.
    """
    numbers = {name: Fraction(practice.number(f"niosh_{name}", on)) for name in _NUMBERS}
    load = practice.needed("niosh_load_kg", on)
    return Niosh(**numbers, source=load.source, decides=load.decides)


def multipliers(equation: Niosh, lift: NioshLift) -> Multipliers:
    """Return the multipliers of a lift; 0 where the equation allows no lift at all."""
    reach = max(Fraction(lift.reach_cm), equation.reach_best_cm)
    travel = max(Fraction(lift.travel_cm), equation.travel_least_cm)
    height, turn = Fraction(lift.height_cm), abs(Fraction(lift.turn_deg))
    none = Fraction(0)
    off_height = equation.height_per_cm * abs(height - equation.height_best_cm)
    return Multipliers(
        reach=equation.reach_best_cm / reach if reach <= equation.reach_most_cm else none,
        height=1 - off_height if 0 <= height <= equation.height_most_cm else none,
        travel=equation.travel_base + equation.travel_cm / travel
        if travel <= equation.travel_most_cm else none,
        turn=1 - equation.turn_per_deg * turn if turn <= equation.turn_most_deg else none,
        frequency=Fraction(lift.frequency),
        grip=Fraction(lift.grip),
    )


def recommended_kg(equation: Niosh, lift: NioshLift) -> Fraction:
    """Return the recommended weight limit RWL [kg]."""
    return equation.load_kg * multipliers(equation, lift).product


def judge_niosh(equation: Niosh, mass_kg: Number, lift: NioshLift) -> Check:
    """Return the load beside the recommended weight limit; their ratio is the lifting index."""
    mass, limit = Fraction(mass_kg), recommended_kg(equation, lift)
    index = f"lifting index {shown(mass / limit, 2)}" if limit else "no lift is recommended"
    verdict = "" if mass <= limit else ": assess the lift, change it or use an aid"
    return outcome(
        "lift-niosh",
        f"{shown(mass)} kg, recommended {shown(limit)} kg, {index}{verdict}; {NO_LAW}",
        mass, limit, "kg", mass <= limit, equation.source, equation.decides,
    )


def lifting_index(equation: Niosh, mass_kg: Number, lift: NioshLift) -> Fraction:
    """Return the load over the recommended weight limit.

    Raises:
        ZeroDivisionError: if the equation allows no lift at all.
    """
    return Fraction(mass_kg) / recommended_kg(equation, lift)


def frequency_multiplier(
    practice: Practice, on: date, per_minute: Number, hours: Hours, height_cm: Number
) -> Fraction:
    """Return FM from the table: the row at or next above the rate, 0 beyond the table."""
    table = practice.table("niosh_frequency", on)
    column = table.column(f"{hours} h {_side(practice, on, height_cm)}")
    rows = [key for key in table.keys if exact(key) >= Fraction(per_minute)]
    return exact(column[rows[0]]) if rows else Fraction(0)


def grip_multiplier(practice: Practice, on: date, grip: Grip, height_cm: Number) -> Fraction:
    """Return CM from the table."""
    table = practice.table("niosh_coupling", on)
    return exact(table.column(_side(practice, on, height_cm))[grip])


def _side(practice: Practice, on: date, height_cm: Number) -> Literal["low", "high"]:
    return "low" if height_cm < practice.number("niosh_height_best_cm", on) else "high"
