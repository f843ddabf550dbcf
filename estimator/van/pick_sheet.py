"""The rows of a pick sheet: what is short or blocked first, the rest in the order of the walk.

Data flow: what the lines of an accepted bill need + what lies where -> allocated -> rows.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import ROUND_CEILING, Decimal
from typing import NamedTuple

from catalogue.stock.allocating import Allocation, Lying, Need, Shortage, Take, allocate
from estimator.van.sheet_model import PickRow

NOTHING = Decimal(0)
_TENTH, _THOUSANDTH, _ONE = Decimal("0.1"), Decimal("0.001"), Decimal(1)
END = "end"  # the kind of a row that is one end of a stick
MM_PER_M = 1000
_LAST = "~"  # goods without a bin lie where they were brought: last


class Piece(NamedTuple):
    """A length that may not be joined, cut with trim to spare, and what it is for."""

    length: Decimal
    trim: Decimal = NOTHING
    label: str = ""

    @property
    def whole(self) -> Decimal:
        """Return what is cut off the drum or bar."""
        return self.length + self.trim


class EndToTake(NamedTuple):
    """An end of a stick that is cut for the job; `bar`: its number in the cuts.

    `place` is "" while it is an offcut that another job has still to bring back.
    """

    lot: str
    place: str
    length_mm: int
    bar: int


@dataclass(frozen=True, slots=True)
class PickNeed:
    """What one line of the bill asks to be picked.

    Attributes:
        quantity: to be picked, in the item's unit.
        pieces: of what is cut from drums or bars, each piece; else ().
        saw: where the saw marks of its bars stand, in words.
        instead: items that may be picked in its place.
        ends: ends of sticks that are picked beside the quantity.
    """

    line: int
    item: str
    name: str
    unit: str
    bin: str
    pack: Decimal
    quantity: Decimal
    pieces: tuple[Piece, ...] = ()
    serialised: bool = False
    saw: str = ""
    instead: tuple[str, ...] = ()
    ends: tuple[EndToTake, ...] = ()


@dataclass(frozen=True)
class Shelves:
    """What lies where, where may be taken from, and what is free.

    Attributes:
        places: first choice first.
        free: item -> the most that this job may take; see `catalogue.stock.allocating`.
    """

    lying: Sequence[Lying]
    places: Sequence[str]
    on: date
    free: Mapping[str, Decimal] = field(default_factory=dict)


def to_pick(quantity: Decimal, unit: str, *, counted: bool) -> Decimal:
    """Return a quantity as it can be picked, rounded up: whole things, tenths of a metre."""
    step = _ONE if counted else _TENTH if unit == "m" else _THOUSANDTH
    return (quantity / step).to_integral_value(ROUND_CEILING) * step


def pick_rows(needs: Iterable[PickNeed], shelves: Shelves) -> tuple[PickRow, ...]:
    """Return the rows of the sheet: what is short first, then by bin and item."""
    wanted = {need.line: need for need in needs if need.quantity > 0 or need.ends}
    found = allocate(_needs(wanted.values()), shelves.lying, shelves.places, shelves.on,
                     shelves.free)
    rows: list[PickRow] = []
    for line, need in wanted.items():
        rows += _of_line(need, _mine(found, line), {
            (each.item, each.lot): each.kind for each in shelves.lying})
    return tuple(sorted(rows, key=_walk))


def _needs(wanted: Iterable[PickNeed]) -> list[Need]:
    needs: list[Need] = []
    for need in wanted:
        if need.pieces:
            needs += [Need(f"{need.line:05}.{n:03}", need.item, piece.length, True, piece.trim)
                      for n, piece in enumerate(need.pieces, 1)]
        elif need.quantity > 0:
            needs.append(Need(f"{need.line:05}.", need.item, need.quantity))
    return needs


def _mine(found: Allocation, line: int) -> Allocation:
    of_line = f"{line:05}."
    return Allocation(tuple(take for take in found.takes if take.need.startswith(of_line)),
                      tuple(each for each in found.short if each.need.startswith(of_line)))


def _of_line(
    need: PickNeed, found: Allocation, kinds: Mapping[tuple[str, str], str]
) -> list[PickRow]:
    rows: list[PickRow] = []
    for part, group in enumerate(_together(found.takes, kinds), 1):
        first = group[0]
        kind = kinds.get((first.item, first.lot), "")
        quantity = sum((take.quantity for take in group), NOTHING)
        rows.append(_row(
            need, f"{need.line}.{part}", quantity, place=first.place, kind=kind,
            lot="" if kind == "serial" else first.lot, use_by=first.expires_on,
            left=first.left if kind == "length" else None, run=_run(need, first.need),
            lots=tuple(take.lot for take in group) if kind == "serial" else (),
            serials=int(quantity) if need.serialised else 0))
    for end in need.ends:
        part = len(rows) + 1
        comes = {} if end.place else {"short": f"comes back: {end.lot}"}
        rows.append(_row(need, f"{need.line}.{part}", _ONE, place=end.place,
                         lot=end.lot if end.place else "", kind=END,
                         run=f"end of {(Decimal(end.length_mm) / MM_PER_M).normalize():f} m, "
                         f"bar {end.bar}: see Cuts", saw="", instead=(), **comes))
    for each in found.short:
        part = len(rows) + 1
        rows.append(_row(need, f"{need.line}.{part}", each.lacking, run=_run(need, each.need),
                         short=_why(each, need.unit)))
    return rows


def _run(need: PickNeed, of: str) -> str:
    """Return what the piece of a need is for."""
    number = of.partition(".")[2]
    return need.pieces[int(number) - 1].label if number else ""


def _together(
    takes: Sequence[Take], kinds: Mapping[tuple[str, str], str]
) -> list[list[Take]]:
    """Return the takes that share a row: things with serial numbers, by place."""
    groups: dict[tuple[str, ...], list[Take]] = {}
    for n, take in enumerate(takes):
        serial = kinds.get((take.item, take.lot)) == "serial"
        groups.setdefault((take.place,) if serial else (take.place, take.lot, str(n)), []).append(
            take)
    return list(groups.values())


def _row(need: PickNeed, key: str, pick: Decimal, **more: object) -> PickRow:
    return PickRow.model_validate({
        "key": key, "line": need.line, "bin": need.bin, "item": need.item, "name": need.name,
        "unit": need.unit, "pick": pick, "pack": need.pack, "saw": need.saw,
        "instead": need.instead, **more})


def _why(each: Shortage, unit: str) -> str:
    if each.why == "piece":
        return f"no piece is long enough; the longest is {each.longest.normalize():f} {unit}"
    return {"none": "no more lies there", "kept": "what lies there is kept for other jobs",
            "expired": "what lies there is past its day"}[each.why]


def _walk(row: PickRow) -> tuple[object, ...]:
    return not row.short, walk_key(row.bin), row.item, row.line, row.key


def walk_key(of_bin: str) -> tuple[tuple[int, str], ...]:
    """Return what bins are sorted by, so that B-9 comes before B-10, and no bin last."""
    return tuple((int(part), "") if part.isdecimal() else (-1, part)
                 for part in re.split(r"(\d+)", of_bin or _LAST) if part)


def in_packs(quantity: Decimal, pack: Decimal) -> str:
    """Return a quantity as whole packs and loose ones: "1 x 100 + 64 loose"."""
    if pack <= 1:
        return ""
    packs, loose = divmod(quantity, pack)
    parts = [f"{packs:f} x {pack.normalize():f}"] if packs else []
    parts += [f"{loose.normalize():f} loose"] if loose else []
    return " + ".join(parts)
