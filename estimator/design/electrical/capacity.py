"""What a cable carries: the tabulated current and the factors on it (BS 7671, Appendix 4).

It >= In / (Ca Cg Ci Cc) for the tabulated current; Iz = It Ca Cg Ci for what the cable carries.
Between the steps of a table the next harder step holds; no figure is interpolated.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from estimator.design.electrical.figures import Figures, OutsideTableError
from estimator.design.limits import Figure, Number

ONE = Figure(Fraction(1), "", "no factor applies")
Device = Literal["breaker", "cartridge fuse", "rewirable fuse"]


@dataclass(frozen=True, slots=True)
class Cable:
    """A kind of cable and its tables.

    Attributes:
        current: table of the current, one column for each reference method.
        drop: table of the volt drop.
        insulation_c: highest temperature of the conductor.
        phases: 1 where the table is for two loaded conductors, 3 for three.
        cooler: kind whose currents hold where the terminals take 70 degrees only.
    """

    name: str
    current: str
    drop: str
    insulation_c: int
    phases: Literal[1, 3]
    cooler: str = ""


CABLES = {
    cable.name: cable for cable in (
        Cable("flat twin and earth", "cable_flat_a", "cable_flat_mv", 70, 1),
        Cable("single", "cable_single_a", "cable_single_mv", 70, 1),
        Cable("armoured 70", "cable_armoured_70_a", "cable_armoured_70_mv", 70, 1),
        Cable("armoured 90", "cable_armoured_90_a", "cable_armoured_90_mv", 90, 1,
              cooler="armoured 70"),
        Cable("sheathed three-phase", "cable_sheathed_three_a", "cable_sheathed_three_mv", 70, 3),
        Cable("armoured 70 three-phase", "cable_armoured_70_three_a",
              "cable_armoured_70_three_mv", 70, 3),
    )
}


def usable_c(cable: str, terminal_c: int) -> int:
    """Return the conductor temperature to design at: the lower of insulation and terminals.

    The column for 90 degrees is refused where an accessory is marked for 70 degrees (BS 7671,
    Regulation 512.1.5, from memory).
    """
    return 90 if min(CABLES[cable].insulation_c, terminal_c) >= 90 else 70


def tabulated_a(
    figures: Figures, cable: str, method: str, size_mm2: Number, terminal_c: int = 70
) -> Figure:
    """Return the tabulated current [A] of a size by reference method.

    Where the terminals take 70 degrees only, a cable insulated for 90 degrees is given the
    current of the same make-up insulated for 70.

    Raises:
        OutsideTableError: if the table has no such size or method.
    """
    return figures.cell(_rated(cable, terminal_c).current, size_mm2, method)


def sizes_mm2(
    figures: Figures, cable: str, method: str, terminal_c: int = 70
) -> tuple[Fraction, ...]:
    """Return the sizes that have a current by a method, rising.

    Raises:
        OutsideTableError: if the table has no such method.
    """
    table = _rated(cable, terminal_c).current
    if not figures.has(table, method):
        raise OutsideTableError(f"{cable}: no reference method {method} in the table")
    return figures.keys(table, method)


def _rated(cable: str, terminal_c: int) -> Cable:
    kind = CABLES[cable]
    return CABLES[kind.cooler] if kind.cooler and usable_c(cable, terminal_c) < 90 else kind


def air_factor(figures: Figures, conductor_c: int, air_c: Number) -> Figure:
    """Return Ca for air: the next hotter step between steps, the lowest step below it.

    Raises:
        OutsideTableError: for air hotter than the table goes.
    """
    return figures.step_up("factor_air", air_c, str(conductor_c))


def ground_factor(figures: Figures, conductor_c: int, ground_c: Number) -> Figure:
    """Return Ca for the ground; steps as `air_factor`."""
    return figures.step_up("factor_ground", ground_c, str(conductor_c))


def soil_factor(figures: Figures, k_m_w: Number) -> Figure:
    """Return the factor for the soil's thermal resistivity [K m/W], cable laid direct."""
    return figures.step_up("factor_soil", k_m_w, "direct")


def insulation_factor(figures: Figures, length_mm: Number) -> Figure:
    """Return Ci for a cable wholly surrounded by thermal insulation over a length."""
    if length_mm <= 0:
        return ONE
    return figures.step_up("factor_insulation", length_mm, "factor", hold=True)


def device_factor(figures: Figures, device: Device, buried: bool = False) -> Figure:
    """Return Cc: for a rewirable fuse, for a buried cable protected against overload, or both."""
    parts = (
        *((figures.number("factor_rewirable"),) if device == "rewirable fuse" else ()),
        *((figures.number("factor_buried"),) if buried else ()),
    )
    return product(parts)


def product(factors: tuple[Figure, ...]) -> Figure:
    """Return the product of factors, with the sources of those that are not one."""
    value = Fraction(1)
    for factor in factors:
        value *= factor.value
    sources = dict.fromkeys(factor.source for factor in factors if factor.value != 1)
    return Figure(value, "", "; ".join(sources) or ONE.source) if factors else ONE


def needed_a(rating_a: Number, factors: tuple[Figure, ...]) -> Fraction:
    """Return the tabulated current [A] that a cable must reach: In / (product of the factors)."""
    return Fraction(rating_a) / product(factors).value
