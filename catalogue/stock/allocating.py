"""Which place and which lot serve which need, and what is short.

Items are told apart first; then, for each item:

1. What is past its last day on the day of use is never taken.
2. A need in one piece (a run of cable, a cut of a bar) comes before the others, the longest first,
   ties by the need's id. It takes the shortest piece that holds need and trim, ties by the lot's
   id; what is left of the piece serves the next. Where no piece is told apart, it takes from a
   place that holds enough. Pieces are never joined.
3. Other needs come by their id. They take what is told apart, oldest first: the batch that expires
   first, then what came in first, ties by lot id and place; then what is not told apart, in the
   order of the places.
4. Of an item no more is taken than is free: what is kept for other jobs stays.

Common practice, no source; best fit, longest first, is the usual rule of thumb for cutting stock.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from typing import Literal

NOTHING = Decimal(0)
Why = Literal["none", "expired", "kept", "piece"]


@dataclass(frozen=True, slots=True)
class Lying:
    """So much of an item lies in a place, as one lot or not told apart (lot "").

    Attributes:
        kind: "length", "batch" or "serial"; "" if it is not told apart.
        expires_on: the last day on which it may be used.
    """

    item: str
    place: str
    quantity: Decimal
    lot: str = ""
    kind: str = ""
    received_at: datetime | None = None
    expires_on: date | None = None


@dataclass(frozen=True, slots=True)
class Need:
    """So much of an item is needed; a need in one piece is cut with `trim` to spare."""

    id: str
    item: str
    quantity: Decimal
    one_piece: bool = False
    trim: Decimal = NOTHING

    @property
    def taken(self) -> Decimal:
        """Return what is taken for it, trim included."""
        return self.quantity + self.trim


@dataclass(frozen=True, slots=True)
class Take:
    """So much of a spot serves a need; `left` stays there. For a length both are metre marks."""

    need: str
    item: str
    place: str
    lot: str
    quantity: Decimal
    left: Decimal
    expires_on: date | None = None


@dataclass(frozen=True, slots=True)
class Shortage:
    """What a need lacks, and why.

    Attributes:
        why: "none" = no more lies there; "expired" = what lies there is past its day; "kept" = it
            is kept for other jobs; "piece" = there is enough, but in no piece long enough.
        longest: of "piece", the longest there is.
    """

    need: str
    item: str
    wanted: Decimal
    lacking: Decimal
    why: Why
    longest: Decimal = NOTHING


@dataclass(frozen=True)
class Allocation:
    """What serves which need, by need; and what is short."""

    takes: tuple[Take, ...]
    short: tuple[Shortage, ...]


def allocate(
    needs: Iterable[Need], lying: Iterable[Lying], places: Sequence[str], on: date,
    free: Mapping[str, Decimal] | None = None,
) -> Allocation:
    """Return which places and lots serve which needs; the order of needs and lots plays no part.

    Args:
        needs: each with an id of its own.
        lying: what lies where; what lies in other than `places` is not taken.
        places: where may be taken from, first choice first.
        on: the day of use.
        free: item -> the most that may be taken of it; an item that is not in it is all free.
    """
    by_item: dict[str, list[Need]] = {}
    for need in needs:
        by_item.setdefault(need.item, []).append(need)
    there: dict[str, list[Lying]] = {}
    for each in lying:
        if each.place in places and each.quantity > 0:
            there.setdefault(each.item, []).append(each)
    takes: list[Take] = []
    short: list[Shortage] = []
    for item in sorted(by_item):
        shelf = _Shelf(there.get(item, []), places, on, (free or {}).get(item))
        for need in sorted(by_item[item], key=_turn):
            shelf.serve(need)
        takes += shelf.takes
        short += shelf.short
    return Allocation(tuple(sorted(takes, key=lambda take: take.need)),
                      tuple(sorted(short, key=lambda each: each.need)))


def _turn(need: Need) -> tuple[bool, Decimal, str]:
    return not need.one_piece, -need.taken if need.one_piece else NOTHING, need.id


@dataclass
class _Shelf:
    """All that lies of one item, while needs are served from it one after the other."""

    lying: list[Lying]
    places: Sequence[str]
    on: date
    free: Decimal | None
    takes: list[Take] = field(default_factory=list)
    short: list[Shortage] = field(default_factory=list)

    def __post_init__(self) -> None:
        usable = [each for each in self.lying if not self._expired(each)]
        self.usable = sorted(usable, key=self._age)
        self.left = {(each.place, each.lot): each.quantity for each in self.usable}
        if self.free is None:
            self.free = sum(self.left.values(), NOTHING)

    def _expired(self, each: Lying) -> bool:
        return each.expires_on is not None and each.expires_on < self.on

    def _age(self, each: Lying) -> tuple[object, ...]:
        came = each.received_at.timestamp() if each.received_at is not None else 0.0
        return (each.lot == "", each.expires_on or date.max, came, each.lot,
                self.places.index(each.place))

    def serve(self, need: Need) -> None:
        if need.one_piece:
            self._in_one_piece(need)
        else:
            self._piece_by_piece(need)

    def _in_one_piece(self, need: Need) -> None:
        assert self.free is not None
        fits = [each for each in self.usable
                if need.taken <= self._left(each) and need.taken <= self.free]
        if not fits:
            self._lacks(need, need.taken)
            return
        self._take(need, min(fits, key=lambda each: (
            each.lot == "", self._left(each) if each.lot else NOTHING, each.lot,
            self.places.index(each.place))), need.taken)

    def _piece_by_piece(self, need: Need) -> None:
        assert self.free is not None
        wanted = need.taken
        for each in self.usable:
            quantity = min(wanted, self._left(each), self.free)
            if quantity > 0:
                self._take(need, each, quantity)
                wanted -= quantity
        if wanted > 0:
            self._lacks(need, wanted)

    def _left(self, each: Lying) -> Decimal:
        return self.left[each.place, each.lot]

    def _take(self, need: Need, each: Lying, quantity: Decimal) -> None:
        assert self.free is not None
        self.free -= quantity
        self.left[each.place, each.lot] -= quantity
        self.takes.append(Take(need.id, need.item, each.place, each.lot, quantity,
                               self._left(each), each.expires_on))

    def _lacks(self, need: Need, lacking: Decimal) -> None:
        assert self.free is not None
        there = sum(self.left.values(), NOTHING)
        longest = max(self.left.values(), default=NOTHING)
        why: Why = "none"
        if self.free < lacking <= there:
            why = "kept"
        elif need.one_piece and lacking <= there:
            why = "piece"
        elif any(self._expired(each) for each in self.lying):
            why = "expired"
        self.short.append(Shortage(need.id, need.item, need.taken, lacking, why,
                                   longest if why == "piece" else NOTHING))
