"""Finds where stacks of modules and a converter go on a wall.

The class of layouts: all modules the same way up, in stacks of at most so many one above the
other; no stack above another stack; each stack as low as it can be where it stands; the converter
anywhere, also above or below a stack. Within this class the search misses no layout that fits
(see `room`), and the modules are as low as they can be. Preference: see `stacks`; then the
converter lowest; then furthest to the left.

The converter is first tried beside and above the stacks as they would be without it. If the
modules are then as low as they would be alone, that is the answer, with the shortest leads among
those places. Else every place is tried. A wall with very many is thinned out: what is found then
still fits, but a better layout, or any, may have been missed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from math import isqrt
from typing import NamedTuple

from estimator.design.siting.bodies import Body, Modules, Stack
from estimator.design.siting.room import Room
from estimator.design.siting.shapes import Rect, Wall
from estimator.design.siting.stacks import MOST_STEPS, SPAN, StackRoom, Stacks, apart_mm

# Limits of the search, each a few tenths of a second; only walls beyond those of a house reach
# them.
MOST_PLACES = 4_000  # of stacks along the wall
MOST_LOOKED_AT = 400_000  # things on the wall looked at for those
MOST_TRIED = 100_000  # places of the converter looked at
MOST_COUNTED = 150_000  # places of stacks, over all places of the converter that are tried


class Placing(NamedTuple):
    """Where the stacks and the converter go."""

    stacks: tuple[Stack, ...]
    converter: Rect | None


class Found(NamedTuple):
    """What the search found.

    Attributes:
        placing: the best layout, or None if nothing fits.
        most: the most modules, up to those wanted, that fit with the converter; -1 if not even
            the converter does.
        every_place: whether every place that may matter was tried.
    """

    placing: Placing | None
    most: int
    every_place: bool


def search(
    wall: Wall, modules: Modules | None, converter: Body | None, near_mm: int | None = None
) -> Found:
    """Return the best layout of the class, or how many modules would fit.

    Args:
        near_mm: where the leads to a converter that is not on this wall leave it.
    """
    if modules is None:
        return _lone(wall, converter, near_mm)
    looking = _Search(wall, modules, converter, near_mm)
    return looking.without() if converter is None else looking.found()


def _lone(wall: Wall, converter: Body | None, near_mm: int | None) -> Found:
    """Return the converter alone: lowest, then nearest to the leads, then furthest left."""
    if converter is None:
        return Found(Placing((), None), 0, True)
    room = Room(wall, converter, converter.clear.floor_mm)
    xs = {*room.from_left(), *room.from_right()}
    if near_mm is not None:
        xs.add(near_mm - converter.width_mm // 2)
    lows = ((x, room.lowest(x, converter.height_mm)) for x in xs)
    keys = [
        (y, 0 if near_mm is None else apart_mm(x, converter.width_mm, near_mm, near_mm), x)
        for x, y in lows if y is not None
    ]
    if not keys:
        return Found(None, -1, True)
    y, _, x = min(keys)
    return Found(Placing((), Rect(x, y, converter.width_mm, converter.height_mm)), 0, True)


class _Search:
    """The search for modules, with or without a converter."""

    def __init__(
        self, wall: Wall, modules: Modules, converter: Body | None, near_mm: int | None
    ) -> None:
        self.wall = wall
        self.modules = modules
        self.near_mm = near_mm
        self.room = Room.of_modules(wall, modules)
        self.shared = StackRoom(self.room, modules)
        self.every = True
        self._left, self._right = self._places(self.room.from_left(), 1), self._places(
            self.room.from_right(), -1)
        if near_mm is not None and converter is None:
            middle = [near_mm - modules.body.width_mm // 2]
            self._left |= self._places(middle, 1) | self._places(middle, -1)
        self.base = sorted(self._left | self._right)
        self.converter = converter

    def _places(self, starts: Sequence[int], way: int) -> set[int]:
        """Return the left edges of all stacks in chains from these."""
        step = self.shared.step_mm
        most = min(self.modules.count, self.wall.width_mm // step + 1)
        allowed = min(MOST_PLACES, MOST_LOOKED_AT // max(1, len(self.room.things)))
        stride = max(1, -(-len(starts) * most // max(1, allowed)))
        self.every &= stride == 1
        return {x for start in starts[::stride]
                for x in self.room.chain(start, way * step, most)}

    def _stacks(self, rect: Rect | None) -> Stacks:
        """Return the stacks round one place of the converter."""
        if rect is None or self.converter is None:
            return Stacks(self.shared, self.base, None, self.near_mm)
        step, most, width = self.shared.step_mm, self.modules.count, self.modules.body.width_mm
        xs = set(self.base)
        for gap in self._gaps:
            xs.update(self.room.chain(rect.right_mm + gap, step, most))
            xs.update(self.room.chain(rect.x_mm - gap - width, -step, most))
        return Stacks(self.shared, sorted(xs), (rect, self.converter.clear), None)

    @cached_property
    def _gaps(self) -> tuple[int, ...]:
        """Return the gaps that a stack and the converter may keep between them."""
        assert self.converter is not None
        return tuple({self.modules.body.clear.side_mm, self.converter.clear.side_mm})

    @cached_property
    def _each(self) -> int:
        """Return about how many steps the best stacks for one place of the converter take."""
        return min(self._stacks(None).steps, MOST_STEPS)

    def without(self) -> Found:
        """Return the layout of the modules alone."""
        stacks = self._stacks(None)
        most = stacks.most()
        best = stacks.best() if most == self.modules.count else None
        return Found(Placing(best[1], None) if best else None, most,
                     self.every and not stacks.thinned)

    def found(self) -> Found:
        """Return the layout of modules and converter."""
        assert self.converter is not None
        room = Room(self.wall, self.converter, self.converter.clear.floor_mm)
        alone = self._stacks(None).best()
        if alone is not None:
            near = self._best(
                _strided(list(self._beside(room, alone[1])), self._each, MOST_STEPS))
            if near is not None and near[0] == alone[0] // SPAN:
                return Found(near[1], self.modules.count, self.every)
        rects = self._everywhere(room)
        if not rects:
            return Found(None, -1, self.every)
        held = [(self._stacks(rect).most(), rect) for rect in rects]
        most = max(each for each, _ in held)
        full = [rect for each, rect in held if each == self.modules.count]
        best = self._best(self._thinned(full, self._each, MOST_STEPS)) if full else None
        return Found(best[1] if best else None, most, self.every)

    def _best(self, rects: Iterable[Rect]) -> tuple[int, Placing] | None:
        """Return the best layout with the converter in one of these places, and its cost."""
        best: tuple[tuple[int, int, int, int], Placing] | None = None
        for rect in rects:
            stacks = self._stacks(rect)
            found = stacks.best()
            self.every &= not stacks.thinned
            if found is not None:
                key = (found[0] // SPAN, self._leads_mm(rect, found[1]), rect.y_mm, rect.x_mm)
                if best is None or key < best[0]:
                    best = key, Placing(found[1], rect)
        return (best[0][0], best[1]) if best else None

    def _leads_mm(self, rect: Rect, stacks: Sequence[Stack]) -> int:
        """Return the way from the first stack to the last and from the nearest to the converter."""
        width, heights = self.modules.body.width_mm, self.modules.stack_height_mm
        return stacks[-1].x_mm - stacks[0].x_mm + min(
            apart_mm(each.x_mm, width, rect.x_mm, rect.right_mm)
            + apart_mm(each.y_mm, heights(each.modules), rect.y_mm, rect.top_mm)
            for each in stacks)

    def _beside(self, room: Room, stacks: Sequence[Stack]) -> Iterator[Rect]:
        """Yield places of the converter beside and above these stacks, and at edges."""
        converter, body = self.converter, self.modules.body
        assert converter is not None
        gap, high = max(self._gaps), converter.height_mm
        tops = {0}
        xs = {*room.from_left(), *room.from_right(),
              stacks[0].x_mm - gap - converter.width_mm, stacks[-1].x_mm + body.width_mm + gap}
        for stack in stacks:
            xs |= {stack.x_mm, stack.x_mm + (body.width_mm - converter.width_mm) // 2}
            tops.add(stack.y_mm + self.modules.stack_height_mm(stack.modules) + body.clear.top_mm)
        places = {(x, room.lowest(x, high, top)) for x in xs for top in tops}
        for x, y in sorted(places, key=lambda each: (each[1] or 0, each[0])):
            if y is not None:
                yield Rect(x, y, converter.width_mm, high)

    def _everywhere(self, room: Room) -> list[Rect]:
        """Return every place of the converter that may matter, lowest first."""
        converter, width = self.converter, self.modules.body.width_mm
        assert converter is not None
        xs = {*room.from_left(), *(x + width + gap for x in self._left for gap in self._gaps)}
        lows = room.lows()
        for height in self.shared.heights[1:]:
            for low in self.room.lows():
                lows |= {low + height, low + height + self.modules.body.clear.top_mm}
        top = self.wall.height_mm - converter.height_mm - converter.clear.top_mm
        ys = sorted(y for y in lows if converter.clear.floor_mm <= y <= top)
        stride = isqrt(len(xs) * len(ys) // MOST_TRIED) + 1
        self.every &= stride == 1
        rects = [
            Rect(x, y, converter.width_mm, converter.height_mm)
            for y in ys[::stride] for x in sorted(xs)[::stride]
            if room.is_free(x, y, converter.height_mm)
        ]
        return self._thinned(rects, len(self.base), MOST_COUNTED)

    def _thinned(self, rects: Sequence[Rect], steps: int, limit: int) -> list[Rect]:
        """Return as many of the places as may be tried at so many steps each."""
        found = _strided(rects, steps, limit)
        self.every &= len(found) == len(rects)
        return found


def _strided(rects: Sequence[Rect], steps: int, limit: int) -> list[Rect]:
    """Return as many of these, evenly, as may be tried at so many steps each."""
    return list(rects[::max(1, -(-len(rects) * steps // limit))])
