"""Checks every plane's structure: wind and fixings, ballast, added load, distance to the edge.

Structure, wind and ballast are an engineer's: each check shows sum and limit and asks for a name,
also where it finds nothing against. What it counts is priced: fixings by span or by uplift,
whichever is more, and a first sum of the ballast while the engineer has not answered.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

from estimator.design.case import Case, Outcome
from estimator.design.check import Check, Unanswered
from estimator.design.limits import ENGINEER
from estimator.design.sheet import Environment, Unknown
from estimator.design.structure.judge_load import (
    GIVEN,
    PRICED,
    judge_ballast,
    judge_clear_edge,
    judge_load,
)
from estimator.design.structure.judge_wind import ASKS, CODE, judge_wind
from estimator.design.structure.roof_plane import (
    RoofPlane,
    RoofRules,
    full_paths,
    rules_of,
    weakest_kn,
)
from estimator.design.structure.site_wind import lift_of


def judge_roof(case: Case) -> Outcome:
    """Return what the checks of every plane's structure found; see the module's note."""
    rules = rules_of(case)
    if rules is None:
        return _no_values(case)
    weakest = weakest_kn(case)
    return _joined([
        _plane(case, rules, at, weakest) for at in range(len(case.sheet.scopes["plane"]))])


def _no_values(case: Case) -> Outcome:
    """Return the caution for a country whose pack has no values for roofs and wind."""
    says = ("the country's practice values have none for wind and load on roofs: fixings are "
            "counted by the span of the rails alone, and ballast is the engineer's")
    check = Check("roof-no-values", "caution", "panels", says, "the practice pack", ENGINEER,
                  signed=True)
    planes = tuple({PRICED: env[GIVEN]} for env in case.sheet.scopes["plane"])
    return Outcome((check,) if planes else (), planes=planes)


def _plane(case: Case, rules: RoofRules, at: int, weakest: Fraction | None) -> Outcome:
    env, name = case.sheet.scopes["plane"][at], case.sheet.names["plane"][at]
    kind, layout, panel = env["plane.kind"], case.planes[at].layout, case.kit.items["panel"]
    missing = [value for value in (kind, env["plane.panels_placed"]) if isinstance(value, Unknown)]
    if missing or layout is None or panel is None:
        return _not_laid_out(rules, at, name, env, missing)
    if layout.panels == 0:
        return Outcome(planes=({PRICED: Decimal(0)},))
    item = env["plane.fixing_item"]
    plane = RoofPlane(
        at, name, env, layout, panel, case.kit.items["rail"],
        None if isinstance(item, Unknown) else case.prices.items.get(item), weakest, rules)
    return _checked(plane)


def _not_laid_out(
    rules: RoofRules, at: int, name: str, env: Environment, missing: list[Unknown]
) -> Outcome:
    """Return the question for what keeps the panels of a plane from being laid out."""
    facts = full_paths(at, *sorted({fact for unknown in missing for fact in unknown.facts}))
    worst = Check(CODE, "caution", name, "panels that are not laid out are held by nothing yet",
                  rules.wind.source, ENGINEER, signed=True)
    priced = Unknown(*facts) if isinstance(env[GIVEN], Unknown) else env[GIVEN]
    return Outcome((Unanswered(CODE, facts, ASKS, worst),), planes=({PRICED: priced},))


def _checked(plane: RoofPlane) -> Outcome:
    """Return every check of a plane as one, with the plane's facts."""
    lift, kind = lift_of(plane), plane.env["plane.kind"]
    none = Outcome(planes=({PRICED: Decimal(0)},))
    ballast = judge_ballast(plane, lift) if kind == "flat" else none
    outcomes = [judge_wind(plane, lift), ballast]
    if kind != "ground":
        outcomes += [judge_load(plane, ballast.planes[0][PRICED]), judge_clear_edge(plane)]
    found = _joined(outcomes)
    facts: dict[str, Any] = {}
    for each in found.planes:
        facts.update(each)
    return replace(found, planes=(facts,))


def _joined(outcomes: Sequence[Outcome]) -> Outcome:
    """Return outcomes as one, in their order."""
    return Outcome(
        tuple(each for outcome in outcomes for each in outcome.told),
        planes=tuple(each for outcome in outcomes for each in outcome.planes),
        because={path: says for outcome in outcomes for path, says in outcome.because.items()},
        assumed=frozenset(path for outcome in outcomes for path in outcome.assumed),
        worked=tuple(each for outcome in outcomes for each in outcome.worked))
