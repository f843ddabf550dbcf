"""Does what carries the panels hold them in the wind? Sum, limit, and a line to sign.

On rails the fixings priced are those that hold; trays, frames on the ground and their footing are
for whoever designed them, who is given the sum. Ballast has a check of its own.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import cast

from catalogue.specs import MountingSpec
from estimator.design.case import Outcome
from estimator.design.check import Check, Sum, Unanswered, Worked
from estimator.design.limits import ENGINEER, shown
from estimator.design.plane_design import metres, rail_rule
from estimator.design.rails import RailRule
from estimator.design.sheet import Unknown
from estimator.design.structure.fixing_steps import Held, fixings_by_uplift
from estimator.design.structure.roof_plane import RoofPlane, resistance_kn, told_of
from estimator.design.structure.site_wind import Lift

CODE, FIXINGS = "roof-wind", "roof-fixings"
COUNT, STEP, ITEM, RAFTERS = (
    "plane.fixings", "plane.fixing_step_m", "plane.fixing_item", "plane.rafter_spacing_m")
ASKS = "What does the wind do at this site?"


def judge_wind(plane: RoofPlane, lift: Lift | Unknown) -> Outcome:
    """Return whether the panels of a plane are held, and how many fixings that takes."""
    if isinstance(lift, Unknown):
        says = "there is no sum of the wind: fixings are counted by the span of the rails alone"
        return Outcome((_unanswered(plane, says, plane.full(*sorted(lift.facts))),))
    kind = plane.env["plane.kind"]
    if kind == "pitched":
        return _on_rails(plane, lift)
    if kind == "flat":
        return Outcome(worked=(_worked(plane, lift, "ballast is worked out from this uplift"),))
    check = _for_the_maker(plane, lift)
    return Outcome(told_of(check, lift.open_facts, ASKS),
                   worked=(_worked(plane, lift, check.says),))


def _lifts(plane: RoofPlane, lift: Lift) -> str:
    return (f"the wind lifts with {shown(lift.net_kpa, 2)} kPa, "
            f"{shown(lift.net_kpa * plane.area_m2)} kN in all")


def _for_the_maker(plane: RoofPlane, lift: Lift) -> Check:
    """Return the sum for trays in the roof or an array on the ground, beside who designs them."""
    says, limit, decides = (
        "the tray maker's figure for this roof must reach it", "the tray maker's figure",
        "tray maker, or structural engineer",
    ) if plane.env["plane.kind"] == "in-roof" else (
        "frame, posts and footing are designed for it and for the soil", "an engineer's design",
        ENGINEER,
    )
    return Check(CODE, "caution", plane.name, f"{_lifts(plane, lift)}: {says}", lift.source,
                 decides, f"{shown(lift.net_kpa, 2)} kPa", limit, signed=True)


def _on_rails(plane: RoofPlane, lift: Lift) -> Outcome:
    missing = ("kit.rail.code",) if plane.rail is None else tuple(
        path for path in plane.open_among(COUNT, STEP) if isinstance(plane.env[COUNT], Unknown))
    if missing or plane.rail is None:
        says = "rails or rafters are not known: no fixing can be counted"
        return Outcome((_unanswered(plane, says, missing),),
                       worked=(_worked(plane, lift, says),))
    resistance = plane.weakest_kn if plane.fixing is None else resistance_kn(plane.fixing)
    if resistance is None:
        return _no_figure(plane, lift)
    rails = rail_rule(plane.env, cast(MountingSpec, plane.rail.spec))
    ways = [
        fixings_by_uplift(plane.layout, each, lift.net_kpa, resistance, plane.rules.roof)
        for each in _spacings(plane, rails)]
    # The way that loads a fixing beyond what it holds is the worst, then the one that takes most.
    held = max(ways, key=lambda way: (not way.holds, way.fixings))
    return _counted(plane, lift, held, resistance)


def _spacings(plane: RoofPlane, rails: RailRule) -> tuple[RailRule, ...]:
    """Return the rails over the rafters that were measured, or over all they may turn out to be.

    Close rafters cost most fixings by span, far ones may not hold: what is priced is the worse.
    """
    if RAFTERS not in plane.env.get("@assumed", ()):
        return (rails,)
    return rails, replace(rails, rafter_spacing_m=plane.rules.rafters_most.value)


def _no_figure(plane: RoofPlane, lift: Lift) -> Outcome:
    """Return the stop for a fixing whose data sheet does not say what it holds."""
    named = f"{plane.fixing.name} ({plane.fixing.code})" if plane.fixing else "roof fixings"
    says = (f"{named}: the catalogue does not say what one holds, so nobody knows how many hold "
            f"{shown(lift.net_kpa * plane.area_m2)} kN; enter the figure of the data sheet")
    check = Check("roof-fixing-figure", "stop", plane.name, says, "the fixing's data sheet",
                  "mounting maker", signed=True)
    return Outcome((check,), worked=(_worked(plane, lift, says),))


def _counted(plane: RoofPlane, lift: Lift, held: Held, resistance: Fraction) -> Outcome:
    """Return the fixings priced: by span or by uplift, whichever is more."""
    by_span = plane.env[COUNT]
    count = max(by_span, held.fixings)
    waits = (*plane.open_among(RAFTERS), *(() if plane.fixing else plane.open_among(ITEM)))
    check = _fixings(plane, lift, held, count, resistance)
    paths = plane.full(COUNT, STEP)
    because = f"{by_span} by the span of the rails, {held.fixings} by uplift: {lift.method}"
    guessed = (*lift.open_facts, *waits)
    sums = (
        Sum("what one fixing holds", resistance, "kN"),
        Sum("continuity factor", plane.rules.roof.continuity.value),
        Sum("load of the worst fixing", held.worst_kn, "kN"),
        Sum("distance between fixings", held.step_m, "m"),
        Sum("fixings by the span of the rails", by_span),
        Sum("fixings by the whole uplift, wherever they stand", held.least),
        Sum("fixings by uplift, at whole rafter steps", held.fixings),
    )
    return Outcome(
        told_of(check, guessed, ASKS),
        planes=({COUNT: count, STEP: metres(held.step_m) if plane.env[STEP] else plane.env[STEP]},),
        because=dict.fromkeys(paths, because), assumed=frozenset(paths if guessed else ()),
        worked=(_worked(plane, lift, check.says, sums),))


def _fixings(
    plane: RoofPlane, lift: Lift, held: Held, count: int, resistance: Fraction
) -> Check:
    """Return the load of the worst fixing against what one holds."""
    says = (
        f"{count} fixings, {shown(held.step_m, 2)} m apart along each rail, hold it; load of the "
        "worst one"
        if held.holds else
        "not even a fixing on every rafter holds it: a stronger fixing, more rails, or an "
        "engineer's design")
    return Check(
        FIXINGS, "caution" if held.holds else "stop", plane.name,
        f"{_lifts(plane, lift)}: {says}",
        f"{lift.source}; data sheet of the fixing; {plane.rules.roof.continuity.source}", ENGINEER,
        held.worst_kn, resistance, "kN", signed=True)


def _unanswered(plane: RoofPlane, says: str, facts: tuple[str, ...]) -> Unanswered:
    worst = Check(CODE, "caution", plane.name, says, plane.rules.wind.source, ENGINEER,
                  signed=True)
    return Unanswered(CODE, facts, ASKS, worst)


def _worked(plane: RoofPlane, lift: Lift, says: str, more: tuple[Sum, ...] = ()) -> Worked:
    return Worked(CODE, plane.name, says, lift.method, lift.source, (*lift.sums, *more))
