"""Whether the current and volt drop that a catalogue states for a cable agree with the tables.

Printed and seller's figures disagree widely (one cable is given 32, 55 and 57 A), so a catalogue
keeps the source beside the figure and the figure is compared.
"""

from __future__ import annotations

from fractions import Fraction

from catalogue.specs import CableSpec
from estimator.design.check import Check
from estimator.design.electrical.capacity import CABLES
from estimator.design.electrical.comparing import at_most
from estimator.design.electrical.figures import Figures, OutsideTableError
from estimator.design.limits import Figure


def rating_check(figures: Figures, cable: str, method: str, spec: CableSpec) -> Check | None:
    """Return whether a stated current is within the tabulated one; None if none is stated.

    Args:
        cable: a name of `capacity.CABLES`, or "pv d.c.".
        method: reference method, or the way of laying of panel cable.

    Raises:
        OutsideTableError: if the table has no such size or method.
    """
    if spec.clipped_a is None:
        return None
    table = "dc_cable_a" if cable == "pv d.c." else CABLES[cable].current
    tabulated = figures.cell(table, spec.size_mm2, method)
    return at_most(
        "catalogue-rating", f"{cable} {spec.size_mm2} mm²",
        f"current in the catalogue ({spec.capacity_source or 'no source given'})",
        Fraction(spec.clipped_a), tabulated)


def matching_tables(figures: Figures, size_mm2: Fraction, amps: Fraction) -> tuple[str, ...]:
    """Return every table and method that gives a size this very current; none is suspicious."""
    found = []
    for cable in CABLES.values():
        for method in ("A", "B", "C", "D", "E", "100", "101", "102", "103"):
            try:
                cell: Figure = figures.cell(cable.current, size_mm2, method)
            except OutsideTableError:
                continue
            if cell.value == amps:
                found.append(f"{cable.name}, method {method}")
    return tuple(found)
