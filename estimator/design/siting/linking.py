"""Which modules of a set-out are linked by their own short leads, and so count as one stack."""

from __future__ import annotations

from itertools import pairwise

from estimator.design.siting.wall_layout import Placed, WallLayout


def linked_stacks(layout: WallLayout, most: int, reach_mm: int) -> int:
    """Return how many stacks the modules make for links, isolators and bases.

    On the floor each stack is one: it has a base of its own. Modules on a wall hang apart, one
    above or beside the other; those in reach of each other's leads are one, up to the most that
    a stack may hold. A wider gap, such as a door, takes the long leads from stack to stack.

    Args:
        most: modules in a stack at most.
        reach_mm: way from a module to the same point of the next that the short leads bridge.
    """
    columns: dict[int, list[Placed]] = {}
    for each in layout.modules:
        columns.setdefault(each.stack, []).append(each)
    standing = [columns[at] for at in sorted(columns)]
    if layout.standing:
        return len(standing)
    groups = [len(standing[0])] if standing else []
    for left, right in pairwise(standing):
        if _way_mm(left, right) <= reach_mm:
            groups[-1] += len(right)
        else:
            groups.append(len(right))
    return sum(-(-modules // most) for modules in groups)


def _way_mm(left: list[Placed], right: list[Placed]) -> int:
    """Return the shortest way from a module of one column to the same point of one in the next."""
    along = right[0].body.x_mm - left[0].body.x_mm
    return along + min(abs(a.body.y_mm - b.body.y_mm) for a in left for b in right)
