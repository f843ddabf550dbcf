"""Small walls for the tests of the set-out, and a search that tries every millimetre of a grid."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from estimator.design.siting.bodies import Body, Modules, Stack
from estimator.design.siting.clearances import Clearance
from estimator.design.siting.shapes import Obstacle, Rect, Wall


def clear(side: int, top: int, floor: int, between: int | None = None) -> Clearance:
    return Clearance(side, top, floor, side if between is None else between)


def wall(width: int, height: int, *obstacles: tuple[int, int, int, int]) -> Wall:
    return Wall(width, height, tuple(
        Obstacle(f"thing {n}", Rect(*each)) for n, each in enumerate(obstacles)))


def allowed(rect: Rect, space: Clearance, on: Wall, *, standing: bool = False) -> bool:
    """Say by the words of the rule whether a unit may be there, apart from other units.

    What hangs keeps as much below it clear of things as above it.
    """
    below = 0 if standing else space.top_mm
    return (
        rect.x_mm >= space.side_mm and rect.right_mm + space.side_mm <= on.width_mm
        and rect.top_mm + space.top_mm <= on.height_mm
        and all(
            thing.rect.right_mm <= rect.x_mm - space.side_mm
            or thing.rect.x_mm >= rect.right_mm + space.side_mm
            or thing.rect.top_mm <= rect.y_mm - below
            or thing.rect.y_mm >= rect.top_mm + space.top_mm
            for thing in on.obstacles)
    )


def apart(a: Rect, a_space: Clearance, b: Rect, b_space: Clearance) -> bool:
    """Say whether two units keep out of each other's clear space."""
    return _off(a, a_space, b) and _off(b, b_space, a)


def _off(a: Rect, space: Clearance, b: Rect) -> bool:
    return (
        b.right_mm <= a.x_mm - space.side_mm or b.x_mm >= a.right_mm + space.side_mm
        or b.top_mm <= a.y_mm or b.y_mm >= a.top_mm + space.top_mm
    )


def least_height_on_grid(on: Wall, modules: Modules, converter: Body | None) -> int | None:
    """Return the least sum of the heights of all modules, trying every place; None = no fit."""
    singles: list[tuple[Rect, Clearance] | None] = [None]
    if converter is not None:
        singles = [(rect, converter.clear) for rect in _everywhere(on, converter)]
    best: int | None = None
    for single in singles:
        found = _stacks(on, modules, single, 0, modules.count)
        if found is not None and (best is None or found < best):
            best = found
    return best


def _everywhere(on: Wall, body: Body) -> Iterator[Rect]:
    for x, y in product(range(on.width_mm + 1), range(body.clear.floor_mm, on.height_mm + 1)):
        rect = Rect(x, y, body.width_mm, body.height_mm)
        if allowed(rect, body.clear, on):
            yield rect


def _stacks(
    on: Wall, modules: Modules, single: tuple[Rect, Clearance] | None, start: int, left: int
) -> int | None:
    """Return the least height of the modules left, placed from `start` to the right."""
    if left == 0:
        return 0
    best: int | None = None
    rise = modules.body.height_mm + modules.gap_mm
    for x in range(start, on.width_mm):
        for held in range(1, min(left, modules.per_stack) + 1):
            y = _lowest(on, modules, single, x, held)
            if y is None:
                continue
            rest = _stacks(on, modules, single,
                           x + modules.body.width_mm + modules.body.clear.between_mm, left - held)
            if rest is not None:
                total = rest + sum(y + level * rise for level in range(held))
                best = total if best is None else min(best, total)
    return best


def _lowest(
    on: Wall, modules: Modules, single: tuple[Rect, Clearance] | None, x: int, held: int
) -> int | None:
    body = modules.body
    # A standing stack reaches the floor: what it stands on is in the way like the stack itself.
    foot = modules.base_mm if modules.standing else 0
    lows = [0] if modules.standing else range(body.clear.floor_mm, on.height_mm)
    for y in lows:
        rect = Rect(x, y, body.width_mm, foot + modules.stack_height_mm(held))
        if allowed(rect, body.clear, on, standing=modules.standing) and (
                single is None or apart(rect, body.clear, *single)):
            return y + foot
    return None


def heights(stacks: tuple[Stack, ...], modules: Modules) -> int:
    """Return the sum of the heights of all modules of some stacks."""
    rise = modules.body.height_mm + modules.gap_mm
    return sum(s.y_mm + level * rise for s in stacks for level in range(s.modules))
