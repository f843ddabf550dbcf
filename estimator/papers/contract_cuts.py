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
    """One bar: `offcut_mm` is left behind the last saw cut, and goes to the store if `kept`.

    `on_hand`: the mark of a piece that lies in the store already; "" for a new bar. A quote cuts
    from new bars alone.
    """

    number: Annotated[int, Field(ge=1)]
    code: str
    name: str
    length_mm: Millimetres
    pieces: tuple[CutPieceJson, ...]
    offcut_mm: Millimetres
    kept: bool
    on_hand: str = ""


class JoinedLineJson(Part):
    """A line, its pieces in the order in which they are joined."""

    label: str
    pieces_mm: tuple[int, ...]


class CableRunJson(Part):
    """One run of cable: `rule` and plane or leg it is for, `number` of `of` alike.

    The marks are metres of a fresh drum or cut length from its free end; both are null for a run
    that is longer than every length on offer, which is cut from none.
    """

    label: str
    rule: str
    on: str
    number: Annotated[int, Field(ge=1)]
    of: Annotated[int, Field(ge=1)]
    length_mm: Millimetres
    from_mm: Millimetres | None
    to_mm: Millimetres | None


class DrumJson(Part):
    """One bought length with the runs that are cut from it; drums are numbered over the job.

    `cut_to_measure`: the supplier measures it off, by the metre, or for `cut_charge` (minor units,
    null where none is charged). `rest_mm` is what is left on it. `on_hand`: the mark of a length
    that lies in the store already; "" for a new one.
    """

    number: Annotated[int, Field(ge=1)]
    supplier: str
    supplier_code: str
    length_mm: Millimetres
    cut_to_measure: bool
    cut_charge: int | None
    runs: tuple[CableRunJson, ...]
    rest_mm: Millimetres
    on_hand: str = ""


class CableJson(Part):
    """The runs of an item that is never joined, and the lengths they are cut from.

    Of an item that is kept on the shelf the drums stand for those of the store, which may hold
    other lengths. `too_long`: runs that no length on offer serves, and the longest there is.
    """

    line: Annotated[int, Field(ge=1)]
    item: str
    name: str
    held: Literal["job", "stock"]
    option: bool
    drums: tuple[DrumJson, ...]
    too_long: tuple[CableRunJson, ...]
    longest_mm: Millimetres | None


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
