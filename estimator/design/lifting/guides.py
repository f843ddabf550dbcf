"""The guide that a pack goes by: the lifting filter, else the NIOSH equation, else none.

Where the filter is the guide the equation stands beside it as a second opinion.
"""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import NamedTuple, cast

from estimator.design.check import Sum
from estimator.design.lifting.filter import (
    PERSONS,
    Lift,
    LiftingFilter,
    Person,
    assess_also,
    lifting_filter,
    person_kg,
)
from estimator.design.lifting.hands import Hands, boxes_of
from estimator.design.lifting.niosh import (
    Niosh,
    NioshLift,
    frequency_multiplier,
    grip_multiplier,
    multipliers,
    niosh,
)
from estimator.design.lifting.team import TeamRule, team_rule
from estimator.design.limits import shown
from estimator.practice.pack import Practice

CM_PER_M, MM_PER_CM = 100, 10


class Guide(NamedTuple):
    """What lifts are held against.

    Attributes:
        filter: the lifting filter; None where the equation is the guide.
        equation: the NIOSH equation; None if the pack does not have it.
        person: whose figures of the filter are taken.
    """

    practice: Practice
    on: date
    filter: LiftingFilter | None
    equation: Niosh | None
    team: TeamRule
    person: Person

    @property
    def source(self) -> str:
        """Return where the guide is printed."""
        if self.filter is not None:
            return self.filter.source
        return "" if self.equation is None else self.equation.source


class OnePerson(NamedTuple):
    """What one person may lift, and on what that rests, in words."""

    kg: Fraction
    says: tuple[str, ...]


def guide_of(practice: Practice, on: date) -> Guide:
    """Return the guide in force on a day.

    Raises:
        ProblemsFound: P020 if the pack has no guide, or lacks a part of it.
    """
    equation = None if practice.at("niosh_load_kg", on) is None else niosh(practice, on)
    filtered = any(each.in_force(on) for each in practice.tables.get("lifting_filter", ()))
    if equation is not None and not filtered:
        return Guide(practice, on, None, equation, _alone(practice, on, equation), "man")
    found = practice.needed("lift_person", on).value if filtered else "man"
    person = cast(Person, found if found in PERSONS else "woman")  # the careful choice
    return Guide(practice, on, lifting_filter(practice, on), equation, team_rule(practice, on),
                 person)


def _alone(practice: Practice, on: date, equation: Niosh) -> TeamRule:
    """Return the rule for teams where no share is published: what one may not lift takes an aid."""
    aid = int(practice.number("lift_aid_people", on))
    return TeamRule((Fraction(1),), aid, aid, int(practice.number("lift_stairs_more", on)),
                    equation.source, equation.decides)


def way_of(guide: Guide) -> tuple[str, str]:
    """Return how lifts are planned by a guide, in words, and where it is printed."""
    if guide.filter is None:
        return "NIOSH equation for one person", guide.source
    method, source = "lifting filter by zone and reach, shared out", (
        f"{guide.source}; {guide.team.source}")
    if guide.equation is None:
        return method, source
    return (f"{method}; NIOSH equation as a second opinion, no law here",
            f"{source}; {guide.equation.source}")


def least_people(guide: Guide, slot: str) -> int:
    """Return the least people for a thing, whatever its mass; one if the pack does not say."""
    if not any(each.in_force(guide.on) for each in guide.practice.tables.get(
            "lift_least_people", ())):
        return 1
    stated = guide.practice.table("lift_least_people", guide.on).column("people")
    return int(cast("int", stated.get(slot, 1)))


def one_person(
    guide: Guide, hands: Hands, depth_mm: Fraction | None, stairs: bool
) -> OnePerson:
    """Return what one person may lift so."""
    low, high = shown(hands.lowest_m, 2), shown(hands.highest_m, 2)
    where = f"hands at {low} m" if low == high else f"hands from {low} to {high} m"
    if guide.filter is not None:
        lift = Lift(boxes_of(guide.practice, guide.on, hands), stairs=stairs)
        kg = person_kg(guide.filter, guide.person, lift)
        held = "close to the body" if hands.reach == "close" else "at arm's length"
        says = f"{shown(kg)} kg for one {guide.person}, {where}, {held}, no twisting"
        return OnePerson(kg, (says, *assess_also(guide.filter, lift)))
    assert guide.equation is not None  # a guide is the one or the other
    kg = guide.equation.load_kg * multipliers(
        guide.equation, niosh_lift(guide, guide.equation, hands, depth_mm)).product
    says = f"{shown(kg)} kg recommended for one person, {where}, no twisting, not carried"
    return OnePerson(kg, (says, *(("assess the stairs apart",) if stairs else ())))


def niosh_lift(
    guide: Guide, equation: Niosh, hands: Hands, depth_mm: Fraction | None
) -> NioshLift:
    """Return a lift now and then, by no more than a fair grip, as the equation sees it.

    A load of unknown depth is taken as far from the body as the equation goes.
    """
    base = Fraction(guide.practice.number("niosh_reach_base_cm", guide.on))
    low = hands.lowest_m * CM_PER_M
    return NioshLift(
        reach_cm=(equation.reach_most_cm if depth_mm is None
                  else base + depth_mm / MM_PER_CM / 2),
        height_cm=low,
        travel_cm=(hands.highest_m - hands.lowest_m) * CM_PER_M,
        frequency=frequency_multiplier(guide.practice, guide.on, 0, 1, low),
        grip=grip_multiplier(guide.practice, guide.on, "fair", low),
    )


def second_opinion(
    guide: Guide, mass_kg: Fraction | None, hands: Hands, depth_mm: Fraction | None
) -> tuple[Sum, ...]:
    """Return the figures of the NIOSH equation for one person, if the pack has it."""
    if guide.equation is None:
        return ()
    lift = niosh_lift(guide, guide.equation, hands, depth_mm)
    found = multipliers(guide.equation, lift)
    limit = guide.equation.load_kg * found.product
    named = (("reach", "HM", found.reach), ("height", "VM", found.height),
             ("travel", "DM", found.travel), ("turn", "AM", found.turn),
             ("frequency", "FM", found.frequency), ("grip", "CM", found.grip))
    sums = [Sum(f"NIOSH {name} multiplier {sign}", value) for name, sign, value in named]
    sums.append(Sum("NIOSH recommended weight limit for one", limit, "kg"))
    if mass_kg is not None and limit:
        sums.append(Sum("NIOSH lifting index for one", mass_kg / limit))
    return tuple(sums)
