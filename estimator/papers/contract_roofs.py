"""The roof planes of the JSON contract: where each panel, rail and fixing goes.

All lengths are whole millimetres on the plane itself, not on plan. The origin is the lower left
corner of the plane as one stands before it: x runs to the right along the eaves, y up the slope.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from estimator.papers.contract_parts import Part
from estimator.papers.contract_walls import Millimetres, ObstacleJson, RectJson
from estimator.papers.exact_json import Exact

ORIGIN = "lower left of the plane, facing it: x to the right along the eaves, y up the slope, in mm"


class PanelJson(RectJson):
    """One panel. `string` counts over the job from 1, `place` along the string; 0 = not known."""

    string: Annotated[int, Field(ge=0)]
    place: Annotated[int, Field(ge=0)]


class RailLineJson(Part):
    """One line of rail from its left end; `fixings_mm` are distances from that end.

    They lie on rafters drawn evenly about the middle of the line: the real ones are found on the
    roof. The height is a quarter of a panel from its edge: the panel maker's clamp zone decides.
    """

    x_mm: Millimetres
    y_mm: Millimetres
    length_mm: Millimetres
    fixings_mm: tuple[int, ...]


class PlaneJson(Part):
    """One plane as laid out. `width_mm` and `height_mm` are null where nobody has measured it.

    `edge_mm` is the clear edge. `fixings` is how many are counted and priced; the lines may show
    fewer where more than one goes on a rafter. A plane without rails has no lines.
    """

    plane: Annotated[int, Field(ge=0, description="number within the survey, from 0")]
    name: str
    kind: Literal["pitched", "in-roof", "flat", "ground", ""]
    covering: str
    pitch_deg: Exact | None
    azimuth_deg: Exact | None
    origin: str
    width_mm: int | None
    height_mm: int | None
    edge_mm: Millimetres
    portrait: bool
    obstacles: tuple[ObstacleJson, ...]
    panels: tuple[PanelJson, ...]
    lines: tuple[RailLineJson, ...]
    rafter_spacing_mm: int | None
    rafters_assumed: bool
    fixings: Annotated[int, Field(ge=0)]
    step_mm: Annotated[int, Field(ge=0, description="most distance between two fixings")]
