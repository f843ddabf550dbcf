"""How many people lift a load by hand, or whether it takes an aid.

A team lifts less than the sum of what each may lift: two thirds for two, half for three (L23).
No share is published for more, and more than four are unlikely to work well together.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from fractions import Fraction
from typing import NamedTuple

from estimator.design.check import Check
from estimator.design.lifting.filter import (
    NO_LAW,
    Lift,
    LiftingFilter,
    Person,
    assess_also,
    person_kg,
)
from estimator.design.limits import Number, exact, shown
from estimator.practice.pack import Practice

WORDS = ("nobody", "one person", "two people", "three people", "four people")


class TeamRule(NamedTuple):
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


class LiftPlan(NamedTuple):
    """How a load is to be moved.

    Attributes:
        mass_kg: the load.
        by_hand: fewest people whose guide covers it, those who come on top for stairs among them;
            None if no team's does.
        bearing: how many of them bear the load.
        with_aid: people for the lift with an aid.
        limit_kg: guide of that team, or of the largest team if none covers the load.
        crew_kg: guide of the most people who lift by hand without more of them than with an aid.
        one_kg: guide of one person for this lift.
        assess: what must be assessed, in words.
    """

    mass_kg: Fraction
    by_hand: int | None
    bearing: int
    with_aid: int
    limit_kg: Fraction
    crew_kg: Fraction
    one_kg: Fraction
    assess: tuple[str, ...]
    source: str
    decides: str

    @property
    def needs_aid(self) -> bool:
        """Return whether no team is within its guide."""
        return self.by_hand is None

    @property
    def takes_aid(self) -> bool:
        """Return whether an aid is planned: always before more people than go with one.

        To avoid a lift comes before sharing it out (Manual Handling Operations Regulations 1992).
        """
        return self.by_hand is None or self.by_hand > self.with_aid

    @property
    def people(self) -> int:
        """Return how many people are planned, with the aid if one is."""
        return self.by_hand if self.by_hand and not self.takes_aid else self.with_aid

    def judged(self, code: str = "lift", subject: str = "") -> Check:
        """Return the plan as a value beside its limit; no lift is ever a stop."""
        fine = not self.takes_aid and self.mass_kg <= self.one_kg
        limit = self.crew_kg if self.by_hand and self.takes_aid else self.limit_kg
        return Check(
            code, "fine" if fine else "caution", subject,
            "; ".join((self._says(), *self.assess, NO_LAW)), self.source, self.decides,
            self.mass_kg, limit, "kg")

    def _says(self) -> str:
        mass, limit = shown(self.mass_kg), shown(self.limit_kg)
        aid = f"assess the lift and use an aid, with {people_words(self.with_aid)} at the least"
        if self.by_hand is None:
            return f"{mass} kg is over the guide of {limit} kg for the largest team: {aid}"
        if self.takes_aid:
            return (f"{mass} kg is over the guide of {shown(self.crew_kg)} kg for "
                    f"{people_words(self.with_aid)}, within that of {limit} kg for "
                    f"{people_words(self.by_hand)} only: {aid}")
        says = f"{mass} kg is within the guide of {limit} kg for {people_words(self.bearing)}"
        if self.by_hand > self.bearing:
            says += f", {people_words(self.by_hand)} on the stairs"
        if self.mass_kg > self.one_kg:
            return f"{says} (over {shown(self.one_kg)} kg for one): assess the lift and plan it"
        return says if self.by_hand == 1 else f"{says} (not lifted alone)"


def people_words(people: int) -> str:
    """Return so many people in words ("two people")."""
    return WORDS[people] if people < len(WORDS) else f"{people} people"


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
    if least > len(rule.shares):
        raise ValueError(f"no share is published for a team of {least}")
    return plan_by_guide(
        mass_kg, person_kg(guide, person, lift), rule, least, lift.stairs, assess_also(guide, lift),
        guide.source)


def plan_by_guide(
    mass_kg: Number, one_kg: Fraction, rule: TeamRule, least: int, stairs: bool,
    assess: tuple[str, ...], source: str,
) -> LiftPlan:
    """Return the smallest team that covers a load, given what one person may lift.

    Args:
        one_kg: guide of one person for this lift.
        stairs: whether the way has stairs; whoever comes on top there bears nothing of the load.
        assess: what must be assessed, in words.
        source: where the guide is printed.

    Raises:
        ValueError: if the mass is not above zero.
    """
    if mass_kg <= 0:
        raise ValueError("a load has a mass")
    mass, more = Fraction(mass_kg), rule.stairs_more if stairs else 0
    teams = {n: team_kg([one_kg] * n, rule) for n in range(1, len(rule.shares) + 1)}
    most = max(len(teams), rule.with_aid)
    bearing = {n: kg for n, kg in teams.items() if n + more <= most}
    bear = next((n for n, kg in bearing.items() if kg >= mass), None)
    people = None if bear is None else max(bear + more, least)
    with_aid = max(rule.with_aid + more, least)
    return LiftPlan(
        mass_kg=mass,
        by_hand=people,
        bearing=0 if people is None else people - more,
        with_aid=with_aid,
        limit_kg=max(bearing.values()) if people is None else _guide(teams, people - more),
        crew_kg=_guide(teams, with_aid - more),
        one_kg=one_kg,
        assess=assess,
        source=f"{source}; {rule.source}",
        decides=rule.decides,
    )


def _guide(teams: Mapping[int, Fraction], people: int) -> Fraction:
    """Return the guide of so many people, or of the largest team if none is published for them."""
    return teams.get(people, max(teams.values()))
