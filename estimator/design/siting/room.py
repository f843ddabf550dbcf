"""Free height along a wall, and the places along it that must be tried so that no room is missed.

A hung unit keeps its clear space left, right and above from all that is on the wall, and the same
below as above: no data sheet states the space below, and a unit that sits on a socket or a heater
leaves no room for leads, plugs and air (common practice, no source).

Whatever fits can be pushed to the left until each unit touches the clear space of the wall's end,
of an obstacle or of the unit on its left. Its place is then an anchor plus a chain of widths and
gaps; a chain ends where not even one unit has room. The same from the right.
"""

from __future__ import annotations

from collections.abc import Iterator

from estimator.design.siting.bodies import Body, Modules
from estimator.design.siting.shapes import Wall

Stretch = tuple[int, int]


class Room:
    """Where one kind of unit has room on a wall: stretches of free height, kept by place."""

    def __init__(self, wall: Wall, body: Body, lowest_mm: int, standing: bool = False,
                 foot_mm: int = 0) -> None:
        self.wall = wall
        self.width_mm = body.width_mm
        self.side_mm = body.clear.side_mm
        self.top_mm = body.clear.top_mm
        self.one_mm = body.height_mm + foot_mm
        self.lowest_mm = lowest_mm
        self.standing = standing
        self.below_mm = 0 if standing else body.clear.top_mm
        # What ends well below the lowest place is never in the way.
        self.things = tuple(r for r in wall.rects if r.top_mm + self.below_mm > lowest_mm)
        self._stretches: dict[int, tuple[Stretch, ...]] = {}

    @classmethod
    def of_modules(cls, wall: Wall, modules: Modules) -> Room:
        """Return the room for stacks of modules."""
        return cls(wall, modules.body, modules.lowest_mm, modules.standing, modules.foot_mm)

    def stretches(self, x: int) -> tuple[Stretch, ...]:
        """Return from where to where a unit with its left edge at x, and its clear space, may be.

        A standing one may only be in a stretch that begins at the floor.
        """
        found = self._stretches.get(x)
        if found is None:
            found = self._stretches[x] = tuple(self._free(x))
        return found

    def _free(self, x: int) -> Iterator[Stretch]:
        left, right = x - self.side_mm, x + self.width_mm + self.side_mm
        if left < 0 or right > self.wall.width_mm:
            return
        low = self.lowest_mm
        blocks = [(r.y_mm, r.top_mm + self.below_mm) for r in self.things
                  if r.x_mm < right and left < r.right_mm]
        for start, end in (*sorted(blocks), (self.wall.height_mm, self.wall.height_mm)):
            if start > low:
                yield low, start
            if self.standing and end > low:
                return
            low = max(low, end)

    def lowest(self, x: int, height_mm: int, from_mm: int = 0) -> int | None:
        """Return the lowest lower edge of so high a unit at x, not below `from_mm`, or None."""
        if self.standing and from_mm > self.lowest_mm:
            return None
        for low, high in self.stretches(x):
            y = max(low, from_mm)
            if y + height_mm + self.top_mm <= high:
                return y
        return None

    def is_free(self, x: int, y: int, height_mm: int) -> bool:
        """Return whether so high a unit has room with its lower left corner there."""
        top = y + height_mm + self.top_mm
        return any(low <= y and top <= high for low, high in self.stretches(x))

    def lows(self) -> set[int]:
        """Return every height at which a unit may rest on the floor's or a thing's clear space."""
        over = () if self.standing else (r.top_mm + self.below_mm for r in self.things)
        return {self.lowest_mm, *over}

    def from_left(self) -> list[int]:
        """Return the left edges at which a unit touches a wall's end or a thing on its left."""
        return sorted({self.side_mm, *(r.right_mm + self.side_mm for r in self.things)})

    def from_right(self) -> list[int]:
        """Return the left edges at which a unit touches a wall's end or a thing on its right."""
        size = self.side_mm + self.width_mm
        return sorted({self.wall.width_mm - size, *(r.x_mm - size for r in self.things)})

    def chain(self, start: int, step_mm: int, most: int) -> Iterator[int]:
        """Yield left edges from `start` by equal steps, as long as one unit has room."""
        x = start
        for _ in range(most):
            if self.lowest(x, self.one_mm) is None:
                return
            yield x
            x += step_mm
