"""The structural rules of the British pack on a fixed day, and short ways to ask them."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from estimator.design.structure.anchor_choice import Hole, PricedFixing
from estimator.design.structure.anchors import anchor_rule
from estimator.design.structure.bracket import FixingDuty
from estimator.design.structure.proof_test import proof_rule
from estimator.design.structure.roof_load import roof_rule
from estimator.design.structure.wind import wind_rule
from estimator.practice.pack import country_folder, read_practice
from tests.factories import ItemFactory, spec_of

ON = date(2026, 11, 2)
PRACTICE = read_practice([country_folder("gb")])
ANCHORS = anchor_rule(PRACTICE, ON)
PROOF = proof_rule(PRACTICE, ON)
ROOF = roof_rule(PRACTICE, ON)
WIND = wind_rule(PRACTICE, ON)
# EN 1991-1-4, 4.5, recommends 1.25 kg/m3 where no country says otherwise.
WIND_PLAIN_EN = WIND._replace(air_density_kg_m3=1.25)
G = Decimal("9.81")


def duty(pull_n: Any = 100, shear_n: Any = 150) -> FixingDuty:
    """Return the duty of a hung unit's fixing."""
    return FixingDuty(
        "wall fixing", True, Fraction(pull_n), Fraction(shear_n), "hung", "fixing maker")


def hole(wall: str = "dense brick", **changes: Any) -> Hole:
    """Return a hole indoors behind 3 mm of steel, without plaster."""
    return Hole(**{"wall": wall, "fixture_mm": 3, "plaster_mm": 0, "outdoor": False, **changes})


def priced(code: str, price: int, role: str = "wall fixing", **spec: Any) -> PricedFixing:
    """Return a fixing for dense brick at a price; figures invented."""
    sheet = spec_of("fixing", **{
        "walls": ("dense brick",), "length_mm": 75, "depth_mm": 60, "pull_n": 900,
        "shear_n": 1000, "load_rated": True, **spec})
    return PricedFixing(
        ItemFactory(code=code, family="fixing", roles=(role,), spec=sheet), Fraction(price))
