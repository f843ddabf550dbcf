"""What panels, rails and ballast add to a roof, how near its edge they lie, and the ballast.

The sums show what an engineer is to look at: nothing here is decided, and nothing about load or
ballast passes unsigned.
"""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

from estimator.design.case import Outcome
from estimator.design.check import Check, Level, Sum, Unanswered, Worked
from estimator.design.limits import ENGINEER, exact, shown
from estimator.design.plane_design import field_of
from estimator.design.roof import Field, Layout, fits
from estimator.design.sheet import Unknown
from estimator.design.structure.roof_load import (
    added_load_kpa,
    ballast_kg,
    judge_added_load,
    judge_edge,
)
from estimator.design.structure.roof_plane import RoofPlane, told_of
from estimator.design.structure.site_wind import Lift

GIVEN, PRICED = "plane.ballast_kg", "plane.ballast_priced_kg"
BALLAST, LOAD, EDGE = "roof-ballast", "roof-added-load", "roof-edge"
BALLAST_SOURCE = "MIS 3012, issue in force from 18 June 2026, as summarised in the trade press"
ASKS_BALLAST = "What ballast did the engineer give?"


def judge_ballast(plane: RoofPlane, lift: Lift | Unknown) -> Outcome:
    """Return the engineer's ballast against the least by a first sum, and what is priced."""
    given = plane.env[GIVEN]
    if isinstance(lift, Unknown):
        return _without_sum(plane, given, plane.full(*sorted(lift.facts)))
    least = Fraction(ballast_kg(float(lift.net_kpa * plane.area_m2), plane.rules.roof))
    by_sum = f"{shown(least, 0)} kg by a first sum of the wind, sliding left out"
    if isinstance(given, Unknown):
        says = f"no ballast from an engineer yet: {by_sum}, is priced meanwhile"
        check = _ballast(plane, "caution", says, "none given", f"{shown(least, 0)} kg")
        paths = plane.full(PRICED)
        return Outcome(
            (*told_of(check, lift.open_facts, ASKS_BALLAST), _no_ballast(plane)),
            planes=({PRICED: Decimal(math.ceil(least))},),
            because=dict.fromkeys(paths, by_sum), assumed=frozenset(paths))
    enough = given >= least
    says = (f"ballast of {shown(given, 0)} kg against {by_sum}"
            f"{'' if enough else ': less, so the engineer is asked again'}")
    check = _ballast(plane, "caution" if enough else "stop", says, given, least)
    return Outcome(told_of(check, lift.open_facts, ASKS_BALLAST), planes=({PRICED: given},))


def _without_sum(plane: RoofPlane, given: Any, missing: tuple[str, ...]) -> Outcome:
    says = "there is no sum of the wind to hold the ballast against"
    asked = Unanswered(BALLAST, missing, ASKS_BALLAST, _ballast(plane, "caution", says))
    if isinstance(given, Unknown):
        unknown = Unknown(*plane.full(GIVEN), *missing)
        return Outcome((asked, _no_ballast(plane)), planes=({PRICED: unknown},))
    return Outcome((asked,), planes=({PRICED: given},))


def _no_ballast(plane: RoofPlane) -> Unanswered:
    """Return the question for the engineer's figure, without which there is no firm price."""
    says = "no firm price without the engineer's ballast, and no rule of thumb in its place"
    return Unanswered(BALLAST, plane.full(GIVEN), ASKS_BALLAST, _ballast(plane, "stop", says))


def _ballast(
    plane: RoofPlane, level: Level, says: str, value: Any = "", limit: Any = ""
) -> Check:
    unit = "" if isinstance(value, str) else "kg"
    return Check(BALLAST, level, plane.name, says, BALLAST_SOURCE, ENGINEER, value, limit, unit,
                 at_least=True, signed=True)


