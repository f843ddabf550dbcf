"""What all parts of a survey stand on: the frozen group, bounds, what stands in the way."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

Length = Annotated[Decimal, Field(ge=0, le=1000)]
Count = Annotated[int, Field(ge=0, le=10_000)]
Number = Annotated[Decimal, Field(ge=0, le=1_000_000)]


class Group(BaseModel):
    """A part of the house: frozen, and nothing that is not a known fact is accepted."""

    # Built with the survey that holds it, not on its own: that halves the time of loading.
    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)


class Obstruction(Group):
    """A thing on a roof plane or a wall, by its lower left corner from the lower left of that.

    On a wall the lower left is the left end at the floor.
    """

    name: str
    x_m: Length
    y_m: Length
    width_m: Length
    height_m: Length
