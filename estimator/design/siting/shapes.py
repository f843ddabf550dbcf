"""Rectangles on a wall in whole millimetres: x from the left end, y from the floor."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import NamedTuple

MM_PER_M = 1000


class Rect(NamedTuple):
    """A rectangle by its lower left corner and size [mm]."""

    x_mm: int
    y_mm: int
    width_mm: int
    height_mm: int

    @property
    def right_mm(self) -> int:
        """Return the right edge."""
        return self.x_mm + self.width_mm

    @property
    def top_mm(self) -> int:
        """Return the upper edge."""
        return self.y_mm + self.height_mm

    def meets(self, other: Rect) -> bool:
        """Return whether the two share more than an edge."""
        return (
            self.x_mm < other.right_mm and other.x_mm < self.right_mm
            and self.y_mm < other.top_mm and other.y_mm < self.top_mm
        )

    def widened(self, side_mm: int, top_mm: int) -> Rect:
        """Return it with clear space left, right and above."""
        return Rect(self.x_mm - side_mm, self.y_mm, self.width_mm + 2 * side_mm,
                    self.height_mm + top_mm)


class Obstacle(NamedTuple):
    """A thing on the wall that nothing may cover: socket, pipe, window, meter."""

    name: str
    rect: Rect


@dataclass(frozen=True, slots=True)
class Wall:
    """A wall between its ends, floor to ceiling, and what is on it [mm]."""

    width_mm: int
    height_mm: int
    obstacles: tuple[Obstacle, ...] = ()
    rects: tuple[Rect, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Keep the rectangles of the obstacles, left to right: the search reads them often."""
        object.__setattr__(self, "rects", tuple(sorted(each.rect for each in self.obstacles)))


def wall_of(
    width_m: Decimal, height_m: Decimal,
    things: Sequence[tuple[str, Decimal, Decimal, Decimal, Decimal]] = (),
) -> Wall:
    """Return a wall from metres; fractions of a millimetre never make room.

    Args:
        things: name, x, y, width and height [m] of each obstacle, from the left end at the floor.
    """
    obstacles = []
    for name, x_m, y_m, w_m, h_m in things:
        left, low = _mm(x_m, ROUND_FLOOR), _mm(y_m, ROUND_FLOOR)
        right, top = _mm(x_m + w_m, ROUND_CEILING), _mm(y_m + h_m, ROUND_CEILING)
        obstacles.append(Obstacle(name, Rect(left, low, right - left, top - low)))
    return Wall(_mm(width_m, ROUND_FLOOR), _mm(height_m, ROUND_FLOOR), tuple(obstacles))


def up_mm(millimetres: Decimal) -> int:
    """Return a size or a clearance in whole millimetres, rounded up."""
    return int(millimetres.to_integral_value(ROUND_CEILING))


def _mm(metres: Decimal, rounding: str) -> int:
    return int((metres * MM_PER_M).to_integral_value(rounding))
