"""The lifting filter: what one person may lift before the lift is assessed more closely.

Health and Safety Executive, L23 and INDG143: a figure by the height of the hands and by reach,
less a share for turning and for repeating. The figures themselves stand in the practice pack.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from fractions import Fraction
from typing import Literal, NamedTuple, cast

from estimator.design.check import Check
from estimator.design.limits import Figure, Number, exact, limit_of, outcome, shown
from estimator.practice.pack import Practice
from estimator.practice.tables import PracticeTable

Person = Literal["man", "woman"]
Zone = Literal[
    "above shoulder", "shoulder to elbow", "elbow to knuckle", "knuckle to lower leg",
    "below lower leg",
]
Reach = Literal["close", "arm"]
Box = tuple[Zone, Reach]
PERSONS: tuple[Person, ...] = ("man", "woman")
REACHES: tuple[Reach, ...] = ("close", "arm")
NO_LAW = "a guide figure, no limit in law: avoid, assess, reduce"


class Step(NamedTuple):
    """Beyond so much (not at it), this share is taken off."""

    beyond: Fraction
    taken_off: Fraction


class LiftingFilter(NamedTuple):
    """The published figures: kg by person, zone and reach, and what is taken off them."""

    kg: Mapping[tuple[Person, Zone, Reach], Fraction]
    turns: tuple[Step, ...]
    rates: tuple[Step, ...]
    carry: Figure
    push: Mapping[Person, tuple[Fraction, Fraction]]
    push_source: str
    source: str
    decides: str


class Lift(NamedTuple):
    """How a load is lifted: every box the hands pass through, and what makes it harder.

    Attributes:
        boxes: zone and reach of the hands; at least one.
        turn_deg: how far the body turns.
        per_minute: lifts a minute.
        carry_m: how far it is carried without a rest.
        stairs: whether it goes up or down stairs.
    """

    boxes: tuple[Box, ...] = (("elbow to knuckle", "close"),)
    turn_deg: Number = 0
    per_minute: Number = 0
    carry_m: Number = 0
    stairs: bool = False


def lifting_filter(practice: Practice, on: date) -> LiftingFilter:
    """Return the filter in force on a day.

    Raises:
        ProblemsFound: P020 if the pack lacks a table of it.
    """
    table, push = practice.table("lifting_filter", on), practice.table("push_pull", on)
    columns = {(p, r): table.column(f"{p} {r}") for p in PERSONS for r in REACHES}
    return LiftingFilter(
        kg={
            (person, cast(Zone, zone), reach): exact(kg)
            for (person, reach), column in columns.items() for zone, kg in column.items()
        },
        turns=_steps(practice.table("lifting_turns", on)),
        rates=_steps(practice.table("lifting_rates", on)),
        carry=limit_of(practice, "carry_m", on),
        push={p: (exact(push.column("start")[p]), exact(push.column("keep")[p])) for p in PERSONS},
        push_source=push.source,
        source=table.source,
        decides=table.decides,
    )


def _steps(table: PracticeTable) -> tuple[Step, ...]:
    off = table.column("taken off")
    return tuple(Step(exact(key), exact(off[key])) for key in table.keys)


def filter_kg(guide: LiftingFilter, person: Person, boxes: Sequence[Box]) -> Fraction:
    """Return the guide [kg]: the smallest figure of all boxes that the hands pass through.

    Raises:
        ValueError: if no box is given.
    """
    if not boxes:
        raise ValueError("a lift passes through at least one box")
    return min(guide.kg[person, zone, reach] for zone, reach in boxes)


def between_kg(one: Number, other: Number) -> Fraction:
    """Return the figure [kg] for hands near the line between two boxes: half-way."""
    return (Fraction(one) + Fraction(other)) / 2


def taken_off(steps: Sequence[Step], value: Number) -> Fraction:
    """Return the share of the last step that a value is beyond; at a step it is not beyond it."""
    past = (step.taken_off for step in steps if Fraction(value) > step.beyond)
    return max(past, default=Fraction(0))


def person_kg(guide: LiftingFilter, person: Person, lift: Lift) -> Fraction:
    """Return the guide [kg] for one person and one lift.

    Both shares are taken off one after the other; the guide does not say how they meet (common
    practice, no source).
    """
    turned = 1 - taken_off(guide.turns, lift.turn_deg)
    repeated = 1 - taken_off(guide.rates, lift.per_minute)
    return filter_kg(guide, person, lift.boxes) * turned * repeated


def assess_also(guide: LiftingFilter, lift: Lift) -> tuple[str, ...]:
    """Return what the filter does not cover and must be assessed whatever the mass."""
    found = []
    if Fraction(lift.carry_m) > guide.carry.value:
        found.append(
            f"assess the carry: {shown(Fraction(lift.carry_m))} m without a rest, the guide holds "
            f"to {shown(guide.carry.value)} m with the load held against the body"
        )
    if lift.stairs:
        found.append("assess the stairs: one person more, or a stair device")
    return tuple(found)


def push_pull(
    guide: LiftingFilter, person: Person, start_kgf: Number, keep_kgf: Number
) -> tuple[Check, Check]:
    """Return the force [kgf] to start a load and to keep it moving, each against the guide."""
    forces = zip(("start", "keep"), (start_kgf, keep_kgf), guide.push[person], strict=True)
    return tuple(  # type: ignore[return-value]
        outcome(
            code=f"push-{name}",
            says=f"{shown(Fraction(force))} kgf to {name} the load; guide {shown(limit)} kgf"
                 + ("" if force <= limit else ": assess it, use a better aid or more people"),
            value=Fraction(force), limit=limit, unit="kgf", passes=force <= limit,
            source=guide.push_source, decides=guide.decides,
        )
        for name, force, limit in forces
    )
