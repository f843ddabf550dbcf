"""From the surveyor's words to the reference method; all of them, and the harder case if unsure."""

from __future__ import annotations

from fractions import Fraction as F
from typing import get_args

import pytest

from estimator.design.electrical.capacity import tabulated_a
from estimator.design.electrical.choose_cable import design_circuit
from estimator.design.electrical.circuit import Circuit, leg_factors
from estimator.design.electrical.laying import surveyed_leg
from estimator.survey.words import LegMethod
from tests.design.electrical.packs import GB


@pytest.mark.parametrize("phases", [1, 3])
@pytest.mark.parametrize("laid", get_args(LegMethod))
def test_every_word_of_the_survey_leads_to_a_table(laid: str, phases: int) -> None:
    leg = surveyed_leg("leg", 5, laid, phases=phases)  # type: ignore[arg-type]
    circuit = Circuit("circuit", 16, (leg,), 20, phases=phases)  # type: ignore[arg-type]
    assert design_circuit(GB, circuit).level == "fine"


@pytest.mark.parametrize(
    ("laid", "touches", "carries"),
    [
        # BS 7671, Table 4D5, 4 mm²: clipped 37, enclosed 30, above a ceiling with insulation 27;
        # surrounded by it 37 x 0.50 (Table 52.2). Armoured 38 on a wall, 37 in the ground.
        ("clipped", False, "37"), ("trunking", False, "30"), ("conduit", False, "30"),
        ("loft", False, "27"), ("loft", True, "18.5"), ("under floor", True, "18.5"),
        ("clipped", True, "37"), ("armoured outside", False, "38"), ("buried hard", False, "37"),
    ],
)
def test_a_leg_carries_what_the_table_gives_its_way_of_laying(
    laid: str, touches: bool, carries: str
) -> None:
    leg = surveyed_leg("leg", 5, laid, insulation_contact=touches)  # type: ignore[arg-type]
    circuit = Circuit("circuit", 16, (leg,), 20)
    amps = tabulated_a(GB, leg.cable, leg.method, 4).value * leg_factors(GB, circuit, 20, leg).value
    assert amps == F(carries)
