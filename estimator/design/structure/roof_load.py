"""What panels add to a roof, what the wind lifts, and how many fixings hold it.

Every answer is for the structural engineer to confirm: sum, limit, and who decides.
"""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date
from fractions import Fraction
from typing import NamedTuple, TypeVar

from estimator.design.check import Check
from estimator.design.limits import ENGINEER, Figure, Number, limit_of, shown
from estimator.practice.pack import Practice

N_PER_KN = 1000
# Of the step: beyond, the end fixing is loaded more than the factor says.
OVERHANG_MOST = Fraction(3, 4)
Size = TypeVar("Size", float, Fraction)


class RoofRule(NamedTuple):
    """Limits and factors in force on a day."""

    added_share: Figure
    edge: Figure
    edge_engineer: Figure
    gravity_m_s2: Fraction
    uplift_coefficient: Figure
    flat_coefficient: Figure
    ground_coefficient: Figure
    wind_factor: Fraction
    weight_factor: Fraction
    continuity: Figure


class Uplift(NamedTuple):
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
        flat_coefficient=limit("flat_uplift_coefficient"),
        ground_coefficient=limit("ground_uplift_coefficient"),
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
    share, limit = Fraction(added_kpa) / Fraction(roof_kpa), rule.added_share
    passes = share < limit.value
    says = (
        f"the array adds {shown(share * 100)} % to the roof's own load, "
        f"{'less than' if passes else 'not less than'} the {shown(limit.value * 100)} % from "
        f"which a roof is checked{'' if passes else ': a structural check is due'}"
    )
    return Check("roof-added-load", "fine" if passes else "caution", "", says, limit.source,
                 ENGINEER, share, limit.value)


def judge_edge(distance_m: Number, rule: RoofRule) -> Check:
    """Return the clear edge round the panels against the usual one.

    Below the lesser distance it is a stop: an engineer designs for wind. Between the two the
    mounting maker may show that it holds.
    """
    distance = Fraction(distance_m)
    says = f"the panels keep {shown(distance * 1000)} mm from the edge of the roof"
    found = Check("roof-edge", "fine", "", says, rule.edge.source, rule.edge.decides, distance,
                  rule.edge.value, "m", at_least=True)
    if distance < rule.edge_engineer.value:
        least = rule.edge_engineer
        return replace(
            found, level="stop", source=least.source, decides=ENGINEER, limit=least.value,
            says=f"{says}, less than {shown(least.value * 1000)} mm: an engineer designs for wind",
            signed=True)
    if distance < rule.edge.value:
        return replace(
            found, level="caution", signed=True,
            says=f"{says}, less than {shown(rule.edge.value * 1000)} mm: the mounting maker shows "
            "that it holds, or an engineer does")
    return found


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


def fixings_for(net_kn: float | Fraction, resistance_kn: Number, rule: RoofRule) -> int:
    """Return the fixings that hold a net uplift: ceil(continuity x net / resistance).

    The share by length is too low for the worst fixing under a continuous rail, so it is raised.

    Raises:
        ValueError: if the resistance is not above zero.
    """
    if resistance_kn <= 0:
        raise ValueError("a fixing has a resistance")
    return math.ceil(Fraction(net_kn) * rule.continuity.value / Fraction(resistance_kn))


def fixing_share_kn(line_kn_m: Size, step_m: Size, overhang_m: Size) -> Size:
    """Return the largest load [kN] of a fixing by its share of the rail's length.

    That is a whole step inside the rail, or half a step and the overhang at its end.
    """
    return line_kn_m * max(step_m, step_m / 2 + overhang_m)


def fixing_worst_kn(line_kn_m: Size, step_m: Size, overhang_m: Size, rule: RoofRule) -> Size:
    """Return a load [kN] that no fixing of a continuous rail exceeds.

    The share by length times the continuity factor; it holds for equal steps, for two fixings and
    more, and for overhangs up to 0.75 of the step. Exact for exact numbers.

    Raises:
        ValueError: for a longer overhang: an engineer works it out.
    """
    if overhang_m > OVERHANG_MOST * step_m:
        raise ValueError(
            f"the overhang is more than {float(OVERHANG_MOST)} of the step: an engineer works it "
            "out")
    return rule.continuity.value * fixing_share_kn(line_kn_m, step_m, overhang_m)


def ballast_kg(net_kn: float, rule: RoofRule) -> float:
    """Return the ballast [kg] whose weight, with its factor, meets a net uplift; not sliding."""
    return net_kn * N_PER_KN / (float(rule.weight_factor) * float(rule.gravity_m_s2))
