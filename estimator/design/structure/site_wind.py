"""The uplift on a plane's panels: from the survey's wind calculation, or by EN 1991-1-4."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from estimator.design.check import Sum
from estimator.design.limits import Figure
from estimator.design.sheet import Unknown
from estimator.design.structure.roof_load import RoofRule, uplift
from estimator.design.structure.roof_plane import RoofPlane
from estimator.design.structure.wind import PeakPressure, altitude_factor, peak_pressure

SITE = ("site.wind_m_s", "site.altitude_m", "site.terrain", "plane.ridge_m")
CALCULATED = "plane.uplift_kpa"


class Lift(NamedTuple):
    """Uplift on the panels of a plane.

    Attributes:
        net_kpa: design uplift less the weight that holds down, on the area of the panels.
        method, source: how it was found.
        sums: every step of the sum.
        open_facts: facts it rests on that nobody knows; they are taken at their worst.
    """

    net_kpa: Fraction
    method: str
    source: str
    sums: tuple[Sum, ...]
    open_facts: tuple[str, ...] = ()


def lift_of(plane: RoofPlane) -> Lift | Unknown:
    """Return the uplift on a plane's panels, or the facts without which there is no sum.

    The wind calculation of the survey counts, where there is one; the sum of the code then stands
    beside it for comparison, if nothing in it is guessed.
    """
    by_formula, given = _by_formula(plane), plane.env[CALCULATED]
    if isinstance(given, Unknown):
        return by_formula
    net = Fraction(given)
    beside: tuple[Sum, ...] = ()
    if isinstance(by_formula, Lift) and not by_formula.open_facts:
        beside = (Sum("net uplift by EN 1991-1-4, to compare", by_formula.net_kpa, "kPa"),)
    return Lift(net, "the survey's wind calculation", "the wind calculation of the survey",
                (Sum("net uplift", net, "kPa"), *_in_all(net, plane), *beside))


def _by_formula(plane: RoofPlane) -> Lift | Unknown:
    wind, altitude, kind, ridge = (plane.env[path] for path in SITE)
    missing = [path for path in SITE if isinstance(plane.env[path], Unknown)]
    if missing:
        return Unknown(*plane.open_among(*missing))
    rule, roof = plane.rules.wind, plane.rules.roof
    if kind not in rule.terrains:
        return Unknown("site.terrain")
    coefficient = coefficient_of(plane.env["plane.kind"], roof)
    calt = altitude_factor(float(altitude), float(ridge), rule)
    peak = peak_pressure(float(wind) * calt, float(ridge), rule.terrains[kind], rule)
    # Panels whose sheet gives no mass hold nothing down.
    held = (plane.panel_kg_m2 or Fraction(0)) + plane.rules.mounting.value
    lifted = uplift(1, float(held), peak.peak_kpa, roof, float(coefficient.value))
    net = Fraction(lifted.net_kn)
    sums = (
        Sum("basic wind velocity of the map", wind, "m/s"), Sum("altitude factor", calt),
        Sum("basic wind velocity", float(wind) * calt, "m/s"), *_of_peak(peak),
        Sum("uplift coefficient", coefficient.value),
        Sum("partial factor on wind", roof.wind_factor),
        Sum("design uplift", lifted.design_kn, "kPa"),
        Sum("weight that holds down, with its factor", lifted.held_kn, "kPa"),
        Sum("net uplift", net, "kPa"), *_in_all(net, plane),
    )
    return Lift(
        net, f"EN 1991-1-4 with the country's own terms: terrain {kind}, flat ground, no hill",
        f"{peak.source}; {coefficient.source}", sums, plane.open_among(*SITE))


def coefficient_of(kind: str, rule: RoofRule) -> Figure:
    """Return uplift over peak pressure for panels carried in some way."""
    return {"flat": rule.flat_coefficient, "ground": rule.ground_coefficient}.get(
        kind, rule.uplift_coefficient)


def _of_peak(peak: PeakPressure) -> tuple[Sum, ...]:
    return (
        Sum("height above ground", peak.height_m, "m"),
        Sum("terrain factor", peak.terrain_factor), Sum("roughness factor", peak.roughness),
        Sum("mean wind velocity", peak.mean_m_s, "m/s"),
        Sum("turbulence", peak.turbulence), Sum("peak velocity pressure", peak.peak_kpa, "kPa"),
    )


def _in_all(net_kpa: Fraction, plane: RoofPlane) -> tuple[Sum, ...]:
    return (
        Sum("area of the panels", plane.area_m2, "m2"),
        Sum("net uplift in all", net_kpa * plane.area_m2, "kN"),
    )
