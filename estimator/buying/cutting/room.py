"""A task boiled down for the search: distinct lengths, kinds of bar, and what a pattern costs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from estimator.buying.cutting.model import MILLI, Task


class Kind(NamedTuple):
    """Bars that are all alike.

    Attributes:
        room: length and one saw cut, since the last piece of a full bar needs none.
        cost: of one, in thousandths of a minor unit.
        supply: how many there are; None = as many as are wanted.
        code: of the offer, or "" for pieces on hand.
    """

    room: int
    cost: int
    supply: int | None
    code: str


class Pattern(NamedTuple):
    """What one bar of a kind gives: how many pieces of each length, and its cost."""

    kind: int
    counts: tuple[int, ...]
    cost: int


@dataclass(frozen=True)
class Room:
    """The task in whole numbers.

    Attributes:
        widths: each distinct length with its saw cut, longest first.
        wanted: pieces of each.
        kinds: bars on offer, then pieces on hand; an offer that is no longer than another and
            dearer or as dear is left out.
        least: shortest offcut that is kept; None = none is worth anything.
        worth: thousandths of a minor unit for each millimetre of a kept offcut.
    """

    widths: tuple[int, ...]
    wanted: tuple[int, ...]
    kinds: tuple[Kind, ...]
    kerf: int
    least: int | None
    worth: int

    def cost(self, kind: int, used: int) -> int:
        """Return what a bar costs with so much of its room used (saw cuts counted)."""
        bar = self.kinds[kind]
        if self.least is None:
            return bar.cost
        offcut = bar.room - used - self.kerf
        return bar.cost - (self.worth * offcut if offcut >= max(self.least, 1) else 0)

    def used(self, counts: tuple[int, ...]) -> int:
        """Return the room that pieces take."""
        return sum(width * n for width, n in zip(self.widths, counts, strict=True))

    @property
    def supplies(self) -> tuple[int | None, ...]:
        """Return how many bars of each kind there are."""
        return tuple(kind.supply for kind in self.kinds)


def room_of(task: Task) -> Room:
    """Return a task boiled down."""
    counts: dict[int, int] = {}
    for piece in task.pieces:
        if piece.count:
            counts[piece.length_mm] = counts.get(piece.length_mm, 0) + piece.count
    lengths = sorted(counts, reverse=True)
    return Room(
        tuple(length + task.kerf_mm for length in lengths),
        tuple(counts[length] for length in lengths),
        (*_offers(task), *_on_hand(task, lengths)),
        task.kerf_mm,
        task.offcuts.least_mm if task.offcuts.value_minor_per_m else None,
        task.offcuts.value_minor_per_m,
    )


def _offers(task: Task) -> list[Kind]:
    """Return the offers, longest first, without those that a longer one for no more replaces."""
    ranked = sorted(task.bars, key=lambda bar: (-bar.length_mm, bar.price_minor, bar.code))
    kept: list[Kind] = []
    for bar in ranked:
        kind = Kind(bar.length_mm + task.kerf_mm, bar.price_minor * MILLI, None, bar.code)
        # Where offcuts have a value a longer bar may leave more of it, so it never does worse.
        if all(kind.cost < other.cost for other in kept):
            kept.append(kind)
    return kept


def _on_hand(task: Task, lengths: list[int]) -> list[Kind]:
    groups: dict[tuple[int, int], int] = {}
    for piece in task.on_hand:
        if lengths and piece.length_mm >= lengths[-1]:
            key = (piece.length_mm, piece.value_minor)
            groups[key] = groups.get(key, 0) + 1
    return [Kind(length + task.kerf_mm, value * MILLI, supply, "")
            for (length, value), supply in sorted(groups.items(), reverse=True)]
