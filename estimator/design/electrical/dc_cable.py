"""Panel cable: current by way of laying, resistance when warm, volt drop, voltage (EN 50618)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from estimator.design.check import Check, Level
from estimator.design.electrical.capacity import product
from estimator.design.electrical.comparing import (
    at_most,
    failure,
    shown,
    worst,
)
from estimator.design.electrical.figures import Figures, OutsideTableError
from estimator.design.limits import Figure, Number

Laying = Literal["free", "surface", "adjacent"]
Conductor = Literal["class 5 tinned", "class 1"]
STANDARD_C = 20


@dataclass(frozen=True, slots=True)
class StringRun:
    """A string and its run of panel cable.

    Attributes:
        current_a: current at the maximum-power point; `most_a` the most that may flow (the
            short-circuit current with its factor).
        working_v: string voltage at the maximum-power point; `cold_v` open circuit in the cold.
        length_m: one way; the current flows out and back.
        conductor_c: conductor temperature for the resistance.
    """

    name: str
    current_a: Number
    most_a: Number
    working_v: Number
    cold_v: Number
    length_m: Number
    laying: Laying = "adjacent"
    air_c: Number = 70
    conductor_c: Number = 90


@dataclass(frozen=True, slots=True)
class DcDesign:
    """The size of panel cable chosen for a string, and every check on it."""

    name: str
    size_mm2: Fraction
    drop_v: Fraction
    checks: tuple[Check, ...]
    level: Level
    reason: str


def rated_a(figures: Figures, size_mm2: Number, laying: Laying, air_c: Number) -> Figure:
    """Return the current [A] of panel cable in air of a temperature; never above that at 60.

    Raises:
        OutsideTableError: in air over 90 degrees, or for a size that is not in the table.
    """
    cell = figures.cell("dc_cable_a", size_mm2, laying)
    factor = figures.step_up("dc_factor_air", air_c, "factor")
    return Figure(cell.value * factor.value, cell.unit, product((cell, factor)).source,
                  cell.decides)


def resistance_ohm_km(
    figures: Figures, size_mm2: Number, conductor_c: Number = STANDARD_C,
    conductor: Conductor = "class 5 tinned",
) -> Fraction:
    """Return the resistance [ohm/km] of one core: R20 (1 + 0.00393 (T - 20))."""
    at_20 = figures.cell("conductor_ohm_km", size_mm2, conductor).value
    rise = figures.number("copper_per_k").value * (Fraction(conductor_c) - STANDARD_C)
    return at_20 * (1 + rise)


def dc_drop_v(current_a: Number, length_m: Number, ohm_km: Number) -> Fraction:
    """Return the volt drop [V] out and back over a run of a length one way: 2 L I R / 1000."""
    return 2 * Fraction(length_m) * Fraction(current_a) * Fraction(ohm_km) / 1000


def least_bend_mm(figures: Figures, size_mm2: Number, moves: bool = False) -> Fraction:
    """Return the least radius [mm] to which panel cable is bent.

    Raises:
        OutsideTableError: for a size whose diameter is not in the table.
    """
    diameters = figures.number("dc_cable_bend_flexing" if moves else "dc_cable_bend_fixed")
    return diameters.value * figures.cell("dc_cable_sheath", size_mm2, "diameter_mm").value


def check_run(figures: Figures, run: StringRun, size_mm2: Number) -> tuple[Check, ...]:
    """Return every check of a run in a size.

    Raises:
        OutsideTableError: as `rated_a`.
    """
    carries = rated_a(figures, size_mm2, run.laying, run.air_c)
    share = figures.number("dc_drop_share")
    drop = dc_drop_v(run.current_a, run.length_m,
                     resistance_ohm_km(figures, size_mm2, run.conductor_c))
    most = figures.number("dc_cable_most_v")
    return (
        at_most("dc-cable-current", run.name, "panel cable, most current of a string",
                Fraction(run.most_a), carries),
        at_most("dc-volt-drop", run.name, "panel cable, volt drop out and back", drop,
                Figure(share.value * Fraction(run.working_v), "V", share.source, share.decides)),
        at_most("dc-cable-rated-voltage", run.name,
                "panel cable, string in the cold against its rating", Fraction(run.cold_v),
                figures.number("dc_cable_rated_v"), "caution"),
        at_most("dc-cable-voltage", run.name,
                "panel cable, string in the cold against its highest voltage",
                Fraction(run.cold_v), most),
    )


def design_run(
    figures: Figures, run: StringRun, offered: Sequence[Number] | None = None
) -> DcDesign:
    """Return the smallest size on offer that passes; the largest, with its stops, if none does.

    Raises:
        OutsideTableError: as `rated_a`, or if no size is on offer.
    """
    able = figures.keys("dc_cable_a", run.laying)
    sizes = sorted(Fraction(size) for size in (able if offered is None else offered)
                   if size in able)
    if not sizes:
        raise OutsideTableError(f"{run.name}: no size of panel cable is on offer")
    tried = [(size, check_run(figures, run, size)) for size in sizes]
    at = next((i for i, (_, checks) in enumerate(tried) if worst(checks) != "stop"),
              len(tried) - 1)
    size, checks = tried[at]
    failed = [check for check in tried[at - 1][1] if check.level == "stop"] if at else []
    reason = f"{shown(size)} mm²: " + (
        f"{shown(tried[at - 1][0])} mm² fails: " + "; ".join(map(failure, failed))
        if failed else "the smallest on offer"
    )
    drop = dc_drop_v(run.current_a, run.length_m, resistance_ohm_km(figures, size,
                                                                    run.conductor_c))
    return DcDesign(run.name, size, drop, checks, worst(checks), reason)
