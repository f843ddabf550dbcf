"""The protective conductor inside flat twin and earth, and the resistance of the earth path."""

from __future__ import annotations

from fractions import Fraction

from estimator.design.electrical.figures import Figures
from estimator.design.limits import Number


def cpc_mm2(figures: Figures, size_mm2: Number) -> Fraction:
    """Return the size [mm²] of the protective conductor of a flat cable.

    Raises:
        OutsideTableError: for a size that is not in the table.
    """
    return figures.cell("cable_flat_cpc", size_mm2, "cpc_mm2").value


def earth_path_ohm(figures: Figures, size_mm2: Number, length_m: Number) -> Fraction:
    """Return R1 + R2 [ohm] of a length of flat cable at 20 degrees; the designer adds the rest.

    Raises:
        OutsideTableError: for a size that is not in the table.
    """
    per_m = figures.cell("cable_flat_cpc", size_mm2, "r1_r2_mohm_m").value
    return per_m * Fraction(length_m) / 1000
