"""Finds where stacks of modules and a converter go on a wall.

The class of layouts: all modules the same way up, in stacks of at most so many one above the
other; no stack above another stack; each stack as low as it can be where it stands; the converter
anywhere, also above or below a stack. Within this class the search misses no layout that fits
(see `positions`). Preference: standing modules in the fewest stacks; then the modules lowest; then
nearest to the converter (free length along the wall and up it); then the converter lowest; then
furthest to the left. Lowness is the least possible; nearness is the best among the places that
are tried.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from estimator.design.siting.clearances import Clearance
from estimator.design.siting.positions import Unit, places_along
from estimator.design.siting.shapes import Rect, Wall

MOST_STEPS = 2_000_000  # a few seconds; only walls beyond those of a house need more
Cost = tuple[int, int, int]  # stacks (standing only), sum of the modules' heights, distance


@dataclass(frozen=True, slots=True)
class Body:
    """A unit by its face on the wall [mm] and the clear space it asks for."""

    width_mm: int
    height_mm: int
    clear: Clearance


@dataclass(frozen=True, slots=True)
class Modules:
    """Storage modules to be set out.

    Attributes:
        count: how many; `per_stack` at most one above the other.
        gap_mm: between two modules of a stack.
        standing: whether stacks stand on the floor, `base_mm` high, rather than hang.
    """

    body: Body
    count: int
    per_stack: int
    gap_mm: int
    standing: bool = False
    base_mm: int = 0

    def stack_height_mm(self, modules: int) -> int:
        """Return the height of a stack of so many."""
        return modules * self.body.height_mm + max(0, modules - 1) * self.gap_mm

    @property
    def lowest_mm(self) -> int:
        """Return how low a stack may begin."""
        return self.base_mm if self.standing else self.body.clear.floor_mm


@dataclass(frozen=True, slots=True)
class Stack:
    """So many modules one above the other, from a lower left corner [mm]."""

    x_mm: int
    y_mm: int
    modules: int


_UNTRIED = Stack(-1, -1, 0)


@dataclass(frozen=True, slots=True)
class Placing:
    """Where the stacks and the converter go.

    Attributes:
        every_place: whether every place of the converter was tried; a wall with very many is
            thinned out, and then a better layout may have been missed.
    """

    stacks: tuple[Stack, ...]
    converter: Rect | None
    every_place: bool = True


def place(
    wall: Wall, modules: Modules | None, converter: Body | None, near_mm: int | None = None
) -> Placing | None:
    """Return the best layout of the class, or None if nothing fits.

    Args:
        near_mm: where the leads to a converter that is not on this wall leave it.
    """
    best: tuple[tuple[Cost, int, int, int], Placing] | None = None
    for rect, stacks, every in _tries(wall, modules, converter, near_mm):
        off = 0 if near_mm is None or rect is None else _distance(
            rect.x_mm, rect.width_mm, near_mm, near_mm)
        found = stacks.best() if stacks is not None else ((0, 0, off), ())
        if found is None:
            continue
        key = (found[0], rect.y_mm, off, rect.x_mm) if rect else (found[0], 0, 0, 0)
        if best is None or key < best[0]:
            best = (key, Placing(found[1], rect, every))
    return best[1] if best else None


def most_modules(
    wall: Wall, modules: Modules, converter: Body | None, near_mm: int | None = None
) -> int:
    """Return the most modules, up to those wanted, that fit; -1 if the converter does not."""
    return max((stacks.most() for _, stacks, _ in _tries(wall, modules, converter, near_mm)
                if stacks is not None), default=-1)


def _tries(
    wall: Wall, modules: Modules | None, converter: Body | None, near_mm: int | None
) -> Iterator[tuple[Rect | None, _Stacks | None, bool]]:
    """Yield each place of the converter with the stacks round it, and whether all are tried."""
    kinds = [Unit(modules.body.width_mm, modules.body.clear.side_mm, modules.count)
             ] if modules else []
    if converter is not None:
        kinds.append(Unit(converter.width_mm, converter.clear.side_mm))
    between = modules.body.clear.between_mm if modules else 0
    along = places_along(wall, kinds, between, near_mm)
    free: dict[tuple[int, int], Stack | None] = {}
    if converter is None:
        if modules is not None:
            yield None, _Stacks(wall, modules, along[0], None, near_mm, free), True
        return
    rects = _converter_places(wall, modules, converter, along[-1])
    if modules is None:
        yield from ((rect, None, True) for rect in rects)
        return
    work = len(along[0]) * modules.count * min(modules.per_stack, modules.count)
    stride = -(-len(rects) * work // MOST_STEPS) if work else 1
    for rect in rects[::max(1, stride)]:
        yield (rect, _Stacks(wall, modules, along[0], (rect, converter.clear), None, free),
               stride <= 1)


def _converter_places(
    wall: Wall, modules: Modules | None, converter: Body, xs: Sequence[int]
) -> list[Rect]:
    """Return every place of the converter to try, lowest first."""
    lows = {converter.clear.floor_mm, *(r.top_mm for r in wall.rects)}
    if modules is not None:
        for low in (modules.lowest_mm, *(r.top_mm for r in wall.rects)):
            for count in range(1, min(modules.per_stack, modules.count) + 1):
                top = low + modules.stack_height_mm(count)
                lows |= {top, top + modules.body.clear.top_mm}
    return [
        rect for y in sorted(lows) if y >= converter.clear.floor_mm for x in xs
        if is_clear(rect := Rect(x, y, converter.width_mm, converter.height_mm),
                    converter.clear, wall)
    ]


def is_clear(rect: Rect, clear: Clearance, wall: Wall) -> bool:
    """Return whether a unit and its clear space lie on the wall and off every obstacle."""
    box = rect.widened(clear.side_mm, clear.top_mm)
    return (
        box.x_mm >= 0 and box.y_mm >= 0
        and box.right_mm <= wall.width_mm and box.top_mm <= wall.height_mm
        and not any(box.meets(obstacle) for obstacle in wall.rects)
    )


class _Stacks:
    """Chooses the stacks from left to right around one place of the converter."""

    def __init__(
        self, wall: Wall, modules: Modules, xs: Sequence[int],
        converter: tuple[Rect, Clearance] | None, near_mm: int | None,
        free: dict[tuple[int, int], Stack | None],
    ) -> None:
        self.wall = wall
        self.modules = modules
        self.xs = xs
        self.converter = converter
        self.near_mm = near_mm
        self.free = free  # the lowest stacks were there no converter, shared by all its places

    def best(self) -> tuple[Cost, tuple[Stack, ...]] | None:
        """Return the cheapest stacks that hold all modules, or None."""
        return self._ways()[self.modules.count]

    def most(self) -> int:
        """Return the most modules, up to those wanted, that fit."""
        return max(held for held, way in enumerate(self._ways()) if way is not None)

    def _ways(self) -> list[tuple[Cost, tuple[Stack, ...]] | None]:
        """Return the cheapest stacks for each number of modules up to those wanted.

        Works from the right: `done[i][r]` is the best way to put r modules at places i and after.
        """
        count, step = self.modules.count, self.modules.body.width_mm
        step += self.modules.body.clear.between_mm
        none: list[tuple[Cost, tuple[Stack, ...]] | None] = [None] * (count + 1)
        none[0] = ((0, 0, 0), ())
        done = [list(none) for _ in range(len(self.xs) + 1)]
        for i in range(len(self.xs) - 1, -1, -1):
            after = done[bisect_left(self.xs, self.xs[i] + step)]
            done[i] = list(done[i + 1])
            for held in range(1, min(self.modules.per_stack, count) + 1):
                stack = self._stack(self.xs[i], held)
                if stack is None:
                    break  # a taller stack needs more room
                for left in range(held, count + 1):
                    rest, so_far = after[left - held], done[i][left]
                    if rest is None:
                        continue
                    cost = self._cost(stack, rest[0])
                    if so_far is None or cost <= so_far[0]:
                        done[i][left] = (cost, (stack, *rest[1]))
        return done[0]

    def _stack(self, x: int, held: int) -> Stack | None:
        """Return a stack at a place as low as it can be, or None if there is no room."""
        free = self.free.get((x, held), _UNTRIED)
        if free is _UNTRIED:
            free = self.free[x, held] = self._lowest(x, held, ())
        if free is None or self.converter is None or self._off_converter(self._rect(free)):
            return free
        rect, clear = self.converter
        return self._lowest(x, held, (rect.top_mm, rect.top_mm + clear.top_mm))

    def _lowest(self, x: int, held: int, above: tuple[int, ...]) -> Stack | None:
        """Return the lowest stack at a place; with `above`, one that is off the converter too."""
        lows = [self.modules.lowest_mm]
        if not self.modules.standing:
            tops = {*above, *(r.top_mm for r in self.wall.rects)}
            lows += sorted(top for top in tops if top > lows[0])
        for y in lows:
            stack = Stack(x, y, held)
            rect = self._rect(stack)
            if is_clear(rect, self.modules.body.clear, self.wall) and (
                    not above or self._off_converter(rect)):
                return stack
        return None

    def _rect(self, stack: Stack) -> Rect:
        return Rect(stack.x_mm, stack.y_mm, self.modules.body.width_mm,
                    self.modules.stack_height_mm(stack.modules))

    def _off_converter(self, rect: Rect) -> bool:
        if self.converter is None:
            return True
        other, clear = self.converter
        mine = self.modules.body.clear
        return not (
            rect.widened(mine.side_mm, mine.top_mm).meets(other)
            or other.widened(clear.side_mm, clear.top_mm).meets(rect)
        )

    def _cost(self, stack: Stack, rest: Cost) -> Cost:
        modules = self.modules
        rise = modules.body.height_mm + modules.gap_mm
        heights = stack.modules * stack.y_mm + rise * (stack.modules * (stack.modules - 1) // 2)
        width = modules.body.width_mm
        if self.converter is not None:
            rect = self.converter[0]
            far = _distance(stack.x_mm, width, rect.x_mm, rect.right_mm) + _distance(
                stack.y_mm, modules.stack_height_mm(stack.modules), rect.y_mm, rect.top_mm)
        elif self.near_mm is not None:
            far = _distance(stack.x_mm, width, self.near_mm, self.near_mm)
        else:
            far = stack.x_mm
        return (rest[0] + modules.standing, rest[1] + heights, rest[2] + far)


def _distance(start_mm: int, size_mm: int, from_mm: int, to_mm: int) -> int:
    """Return the free length between a unit and another, along the wall or up it [mm]."""
    return max(0, from_mm - start_mm - size_mm, start_mm - to_mm)
