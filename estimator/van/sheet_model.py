"""What a sheet for the van says: the one record from which it is written, kept and read back.

Quantities are exact, in the unit of the item. Every row that is written on has a key of its own.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Literal

from pydantic import BaseModel, ConfigDict

LAYOUT = 1  # raised when the sheets change so that an older one can no longer be read


class Frozen(BaseModel):
    """A part of a sheet."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)


class PickRow(Frozen):
    """A line of the bill, or a part of it, taken from one place.

    Attributes:
        key: line and part, such as "12.1".
        pick: how much is to be picked; of a row that is short, how much is lacking.
        place: "" if it is short.
        kind: how the lot is told apart: "", "length", "batch", "serial", or "end" for one end of
            a stick.
        left: of a length, what stays on the drum: the metre mark at which it is cut.
        saw: where the saw marks of a bar stand; run: what a piece of cable is for.
        lots: the serial numbers that are expected.
        serials: how many serial numbers are asked for.
        instead: items that may be picked in its place.
        short: why it is short, in words.
    """

    key: str
    line: int
    bin: str
    item: str
    name: str
    unit: str
    pick: Decimal
    pack: Decimal
    place: str = ""
    lot: str = ""
    kind: str = ""
    left: Decimal | None = None
    saw: str = ""
    run: str = ""
    use_by: date | None = None
    lots: tuple[str, ...] = ()
    serials: int = 0
    instead: tuple[str, ...] = ()
    short: str = ""


class BoxRow(Frozen):
    """A part that lies in the boxes of an item that is picked."""

    key: str
    line: int
    box: str
    boxes: Decimal
    item: str
    name: str
    each: int
    used: int

    @property
    def expected(self) -> Decimal:
        """Return how many lie in all the boxes."""
        return self.boxes * self.each


class SignRow(Frozen):
    """What somebody must put a name to before work starts."""

    decides: str
    says: str
    limit: str


class LoadRow(Frozen):
    """Goods in the van, in the order in which they go in."""

    job: str
    item: str
    name: str
    count: Decimal
    unit: str
    each_kg: Decimal | None
    longest_mm: int | None
    where: str
    lift: str


class Shared(Frozen):
    """Whether two jobs share the van, and what each takes of it."""

    measure: str
    holds: str
    takes: tuple[str, ...]
    enough: bool


class VanLoad(Frozen):
    """The van with all that is in it.

    Attributes:
        unknown: how many goods have no mass in the catalogue.
        shared: with another job, one row for each measure; else only this job's.
        fits: whether all measures hold.
    """

    van: str
    jobs: tuple[str, ...]
    mass_kg: Decimal
    unknown: int
    payload_kg: Decimal
    longest_mm: int
    longest: str
    shared: tuple[Shared, ...]
    fits: bool
    loads: tuple[LoadRow, ...]


class SawRow(Frozen):
    """A cut of a bar: the piece, and where the saw ends it from the square end."""

    bar: str
    item: str
    piece: str
    length_mm: int
    mark_mm: int
    rest: str


class LeftPiece(Frozen):
    """A piece that another job cuts from what is left of a bar."""

    job: str
    label: str
    length_mm: int


class Leaves(Frozen):
    """What is left of a bar, by its number, and kept for another job, or for several."""

    bar: int
    item: str
    length_mm: int
    job: str
    pieces: tuple[LeftPiece, ...]


class Lift(Frozen):
    """Something heavy, and who lifts one of it."""

    what: str
    each_kg: Decimal | None
    who: str


class PickSheet(Frozen):
    """What is picked for an accepted revision. `van` is whose standing stock may be taken.

    `leaves` is what is kept of its bars for other jobs.
    """

    kind: Literal["pick"] = "pick"
    layout: int = LAYOUT
    job: str
    title: str
    address: str
    revision: int
    on: date
    van: str
    rows: tuple[PickRow, ...]
    boxes: tuple[BoxRow, ...]
    sign: tuple[SignRow, ...]
    load: VanLoad
    saw: tuple[SawRow, ...]
    lifts: tuple[Lift, ...]
    aids: tuple[str, ...]
    places: tuple[str, ...]
    leaves: tuple[Leaves, ...] = ()


class BackRow(Frozen):
    """What was picked of an item, as one lot, and may come back.

    Attributes:
        kind: as of a pick row.
        stick_mm: length of each of what is counted in sticks, or of the end; ends of it may come
            back.
    """

    key: str
    line: int
    bin: str
    item: str
    name: str
    unit: str
    out: Decimal
    lot: str = ""
    kind: str = ""
    stick_mm: int | None = None


class BackSheet(Frozen):
    """What lies at the site of a job, to be counted when the work is done.

    `leaves` is what is to come back for other jobs.
    """

    kind: Literal["back"] = "back"
    layout: int = LAYOUT
    job: str
    title: str
    address: str
    revision: int
    on: date
    rows: tuple[BackRow, ...]
    places: tuple[str, ...]
    leaves: tuple[Leaves, ...] = ()


Sheet = PickSheet | BackSheet