def judge_load(plane: RoofPlane, ballast: Any) -> Outcome:
    """Return the added load against the roof's own; always a caution, for a person to sign.

    Args:
        ballast: mass of the ballast on the plane in kg, or unknown.
    """
    missing = plane.open_among("plane.covering")
    if plane.panel_kg_m2 is None:
        missing = (*missing, "kit.panel.mass_kg")
    if isinstance(ballast, Unknown):
        missing = (*missing, *sorted(ballast.facts))
    if plane.panel_kg_m2 is None or isinstance(ballast, Unknown):
        worst = Check(LOAD, "caution", plane.name, "nobody knows what is added to the roof's own "
                      "load: a structural check is due", plane.rules.roof.added_share.source,
                      ENGINEER, signed=True)
        return Outcome((Unanswered(LOAD, missing, "What does the array weigh?", worst),))
    sums = _masses(plane, plane.panel_kg_m2, Fraction(ballast) / plane.area_m2)
    added, own = (Fraction(each.value) for each in sums[-2:])
    told = judge_added_load(added, own, plane.rules.roof)
    source = f"{told.source}; {plane.rules.own_load.source}"
    says = told.says + (
        " (the covering that comes off is allowed for)" if plane.env["plane.kind"] == "in-roof"
        else "")
    check = replace(
        told, level="caution", subject=plane.name, says=says, source=source, signed=True)
    worked = Worked("roof-load", plane.name, check.says, "mass of the array over the load of the "
                    "roof by its covering", source, sums)
    return Outcome(told_of(check, missing, "What is the roof covered with?"), worked=(worked,))


def _masses(plane: RoofPlane, panels: Fraction, ballast: Fraction) -> tuple[Sum, ...]:
    """Return every step of the sum; the last two are the load added and the roof's own."""
    table = plane.rules.own_load
    mounting, gravity = plane.rules.mounting.value, plane.rules.roof.gravity_m_s2
    own, alone = (_of_covering(plane, column) for column in ("roof", "covering_alone"))
    added = added_load_kpa(panels + mounting + ballast, gravity)
    sums = [
        Sum("panels", panels, "kg/m2"), Sum("rails, frames and fixings", mounting, "kg/m2"),
        Sum("ballast", ballast, "kg/m2"),
    ]
    if plane.env["plane.kind"] == "in-roof":
        sums.append(Sum("covering taken off", alone, table.unit))
        added = max(Fraction(0), added - alone)
    return (*sums, Sum("added load", added, "kPa"), Sum("own load of the roof", own, table.unit))


def _of_covering(plane: RoofPlane, column: str) -> Fraction:
    """Return a load of the covering; the lightest, if it is not known or not in the table."""
    loads = plane.rules.own_load.column(column)
    covering = plane.env["plane.covering"]
    if not isinstance(covering, Unknown) and covering in loads:
        return exact(loads[covering])
    return min(exact(load) for load in loads.values())


def judge_clear_edge(plane: RoofPlane) -> Outcome:
    """Return how near the roof's edge the panels lie."""
    field = field_of(plane.env)
    if isinstance(field, Unknown):
        worst = Check(EDGE, "caution", plane.name, "the panels may lie nearer to the edge than "
                      "usual: uplift is designed for", plane.rules.roof.edge.source, ENGINEER,
                      signed=True)
        facts = plane.full(*sorted(field.facts))
        return Outcome((Unanswered(EDGE, facts, "How large is the plane?", worst),))
    found = judge_edge(_clear_m(plane.layout, field), plane.rules.roof)
    return Outcome((replace(found, subject=plane.name),))


def _clear_m(layout: Layout, field: Field) -> Fraction:
    """Return the clear edge: as laid out, or what is left round panels that do not fit in it."""
    if fits(layout, field):
        return field.edge_m
    boxes = layout.boxes()
    wide = max(b.x_m + b.width_m for b in boxes) - min(b.x_m for b in boxes)
    high = max(b.y_m + b.height_m for b in boxes) - min(b.y_m for b in boxes)
    return max(Fraction(0), min(field.eaves_m - wide, field.slope_m - high) / 2)
