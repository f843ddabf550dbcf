"""The cuts of the JSON contract: which bar is cut where, and how lines are joined of the pieces.

Lengths are whole millimetres. On a bar the saw marks run from its square end.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from estimator.papers.contract_parts import Part

Millimetres = Annotated[int, Field(description="mm")]


class CutPieceJson(Part):
    """One piece: where it goes, and where the saw ends it, from the square end of the bar."""

    label: str
    length_mm: Millimetres
    ends_at_mm: Millimetres


class CutBarJson(Part):
    """One bar: `offcut_mm` is left behind the last saw cut, and goes to the store if `kept`."""

    number: Annotated[int, Field(ge=1)]
    code: str
    name: str
    length_mm: Millimetres
    pieces: tuple[CutPieceJson, ...]
    offcut_mm: Millimetres
    kept: bool


class JoinedLineJson(Part):
    """A line, its pieces in the order in which they are joined."""

    label: str
    pieces_mm: tuple[int, ...]


class CutJson(Part):
    """A cut over the whole job.

    `cost` is that of bars and joiners, `bound` what no lawful way whatever costs less than, both in
    minor units; the difference is what a better cut could save at the very most. What shelf stock
    is charged stands with its line of the bill. `kind` is "rail" or "run": runs of trunking and
    conduit are joined anywhere. `joints_clear` is false where a joint of a rail may lie in an
    overhang: then the maker or an engineer decides.
    """

    subject: str
    kind: Literal["rail", "run"]
    kerf_mm: Millimetres
    bars: tuple[CutBarJson, ...]
    lines: tuple[JoinedLineJson, ...]
    joiners: int
    scrap_mm: Millimetres
    kept_mm: Millimetres
    cost: Annotated[int, Field(description="minor units")]
    bound: Annotated[int, Field(description="minor units, rounded down")]
    method: str
    joints_clear: bool
