"""One plane with panels on it, as the checks of its structure see it, and the rules they use."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple, cast

from catalogue.items import Item
from catalogue.problems import ProblemsFound
from catalogue.specs import MountingSpec, PanelSpec
from estimator.design.case import Case
from estimator.design.check import Check, Unanswered
from estimator.design.limits import Figure, limit_of
from estimator.design.rails import area_m2
from estimator.design.roof import Layout
from estimator.design.sheet import Environment, Unknown
from estimator.design.structure.roof_load import RoofRule, roof_rule
from estimator.design.structure.wind import WindRule, wind_rule
from estimator.practice.tables import PracticeTable


class RoofRules(NamedTuple):
    """What is in force on the day of the design.

    Attributes:
        own_load: load of a roof by its covering.
        mounting: mass of rails and fixings on each square metre.
        rafters_most: the widest usual spacing of rafters, for those that nobody has measured.
    """

    roof: RoofRule
    wind: WindRule
    own_load: PracticeTable
    mounting: Figure
    rafters_most: Figure


class RoofPlane(NamedTuple):
    """A plane whose panels are laid out.

    Attributes:
        at: number of the plane in the survey, from 0.
        env: facts of the plane and of the job.
        fixing: roof fixing chosen for the covering, or None where none is chosen.
        weakest_kn: what the weakest roof fixing on offer holds, or None.
    """

    at: int
    name: str
    env: Environment
    layout: Layout
    panel: Item
    rail: Item | None
    fixing: Item | None
    weakest_kn: Fraction | None
    rules: RoofRules

    @property
    def area_m2(self) -> Fraction:
        """Return the area of the panels."""
        return area_m2(self.layout)

    @property
    def panel_kg_m2(self) -> Fraction | None:
        """Return the mass of the panels on each square metre; None if their sheet lacks it."""
        spec = cast(PanelSpec, self.panel.spec)
        if self.panel.mass_kg is None:
            return None
        return Fraction(self.panel.mass_kg) * 1_000_000 / (
            Fraction(spec.width_mm) * Fraction(spec.height_mm))

    def full(self, *paths: str) -> tuple[str, ...]:
        """Return paths as they stand on the sheet: plane.covering -> plane[0].covering."""
        return full_paths(self.at, *paths)

    def open_among(self, *paths: str) -> tuple[str, ...]:
        """Return those of some facts that nobody knows, assumed ones too, as on the sheet."""
        assumed = self.env.get("@assumed", ())
        found: dict[str, None] = {}
        for path in paths:
            value = self.env[path]
            if isinstance(value, Unknown):
                found.update(dict.fromkeys(self.full(*sorted(value.facts))))
            elif path in assumed:
                found.update(dict.fromkeys(self.full(path)))
        return tuple(found)


def full_paths(at: int, *paths: str) -> tuple[str, ...]:
    """Return paths as they stand on the sheet for the plane of a number."""
    return tuple(
        f"plane[{at}]{path.removeprefix('plane')}" if path.startswith("plane.") else path
        for path in paths
    )


def rules_of(case: Case) -> RoofRules | None:
    """Return the rules in force, or None if the country's pack has none for roofs and wind."""
    try:
        return RoofRules(
            roof_rule(case.practice, case.on), wind_rule(case.practice, case.on),
            case.practice.table("roof_own_load", case.on),
            limit_of(case.practice, "mounting_mass_kg_m2", case.on),
            limit_of(case.practice, "rafter_spacing_most_m", case.on))
    except ProblemsFound as found:
        if any(problem.code != "P020" for problem in found.problems):
            raise
        return None


def resistance_kn(fixing: Item | None) -> Fraction | None:
    """Return what a roof fixing holds by its data sheet, or None."""
    held = None if fixing is None else cast(MountingSpec, fixing.spec).resistance_kn
    return None if held is None else Fraction(held)


def weakest_kn(case: Case) -> Fraction | None:
    """Return what the weakest roof fixing on offer holds, or None if no sheet says."""
    held = [
        resistance for item in case.prices.with_role("mounting", "roof fixing")
        if case.prices.offer(item.code) is not None
        and (resistance := resistance_kn(item)) is not None
    ]
    return min(held, default=None)


def told_of(
    check: Check, open_facts: tuple[str, ...], asks: str
) -> tuple[Check | Unanswered, ...]:
    """Return a check as it is told: one that rests on open facts never passes, nor stops by itself.

    It is shown as a caution, with what is not known taken at its worst, and the question says
    what it comes to if the worst turns out to be true.
    """
    if not open_facts:
        return (check,)
    taken = replace(check, level="caution",
                    says=f"{check.says} (what is not known is taken at its worst)")
    return taken, Unanswered(check.code, open_facts, asks, check)
