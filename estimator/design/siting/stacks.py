"""Chooses stacks of modules from left to right, round one place of the converter if there is one.

Preference: standing modules in the fewest stacks; then the modules lowest; then the shortest leads
along the wall, from the first stack to the last and from the nearer of the two to the converter
(or to where its leads leave the wall); then furthest to the left.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence

from estimator.design.siting.bodies import Modules, Stack
from estimator.design.siting.clearances import Clearance
from estimator.design.siting.room import Room
from estimator.design.siting.shapes import Rect

# A cost is one whole number: stacks (standing only), sum of the modules' heights, leads.
SPAN = 1 << 40
_NEVER = 1 << 200
MOST_STEPS = 400_000  # about a tenth of a second; beyond it places are left out

Held = tuple[int, int]  # modules in the stack, lower edge of its foot [mm]


class StackRoom:
    """What stacks fit where no converter is in the way; shared by all its places."""

    def __init__(self, room: Room, modules: Modules) -> None:
        self.room = room
        self.modules = modules
        self.heights = [modules.foot_mm + modules.stack_height_mm(n)
                        for n in range(modules.highest + 1)]
        self.step_mm = modules.body.width_mm + modules.body.clear.between_mm
        self._kept: dict[int, tuple[Held, ...]] = {}

    def options(self, x: int) -> tuple[Held, ...]:
        """Return each stack that fits at x, as low as it can be there; the fewest first."""
        found = self._kept.get(x)
        if found is None:
            lows = ((n, self.room.lowest(x, self.heights[n]))
                    for n in range(1, len(self.heights)))
            found = self._kept[x] = tuple((n, low) for n, low in lows if low is not None)
        return found


class Stacks:
    """The stacks round one place of the converter.

    Attributes:
        thinned: whether places were left out, because there are very many.
    """

    def __init__(
        self, shared: StackRoom, xs: Sequence[int], converter: tuple[Rect, Clearance] | None,
        near_mm: int | None,
    ) -> None:
        self.shared = shared
        self.modules = shared.modules
        self.converter = converter
        self.near_mm = near_mm
        self.thinned = False
        self._set(xs)

    def _set(self, xs: Sequence[int]) -> None:
        self.xs = xs
        self.after = [bisect_left(xs, x + self.shared.step_mm) for x in xs]

    @property
    def steps(self) -> int:
        """Return about how many steps `best` takes."""
        return len(self.xs) * self.modules.highest * self.modules.count

    def most(self) -> int:
        """Return the most modules, up to those wanted, that fit."""
        return self._capacity()[0]

    def _capacity(self) -> list[int]:
        """Return the most modules that fit at each place and after it."""
        count = self.modules.count
        held = [0] * (len(self.xs) + 1)
        for i in range(len(self.xs) - 1, -1, -1):
            options = self._options(self.xs[i])
            tallest = options[-1][0] if options else 0
            held[i] = min(count, max(held[i + 1], tallest + held[self.after[i]]))
        return held

    def best(self) -> tuple[int, tuple[Stack, ...]] | None:
        """Return the cheapest stacks that hold all modules, with their cost, or None."""
        if self.steps > MOST_STEPS:
            self._thin_out()
        count, places = self.modules.count, len(self.xs)
        none = [0, *[_NEVER] * count]
        rows, took = [none] * (places + 1), [[0] * (count + 1) for _ in self.xs]
        for i in range(places - 1, -1, -1):
            row, rest, chosen = list(rows[i + 1]), rows[self.after[i]], took[i]
            first, last = self._ends(self.xs[i])
            for held, low in self._options(self.xs[i]):
                cost = self._cost(held, low)
                for left in range(held, count + 1):
                    total = rest[left - held] + cost
                    if total >= _NEVER:
                        break  # where so many do not fit, more do not either
                    if left == held:
                        total += last
                    if left == count:
                        total += first
                    if total <= row[left]:
                        row[left], chosen[left] = total, held
            rows[i] = row
        total = rows[0][count]
        return (total, tuple(self._taken(took))) if total < _NEVER else None

    def _taken(self, took: Sequence[Sequence[int]]) -> Iterator[Stack]:
        i, left = 0, self.modules.count
        while left:
            held = took[i][left]
            if held:
                low = dict(self._options(self.xs[i]))[held]
                yield Stack(self.xs[i], low + self.modules.foot_mm, held)
                left, i = left - held, self.after[i]
            else:
                i += 1

    def _thin_out(self) -> None:
        """Leave out places, but none of a layout with the most modules."""
        self.thinned = True
        held, kept, i = self._capacity(), set(), 0
        while i < len(self.xs):
            if held[i] > held[i + 1]:
                kept.add(self.xs[i])
                i = self.after[i]
            else:
                i += 1
        stride = -(-self.steps // MOST_STEPS)
        self._set(sorted(kept.union(self.xs[::stride])))

    def _options(self, x: int) -> tuple[Held, ...]:
        free = self.shared.options(x)
        if self.converter is None or not free:
            return free
        rect, clear = self.converter
        mine, right = self.modules.body.clear, x + self.modules.body.width_mm
        # Whether the converter is in the stack's clear sides, and the stack in the converter's.
        in_mine = rect.x_mm < right + mine.side_mm and x - mine.side_mm < rect.right_mm
        in_its = x < rect.right_mm + clear.side_mm and rect.x_mm - clear.side_mm < right
        if not in_mine and not in_its:
            return free
        below = rect.y_mm - (mine.top_mm if in_mine else 0)
        above = rect.top_mm + (clear.top_mm if in_its else 0)
        return tuple(self._off(x, free, below, above))

    def _off(self, x: int, free: Sequence[Held], below: int, above: int) -> Iterator[Held]:
        """Yield the stacks that end below the converter or begin above it."""
        for held, low in free:
            height = self.shared.heights[held]
            found: int | None = low
            if low + height > below and low < above:
                found = self.shared.room.lowest(x, height, above)
            if found is None:
                return  # a taller stack needs more room
            yield held, found

    def _cost(self, held: int, low: int) -> int:
        modules = self.modules
        rise = modules.body.height_mm + modules.gap_mm
        heights = held * (low + modules.foot_mm) + rise * (held * (held - 1) // 2)
        return (modules.standing * SPAN + heights) * SPAN

    def _ends(self, x: int) -> tuple[int, int]:
        """Return what leads cost a layout whose first stack is at x, and whose last one is.

        The two together are the way from the first to the last and on to the converter.
        """
        right = x + self.modules.body.width_mm
        if self.converter is not None:
            rect = self.converter[0]
            return max(0, x - rect.right_mm) - x, x + max(0, rect.x_mm - right)
        if self.near_mm is not None:
            return max(0, x - self.near_mm) - x, x + max(0, self.near_mm - right)
        return -x, x


def apart_mm(start_mm: int, size_mm: int, from_mm: int, to_mm: int) -> int:
    """Return the free length between a unit and another, along the wall or up it."""
    return max(0, from_mm - start_mm - size_mm, start_mm - to_mm)
