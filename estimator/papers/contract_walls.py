"""The walls of the JSON contract: where each unit goes, for marking out.

All lengths are whole millimetres. The origin is the lower left corner of the wall as one stands
before it: x runs to the right from its left end, y up from the finished floor or ground.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from estimator.papers.contract_parts import Part

Millimetres = Annotated[int, Field(description="mm")]
ORIGIN = "lower left of the wall, facing it: x to the right, y up from the floor or ground, in mm"


class RectJson(Part):
    """A rectangle on the wall by its lower left corner and size."""

    x_mm: Millimetres
    y_mm: Millimetres
    width_mm: Millimetres
    height_mm: Millimetres


class ObstacleJson(RectJson):
    """A thing that is on the wall already and that nothing may cover."""

    name: str


class ClearanceJson(Part):
    """Clear space that a unit asks for, each number with where it comes from."""

    kind: Literal["module", "converter"]
    side_mm: Millimetres
    side_source: str
    top_mm: Millimetres
    top_source: str
    floor_mm: Millimetres
    floor_source: str
    between_mm: Annotated[int, Field(description="mm between two of them side by side")]
    between_source: str


class PlacedJson(RectJson):
    """One unit on the wall by its face.

    `clear` is the face with the clear space left, right and above. `bracket` is what it hangs on
    or is held by. `holes` are spread evenly over the bracket, [x, y] each: the maker's template
    decides before anything is drilled. `bracket_known` is false where the bracket's size is not
    in the catalogue. `stack` counts from the left and `level` from below, from 1; 0 for a
    converter.
    """

    name: str
    kind: Literal["module", "converter"]
    stack: int
    level: int
    clear: RectJson
    bracket: RectJson | None
    bracket_known: bool
    holes: tuple[tuple[int, int], ...]


class WallJson(Part):
    """One wall with everything on it; `subject` is what it was measured for."""

    subject: Literal["storage", "converter"]
    origin: str
    width_mm: Millimetres
    height_mm: Millimetres
    obstacles: tuple[ObstacleJson, ...]
    placed: tuple[PlacedJson, ...]
    clearances: tuple[ClearanceJson, ...]
    standing: Annotated[bool, Field(description="whether the modules stand on the floor")]
    base_mm: Annotated[int, Field(description="mm of base, stand and slab under each stack")]
    searched: str
