"""Volt drop and rise along the legs of a circuit, and the limits on it (BS 7671, Table 4Ab)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from estimator.design.electrical.capacity import CABLES
from estimator.design.electrical.figures import Figures
from estimator.design.limits import Figure, Number

Use = Literal["lighting", "other"]
Supply = Literal["public", "private"]
ENCLOSED = ("A", "B")
_SINGLE = "single"


@dataclass(frozen=True, slots=True)
class DropLeg:
    """A leg of one cable: its length and its volt drop for an ampere and a metre."""

    length_m: Number
    mv_per_a_m: Number


def mv_per_a_m(figures: Figures, cable: str, method: str, size_mm2: Number) -> Figure:
    """Return the volt drop [mV/A/m] of a size; between lines for a three-phase kind.

    Figures are for the conductor at its highest temperature, so they err on the safe side.

    Raises:
        OutsideTableError: if the table has no such size.
    """
    column = "mv"
    if cable == _SINGLE:
        column = "enclosed" if method in ENCLOSED else "touching"
    return figures.cell(CABLES[cable].drop, size_mm2, column)


def drop_v(current_a: Number, legs: Sequence[DropLeg]) -> Fraction:
    """Return the volt drop [V] over legs one after the other: sum of mV/A/m x Ib x L / 1000.

    For a circuit that feeds in, the same sum is the rise at its far end.
    """
    return sum(
        (Fraction(leg.mv_per_a_m) * Fraction(leg.length_m) for leg in legs), Fraction(0)
    ) * Fraction(current_a) / 1000


def drop_by_resistivity_v(
    current_a: Number, length_m: Number, size_mm2: Number, ohm_mm2_m: Number
) -> Fraction:
    """Return the volt drop [V] out and back by resistivity: 2 I L rho / S."""
    there_and_back = 2 * Fraction(current_a) * Fraction(length_m)
    return there_and_back * Fraction(ohm_mm2_m) / Fraction(size_mm2)


def limit_share(figures: Figures, use: Use, supply: Supply, length_m: Number) -> Figure:
    """Return the most volt drop as a share of the nominal voltage.

    3 % lighting and 5 % other uses from a public supply, 6 and 8 % from a private one; beyond
    100 m the limit rises by 0.005 % for each metre, by 0.5 % at most.
    """
    name = f"drop_{use}_share" if supply == "public" else f"drop_private_{use}_share"
    base = figures.number(name)
    beyond = max(Fraction(0), Fraction(length_m) - figures.number("drop_long_from_m").value)
    more = min(beyond * figures.number("drop_long_share_per_m").value,
               figures.number("drop_long_most_share").value)
    return Figure(base.value + more, base.unit, base.source, base.decides)


def nominal_v(figures: Figures, phases: int) -> Fraction:
    """Return the nominal voltage [V]: line to neutral for one phase, between lines for three."""
    return figures.number("network_volts" if phases == 1 else "network_volts_three").value


def limit_v(
    figures: Figures, use: Use, supply: Supply, length_m: Number, phases: int = 1
) -> Figure:
    """Return the most volt drop [V] of a circuit."""
    share = limit_share(figures, use, supply, length_m)
    return Figure(share.value * nominal_v(figures, phases), "V", share.source, share.decides)


def aim_v(figures: Figures, phases: int = 1) -> Figure:
    """Return the design aim [V] for the rise along a converter's circuit: 1 %."""
    share = figures.number("voltage_rise_share")
    return Figure(share.value * nominal_v(figures, phases), "V", share.source, share.decides)
