"""First a good cut in no time: first fit and best fit, longest piece first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from estimator.buying.cutting.room import Pattern, Room


def fitted(room: Room, wanted: Sequence[int]) -> list[Pattern]:
    """Return the cheapest cut that the quick ways find; empty if nothing is wanted.

    Each way opens bars of one kind on offer, or a shorter one where the piece is too long for it,
    with and without the pieces on hand; at the end each bar is changed for the cheapest that holds
    its pieces.
    """
    offers = [i for i, kind in enumerate(room.kinds) if kind.supply is None]
    hands = (True, False) if any(kind.supply for kind in room.kinds) else (False,)
    fits = (True, False) if len(offers) == 1 or hands[0] else (True,)
    ways = (_cut(room, wanted, offers, kind, best, hand)
            for kind in offers for best in fits for hand in hands)
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


def _pieces(room: Room, wanted: Sequence[int]) -> Iterator[int]:
    for i, count in enumerate(wanted):
        yield from [i] * count


def _cut(
    room: Room, wanted: Sequence[int], offers: Sequence[int], opener: int, best: bool, hand: bool
) -> list[Pattern]:
    """Lay each piece on the bar that it fills best, or the first that holds it.

    Args:
        room: the task; wanted: what of it is to be cut.
        offers: kinds on offer, longest first; opener: the one to open.
        best: whether the fullest bar is looked for.
        hand: whether pieces on hand lie open from the start.
    """
    bars: list[tuple[int, list[int]]] = []  # kind, pieces by length
    left: list[int] = []  # room of each
    if hand:
        for i, lying in enumerate(room.kinds):
            for _ in range(lying.supply or 0):
                bars.append((i, [0] * len(wanted)))
                left.append(lying.room)
    for piece in _pieces(room, wanted):
        width, at = room.widths[piece], -1
        for i, free in enumerate(left):
            if free >= width and (at < 0 or (best and free < left[at])):
                at = i
                if not best:
                    break
        if at < 0:
            kind = opener if room.kinds[opener].room >= width else max(
                i for i in offers if room.kinds[i].room >= width)
            at = len(bars)
            bars.append((kind, [0] * len(wanted)))
            left.append(room.kinds[kind].room)
        left[at] -= width
        bars[at][1][piece] += 1
    return [_settled(room, offers, kind, tuple(counts), room.kinds[kind].room - free)
            for (kind, counts), free in zip(bars, left, strict=True)
            if free < room.kinds[kind].room]


def _settled(
    room: Room, offers: Sequence[int], kind: int, counts: tuple[int, ...], used: int
) -> Pattern:
    """Return the pattern on the cheapest bar on offer that holds it, or where it lies."""
    at, cost = kind, room.cost(kind, used)
    for i in offers:
        if room.kinds[i].room >= used:
            other = room.cost(i, used)
            if other < cost:
                at, cost = i, other
    return Pattern(at, counts, cost)
