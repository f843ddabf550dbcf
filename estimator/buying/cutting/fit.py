"""First a good cut in no time: first fit and best fit, longest piece first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from estimator.buying.cutting.room import Pattern, Room


def fitted(room: Room, wanted: Sequence[int]) -> list[Pattern]:
    """Return the cheapest cut that the quick ways find; empty if nothing is wanted.

    Each way opens bars of one kind on offer only, or the kind that is cheapest by length, with and
    without the pieces on hand; at the end each bar is changed for the cheapest that holds its
    pieces.
    """
    hands = (True, False) if any(kind.supply for kind in room.kinds) else (False,)
    ways = [_cut(room, wanted, kind, best, hand)
            for kind in _openers(room) for best in (True, False) for hand in hands]
    return min(ways, key=cost_of)


def cost_of(patterns: Sequence[Pattern]) -> int:
    """Return the cost of a cut in thousandths of a minor unit."""
    return sum(pattern.cost for pattern in patterns)


def first_fit_bars(room: Room) -> int:
    """Return the bars that first fit, longest piece first, opens of the longest bar on offer.

    The plain rule of the textbooks, for comparison.
    """
    left: list[int] = []
    for width in _pieces(room, room.wanted):
        at = next((i for i, free in enumerate(left) if free >= room.widths[width]), None)
        if at is None:
            left.append(room.kinds[0].room)
            at = len(left) - 1
        left[at] -= room.widths[width]
    return len(left)


def _openers(room: Room) -> list[int]:
    return [i for i, kind in enumerate(room.kinds) if kind.supply is None]


def _pieces(room: Room, wanted: Sequence[int]) -> Iterator[int]:
    for i, count in enumerate(wanted):
        yield from [i] * count


def _cut(room: Room, wanted: Sequence[int], opener: int, best: bool, hand: bool) -> list[Pattern]:
    bars: list[list[int]] = []  # kind, room left, pieces by length
    if hand:
        for i, lying in enumerate(room.kinds):
            bars += [[i, lying.room, *[0] * len(wanted)] for _ in range(lying.supply or 0)]
    for piece in _pieces(room, wanted):
        width = room.widths[piece]
        holding = [bar for bar in bars if bar[1] >= width]
        if holding:
            bar = min(holding, key=lambda b: b[1]) if best else holding[0]
        else:
            kind = opener if room.kinds[opener].room >= width else _shortest(room, width)
            bar = [kind, room.kinds[kind].room, *[0] * len(wanted)]
            bars.append(bar)
        bar[1] -= width
        bar[2 + piece] += 1
    return [_settled(room, bar[0], tuple(bar[2:])) for bar in bars if any(bar[2:])]


def _shortest(room: Room, width: int) -> int:
    return max(i for i in _openers(room) if room.kinds[i].room >= width)


def _settled(room: Room, kind: int, counts: tuple[int, ...]) -> Pattern:
    """Return the pattern on the cheapest bar on offer that holds it, or where it lies."""
    used = room.used(counts)
    fits = [kind, *(i for i in _openers(room) if room.kinds[i].room >= used)]
    cost, at = min((room.cost(i, used), i) for i in fits)
    return Pattern(at, counts, cost)
