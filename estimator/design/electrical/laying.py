"""From the surveyor's words for a leg to its cable and reference method.

The methods are those of BS 7671, Table 4A2 (from memory). Where the survey leaves room, the
harder case is taken: the designer who has seen the route may do better.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from estimator.design.electrical.circuit import Leg
from estimator.design.limits import Number
from estimator.survey.words import LegMethod

SURROUNDED_MM = 500  # the length from which the factor for insulation falls no further
HIDDEN = ("loft", "under floor")
ARMOURED = ("armoured outside", "buried soft", "buried hard")
# Of the usual ways in a house, the one that warms the cable and costs the hours most; how a route
# is taken of which no leg is listed.
WORST_USUAL: LegMethod = "under floor"
_ONE_PHASE: dict[LegMethod, tuple[str, str]] = {
    "clipped": ("flat twin and earth", "C"),
    "trunking": ("flat twin and earth", "B"),
    "conduit": ("flat twin and earth", "B"),
    "loft": ("flat twin and earth", "100"),
    "under floor": ("flat twin and earth", "100"),
    "armoured outside": ("armoured 70", "C"),
    "buried soft": ("armoured 70", "D"),
    "buried hard": ("armoured 70", "D"),
}
_THREE_PHASE: dict[LegMethod, tuple[str, str]] = {
    "clipped": ("sheathed three-phase", "C"),
    "trunking": ("sheathed three-phase", "B"),
    "conduit": ("sheathed three-phase", "B"),
    "loft": ("sheathed three-phase", "A"),
    "under floor": ("sheathed three-phase", "A"),
    "armoured outside": ("armoured 70 three-phase", "C"),
    "buried soft": ("armoured 70 three-phase", "D"),
    "buried hard": ("armoured 70 three-phase", "D"),
}


def surveyed_leg(
    name: str, length_m: Number, laid: LegMethod, *, phases: Literal[1, 3] = 1,
    insulation_contact: bool = False, air_c: Number = 30, circuits: int = 1,
) -> Leg:
    """Return the leg as laid; a hidden leg that touches insulation is taken as surrounded by it.

    Args:
        laid: the survey's word for how the leg is run.
        insulation_contact: the cable touches thermal insulation.
        air_c: air round the leg; a loft in summer is hotter than the base of 30 degrees.
        circuits: circuits grouped, this one among them.
    """
    cable, method = (_ONE_PHASE if phases == 1 else _THREE_PHASE)[laid]
    if insulation_contact and laid in HIDDEN:
        return Leg(name, length_m, cable, "C", air_c=air_c, circuits=circuits,
                   insulation_mm=SURROUNDED_MM)
    return Leg(name, length_m, cable, method, air_c=air_c, circuits=circuits)


def armoured_instead(leg: Leg, phases: Literal[1, 3]) -> Leg:
    """Return a leg in armoured cable: clipped, and as warm and surrounded as it was."""
    kind = (_ONE_PHASE if phases == 1 else _THREE_PHASE)["armoured outside"][0]
    return replace(leg, cable=kind, method="C")
