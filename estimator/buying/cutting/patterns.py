"""What one bar can give: all patterns of pieces that fit on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from estimator.buying.cutting.room import Pattern, Room


def patterns_of(room: Room, most: int) -> list[Pattern] | None:
    """Return every pattern that a cheapest cut may need, or None if there are more than `most`.

    Where offcuts are worth nothing those to which no further piece can be added are enough, since
    a piece too many can be left uncut.
    """
    found: list[Pattern] = []
    for kind in range(len(room.kinds)):
        for counts in _counts(room, kind, room.wanted):
            found.append(Pattern(kind, counts, room.cost(kind, room.used(counts))))
            if len(found) > most:
                return None
    return found


def patterns_with(
    room: Room, kind: int, left: Sequence[int], first: int
) -> Iterator[tuple[int, ...]]:
    """Yield the patterns of a kind for what is left that hold at least one piece `first`.

    All pieces longer than `first` must be cut already.
    """
    held = room.kinds[kind].room // room.widths[first]
    space = room.kinds[kind].room
    for n in range(min(left[first], held), 0, -1):
        head = (*([0] * first), n)
        used = n * room.widths[first]
        # Fewer of the first than would fit: the rest of a full pattern must not leave room for it.
        spare = room.widths[first] if n < left[first] else None
        yield from _tails(room, space - used, left, first + 1, head, spare)


def _counts(room: Room, kind: int, wanted: Sequence[int]) -> Iterator[tuple[int, ...]]:
    for counts in _tails(room, room.kinds[kind].room, wanted, 0, (), None):
        if any(counts):
            yield counts


def _tails(
    room: Room, space: int, left: Sequence[int], at: int, head: tuple[int, ...], spare: int | None
) -> Iterator[tuple[int, ...]]:
    """Yield all ways to go on with pieces from `at` on; full ones only if offcuts are worthless.

    `spare` is the narrowest piece so far of which one more is wanted; None = there is none.
    """
    if at == len(left):
        if room.least is not None or spare is None or space < spare:
            yield head
        return
    width = room.widths[at]
    for n in range(min(left[at], space // width), -1, -1):
        more = width if n < left[at] else spare
        yield from _tails(room, space - n * width, left, at + 1, (*head, n), more)
