"""The lifting rules of the British pack on a fixed day, and short ways to ask them."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Any

from estimator.design.lifting.filter import Lift, Person, lifting_filter
from estimator.design.lifting.niosh import niosh
from estimator.design.lifting.team import LiftPlan, plan_lift, team_rule
from estimator.design.limits import Number
from estimator.practice.pack import country_folder, read_practice

ON = date(2026, 11, 2)
PRACTICE = read_practice([country_folder("gb")])
GUIDE = lifting_filter(PRACTICE, ON)
TEAM = team_rule(PRACTICE, ON)
EQUATION = niosh(PRACTICE, ON)


def plan(mass_kg: Number, person: Person = "man", least: int = 1, **lift: Any) -> LiftPlan:
    return plan_lift(mass_kg, Lift(**lift), GUIDE, TEAM, person, least)


def rank(plan: LiftPlan) -> Fraction:
    """Put plans in order: one, two, three people by hand, then an aid."""
    return Fraction(99 if plan.by_hand is None else plan.by_hand)
