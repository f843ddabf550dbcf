"""How many people lift a load by hand, or whether it takes an aid.

A team lifts less than the sum of what each may lift: two thirds for two, half for three (L23).
No share is published for more, and more than four are unlikely to work well together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from estimator.design.check import Check
from estimator.design.lifting.filter import (
    NO_LAW,
    Lift,
    LiftingFilter,
    Person,
    assess_also,
    person_kg,
)
from estimator.design.limits import Number, exact, outcome, shown
from estimator.practice.pack import Practice

WORDS = ("", "one person", "two people", "three people", "four people")


@dataclass(frozen=True, slots=True)
class TeamRule:
    """What teams may lift.

    Attributes:
        shares: share of the sum for one, two, three people.
        most: people beyond whom a team is unlikely to work well.
        with_aid: least people who move a heavy load with an aid.
        stairs_more: people more on stairs.
    """

    shares: tuple[Fraction, ...]
    most: int
    with_aid: int
    stairs_more: int
    source: str
    decides: str


@dataclass(frozen=True, slots=True)
class LiftPlan:
    """How a load is to be moved.

    Attributes:
        mass_kg: the load.
        by_hand: fewest people whose guide covers it; None if no team's does.
        with_aid: people for the lift with an aid.
        limit_kg: guide of that team, or of the largest team if none covers the load.
        one_kg: guide of one person for this lift.
        assess: what must be assessed, in words.
    """

    mass_kg: Fraction
    by_hand: int | None
    with_aid: int
    limit_kg: Fraction
    one_kg: Fraction
    assess: tuple[str, ...]
    source: str
    decides: str

    @property
    def needs_aid(self) -> bool:
        """Return whether no team is within its guide."""
        return self.by_hand is None

    def judged(self) -> Check:
        """Return the plan as a value beside its limit."""
        mass, limit = shown(self.mass_kg), shown(self.limit_kg)
        if self.by_hand is None:
            says = (f"{mass} kg is over the guide of {limit} kg for the largest team: assess the "
                    f"lift and use an aid, with {WORDS[self.with_aid]} at the least")
        else:
            says = f"{mass} kg is within the guide of {limit} kg for {WORDS[self.by_hand]}"
            if self.by_hand > 1:
                alone = f"over {shown(self.one_kg)} kg for one"
                says += f" ({alone if self.mass_kg > self.one_kg else 'not lifted alone'}): "
                says += "assess the lift and plan it"
        return outcome(
            "lift", "; ".join((says, *self.assess, NO_LAW)), self.mass_kg, self.limit_kg, "kg",
            not self.needs_aid, self.source, self.decides,
        )


def team_rule(practice: Practice, on: date) -> TeamRule:
    """Return the rule for teams in force on a day.

    Raises:
        ProblemsFound: P020 if the pack lacks a part of it.
    """
    table = practice.table("team_share", on)
    top, bottom = table.column("numerator"), table.column("denominator")
    return TeamRule(
        shares=tuple(exact(top[n]) / exact(bottom[n]) for n in table.keys),
        most=int(practice.number("lift_team_most", on)),
        with_aid=int(practice.number("lift_aid_people", on)),
        stairs_more=int(practice.number("lift_stairs_more", on)),
        source=table.source, decides=table.decides,
    )


def team_kg(each_kg: Sequence[Fraction], rule: TeamRule) -> Fraction:
    """Return what a team may lift [kg]: its share of the sum of what each may lift.

    Raises:
        ValueError: for nobody, or for a team for which no share is published.
    """
    people = len(each_kg)
    if not 1 <= people <= len(rule.shares):
        hint = "unlikely to work well" if people > rule.most else "no published share"
        raise ValueError(f"a team of {people}: {hint}; assess the lift, use an aid")
    return sum(each_kg, Fraction(0)) * rule.shares[people - 1]


def plan_lift(
    mass_kg: Number,
    lift: Lift,
    guide: LiftingFilter,
    rule: TeamRule,
    person: Person = "man",
    least: int = 1,
) -> LiftPlan:
    """Return the smallest team of like people whose guide covers a load.

    Args:
        mass_kg: the load.
        lift: how it is lifted.
        guide: the lifting filter.
        rule: what teams may lift.
        person: whose figures are taken for every member; the careful choice is the lowest.
        least: fewest people whatever the mass (a panel is a two-person lift for wind and size).

    Raises:
        ValueError: if the mass is not above zero, or `least` is more than the largest team.
    """
    if mass_kg <= 0:
        raise ValueError("a load has a mass")
    if least > len(rule.shares):
        raise ValueError(f"no share is published for a team of {least}")
    mass, one = Fraction(mass_kg), person_kg(guide, person, lift)
    more = rule.stairs_more if lift.stairs else 0
    teams = {n: team_kg([one] * n, rule) for n in range(1, len(rule.shares) + 1)}
    bearing = {n: kg for n, kg in teams.items() if n + more <= len(teams)}
    bear = next((n for n, kg in bearing.items() if kg >= mass), None)
    people = None if bear is None else max(bear + more, least)
    return LiftPlan(
        mass_kg=mass,
        by_hand=people,
        with_aid=max(rule.with_aid, least),
        limit_kg=max(bearing.values()) if people is None else teams[people - more],
        one_kg=one,
        assess=assess_also(guide, lift),
        source=f"{guide.source}; {rule.source}",
        decides=rule.decides,
    )
