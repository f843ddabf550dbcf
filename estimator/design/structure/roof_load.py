"""What panels add to a roof, what the wind lifts, and how many fixings hold it.

Every answer is for the structural engineer to confirm: sum, limit, and who decides.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from estimator.design.check import Check
from estimator.design.limits import ENGINEER, Figure, Number, limit_of, outcome, shown
from estimator.practice.pack import Practice

N_PER_KN = 1000
OVERHANG_MOST = 0.75  # of the step: beyond, the end fixing is loaded more than the factor says


@dataclass(frozen=True, slots=True)
class RoofRule:
    """Limits and factors in force on a day."""

    added_share: Figure
    edge: Figure
    edge_engineer: Figure
    gravity_m_s2: Fraction
    uplift_coefficient: Figure
    wind_factor: Fraction
    weight_factor: Fraction
    continuity: Figure


@dataclass(frozen=True, slots=True)
class Uplift:
    """Uplift on an area of panels in kN.

    Attributes:
        wind_kn: wind without a factor.
        design_kn: wind with its partial factor.
        held_kn: own weight with its partial factor.
        net_kn: what the fixings must hold; 0 where the weight holds all.
    """

    wind_kn: float
    design_kn: float
    held_kn: float
    net_kn: float
    source: str
    decides: str = ENGINEER


def roof_rule(practice: Practice, on: date) -> RoofRule:
    """Return the rule in force on a day.

    Raises:
        ProblemsFound: P020 if the pack lacks a part of it.
    """
    def limit(name: str) -> Figure:
        return limit_of(practice, name, on)

    return RoofRule(
        added_share=limit("added_load_share"),
        edge=limit("edge_zone_m"),
        edge_engineer=limit("edge_engineer_m"),
        gravity_m_s2=limit("gravity_m_s2").value,
        uplift_coefficient=limit("panel_uplift_coefficient"),
        wind_factor=limit("wind_load_factor").value,
        weight_factor=limit("own_weight_factor").value,
        continuity=limit("fixing_continuity_factor"),
    )


def added_load_kpa(mass_kg_m2: Number, gravity_m_s2: Number) -> Fraction:
    """Return the load [kN/m2] of an array of so many kg on each square metre."""
    return Fraction(mass_kg_m2) * Fraction(gravity_m_s2) / N_PER_KN


def judge_added_load(added_kpa: Number, roof_kpa: Number, rule: RoofRule) -> Check:
    """Return the added load as a share of the roof's own; at the limit it is a check already.

    Raises:
        ValueError: if the roof has no load of its own.
    """
    if roof_kpa <= 0:
        raise ValueError("a roof has a load of its own")
    share = Fraction(added_kpa) / Fraction(roof_kpa)
    limit = rule.added_share
    passes = share < limit.value
    says = (
        f"the array adds {shown(share * 100)} % to the roof's own load; from "
        f"{shown(limit.value * 100)} % the roof is checked"
    )
    return outcome("roof-added-load", says, share, limit.value, "", passes, limit.source, ENGINEER)


def judge_edge(distance_m: Number, rule: RoofRule) -> Check:
    """Return the clear edge round the panels against the usual one.

    Below the lesser distance an engineer designs for wind; between the two the mounting maker may
    show that it holds.
    """
    distance = Fraction(distance_m)
    limit = rule.edge_engineer if distance < rule.edge_engineer.value else rule.edge
    passes = distance >= limit.value
    says = f"the panels keep {shown(distance * 1000)} mm from the edge of the roof"
    if not passes:
        says += f", less than {shown(limit.value * 1000)} mm: uplift is designed for"
    return outcome("roof-edge", says, distance, limit.value, "m", passes, limit.source, ENGINEER)


def uplift(
    area_m2: float, mass_kg: float, peak_kpa: float, rule: RoofRule,
    coefficient: float | None = None,
) -> Uplift:
    """Return the uplift on panels.

    Args:
        area_m2: area of the panels.
        mass_kg: their mass, with what is fixed to them.
        peak_kpa: peak velocity pressure.
        rule: limits and factors in force.
        coefficient: uplift over peak pressure, above zero; None = the practice pack's.

    Raises:
        ValueError: for an area, mass, pressure or coefficient below zero.
    """
    found = float(rule.uplift_coefficient.value) if coefficient is None else coefficient
    if min(area_m2, mass_kg, peak_kpa, found) < 0:
        raise ValueError("area, mass, pressure and coefficient are not below zero")
    wind = area_m2 * peak_kpa * found
    design = float(rule.wind_factor) * wind
    held = float(rule.weight_factor) * mass_kg * float(rule.gravity_m_s2) / N_PER_KN
    return Uplift(wind, design, held, max(0.0, design - held), rule.uplift_coefficient.source)


def fixings_for(net_kn: float, resistance_kn: Number, rule: RoofRule) -> int:
    """Return the fixings that hold a net uplift: ceil(continuity x net / resistance).

    The share by length is too low for the worst fixing under a continuous rail, so it is raised.

    Raises:
        ValueError: if the resistance is not above zero.
    """
    if resistance_kn <= 0:
        raise ValueError("a fixing has a resistance")
    return math.ceil(Fraction(net_kn) * rule.continuity.value / Fraction(resistance_kn))


def fixing_share_kn(line_kn_m: float, step_m: float, overhang_m: float) -> float:
    """Return the largest load [kN] of a fixing by its share of the rail's length.

    That is a whole step inside the rail, or half a step and the overhang at its end.
    """
    return line_kn_m * max(step_m, step_m / 2 + overhang_m)


def fixing_worst_kn(
    line_kn_m: float, step_m: float, overhang_m: float, rule: RoofRule
) -> float:
    """Return a load [kN] that no fixing of a continuous rail exceeds.

    The share by length times the continuity factor; it holds for two fixings and more and for
    overhangs up to 0.75 of the step.

    Raises:
        ValueError: for a longer overhang: an engineer works it out.
    """
    if overhang_m > OVERHANG_MOST * step_m:
        raise ValueError(
            f"the overhang is more than {OVERHANG_MOST} of the step: an engineer works it out")
    return float(rule.continuity.value) * fixing_share_kn(line_kn_m, step_m, overhang_m)


def judge_fixings(net_kn: float, resistance_kn: Number, given: int, rule: RoofRule) -> Check:
    """Return the fixings given against those that hold the uplift."""
    needed = fixings_for(net_kn, resistance_kn, rule)
    says = f"{given} fixings, {needed} hold the uplift of {shown(net_kn, 2)} kN"
    return outcome(
        "roof-fixings", says, Fraction(given), Fraction(needed), "", given >= needed,
        rule.uplift_coefficient.source, ENGINEER,
    )


def ballast_kg(net_kn: float, rule: RoofRule) -> float:
    """Return the ballast [kg] whose weight, with its factor, meets a net uplift; not sliding."""
    return net_kn * N_PER_KN / (float(rule.weight_factor) * float(rule.gravity_m_s2))
