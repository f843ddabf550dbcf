"""Peak velocity pressure by EN 1991-1-4, with the national terms of the United Kingdom.

    kr = 0.19 (z0 / 0.05)^0.07      cr = kr ln(z / z0)        vm = cr co vb
    Iv = 1 / ln(z / z0)             qp = (1 + 7 Iv) rho vm^2 / 2
    calt = 1 + 0.001 A (10 / z)^0.2, the last factor only above 10 m     vb = calt v,map

For a first look: the UK annex reads its roughness from charts, which this does not hold, and
hills and funnels come in only by co. A structural engineer decides. Floats: logarithms are in it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import date
from typing import Literal, NamedTuple

from estimator.design.limits import ENGINEER, exact
from estimator.practice.pack import Practice

TerrainKind = Literal["sea", "open", "farmland", "suburb", "town"]


class Terrain(NamedTuple):
    """Roughness length and least height of a terrain category."""

    z0_m: float
    least_m: float


class WindRule(NamedTuple):
    """Constants of the formula, terrain and national terms in force on a day."""

    terrains: Mapping[str, Terrain]
    terrain_factor: float
    terrain_length_m: float
    terrain_power: float
    gust_factor: float
    air_density_kg_m3: float
    altitude_per_m: float
    altitude_height_m: float
    altitude_power: float
    simple_factor: float
    source: str


class PeakPressure(NamedTuple):
    """Every step of the sum; `peak_kpa` is the answer.

    Attributes:
        height_m: height used: that of the roof, or the terrain's least.
        terrain_factor: kr; `roughness`: cr; `turbulence`: Iv.
        mean_m_s: vm.
        peak_kpa: qp in kN/m2.
    """

    height_m: float
    terrain_factor: float
    roughness: float
    mean_m_s: float
    turbulence: float
    peak_kpa: float
    source: str
    decides: str = ENGINEER


def wind_rule(practice: Practice, on: date) -> WindRule:
    """Return the rule in force on a day.

    Raises:
        ProblemsFound: P020 if the pack lacks a part of it.
    """
    def number(name: str) -> float:
        return float(practice.number(name, on))

    table = practice.table("wind_terrain", on)
    z0, least = table.column("z0"), table.column("least")
    return WindRule(
        terrains={
            str(kind): Terrain(float(exact(z0[kind])), float(exact(least[kind])))
            for kind in table.keys
        },
        terrain_factor=number("wind_terrain_factor"),
        terrain_length_m=number("wind_terrain_length_m"),
        terrain_power=number("wind_terrain_power"),
        gust_factor=number("wind_gust_factor"),
        air_density_kg_m3=number("air_density_kg_m3"),
        altitude_per_m=number("wind_altitude_per_m"),
        altitude_height_m=number("wind_altitude_height_m"),
        altitude_power=number("wind_altitude_power"),
        simple_factor=number("wind_simple_factor"),
        source=practice.needed("wind_gust_factor", on).source,
    )


def altitude_factor(altitude_m: float, height_m: float, rule: WindRule) -> float:
    """Return calt for a site so high above the sea and a roof so high above the ground.

    Raises:
        ValueError: for a height that is not above zero.
    """
    if height_m <= 0:
        raise ValueError("a roof stands above the ground")
    less = rule.altitude_height_m / max(height_m, rule.altitude_height_m)
    return 1 + rule.altitude_per_m * altitude_m * math.pow(less, rule.altitude_power)


def base_pressure_kpa(velocity_m_s: float, rule: WindRule) -> float:
    """Return qb = rho v^2 / 2 [kN/m2]."""
    return rule.air_density_kg_m3 * velocity_m_s**2 / 2 / 1000


def simple_pressure_pa(velocity_m_s: float, rule: WindRule) -> float:
    """Return the dynamic pressure [Pa] by the simple formula 0.613 V^2."""
    return rule.simple_factor * velocity_m_s**2


def peak_pressure(
    velocity_m_s: float, height_m: float, terrain: Terrain, rule: WindRule, hill_factor: float = 1
) -> PeakPressure:
    """Return the peak velocity pressure.

    Args:
        velocity_m_s: vb, basic velocity with altitude in it.
        height_m: z, height of the roof above ground.
        terrain: roughness of the ground upwind.
        rule: rule in force.
        hill_factor: co, 1 on flat ground; an engineer gives another.

    Raises:
        ValueError: if velocity, height or hill factor is not above zero.
    """
    if min(velocity_m_s, height_m, hill_factor) <= 0:
        raise ValueError("velocity, height and hill factor are above zero")
    height = max(height_m, terrain.least_m)
    log = math.log(height / terrain.z0_m)
    kr = rule.terrain_factor * (terrain.z0_m / rule.terrain_length_m) ** rule.terrain_power
    mean = kr * log * hill_factor * velocity_m_s
    turbulence = 1 / (hill_factor * log)
    peak = (1 + rule.gust_factor * turbulence) * base_pressure_kpa(mean, rule)
    return PeakPressure(height, kr, kr * log, mean, turbulence, peak, rule.source)
