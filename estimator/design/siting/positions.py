"""Where along a wall a unit may have to stand so that no room is missed.

Whatever fits can be pushed to the left until each unit touches the clear space of the wall's end,
of an obstacle or of the unit on its left. Its place is then an anchor plus a chain of widths and
gaps. The same from the right. Only these places are tried.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from estimator.design.siting.shapes import Rect, Wall


@dataclass(frozen=True, slots=True)
class Unit:
    """What one stack of modules, or the converter, takes along a wall [mm].

    Attributes:
        most: how many of it a chain may hold.
    """

    width_mm: int
    side_mm: int
    most: int = 1


def places_along(
    wall: Wall, units: Sequence[Unit], between_mm: int, near_mm: int | None = None
) -> tuple[tuple[int, ...], ...]:
    """Return for each kind of unit the left edges to try, in order.

    Args:
        between_mm: gap between two units of the first kind.
        near_mm: a point the units are to be near; each is also tried with its middle there.
    """
    left = _chains(_anchors(wall.rects, wall), units, between_mm, wall.width_mm, near_mm)
    turned = tuple(
        Rect(wall.width_mm - r.right_mm, r.y_mm, r.width_mm, r.height_mm) for r in wall.rects)
    near = None if near_mm is None else wall.width_mm - near_mm
    right = _chains(_anchors(turned, wall), units, between_mm, wall.width_mm, near)
    found = []
    for unit, from_left, from_right in zip(units, left, right, strict=True):
        both = from_left | {wall.width_mm - x - unit.width_mm for x in from_right}
        found.append(tuple(sorted(x for x in both if _inside(x, unit, wall.width_mm))))
    return tuple(found)


def _anchors(rects: Sequence[Rect], wall: Wall) -> list[int]:
    return sorted({0, *(r.right_mm for r in rects if r.right_mm < wall.width_mm)})


def _inside(x: int, unit: Unit, width_mm: int) -> bool:
    return x - unit.side_mm >= 0 and x + unit.width_mm + unit.side_mm <= width_mm


def _chains(
    anchors: Sequence[int], units: Sequence[Unit], between_mm: int, width_mm: int,
    near_mm: int | None,
) -> list[set[int]]:
    """Return every left edge that a chain from an anchor to the right can give each kind."""
    found: list[set[int]] = [set() for _ in units]
    gaps = sorted({unit.side_mm for unit in units})
    nothing = tuple(0 for _ in units)
    waiting = [(kind, a + unit.side_mm, nothing)
               for kind, unit in enumerate(units) for a in anchors]
    if near_mm is not None:
        waiting += [(kind, near_mm - unit.width_mm // 2, nothing)
                    for kind, unit in enumerate(units)]
    seen = set(waiting)
    while waiting:
        kind, x, used = waiting.pop()
        unit = units[kind]
        if used[kind] >= unit.most or x + unit.width_mm + unit.side_mm > width_mm:
            continue
        found[kind].add(x)
        after = (*used[:kind], used[kind] + 1, *used[kind + 1:])
        for other in range(len(units)):
            same = kind == other == 0
            for gap in (between_mm,) if same else gaps:
                step = (other, x + unit.width_mm + gap, after)
                if step not in seen:
                    seen.add(step)
                    waiting.append(step)
    return found
