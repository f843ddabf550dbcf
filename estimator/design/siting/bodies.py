"""What goes on a wall: a unit by its face, and storage modules that make stacks of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from estimator.design.siting.clearances import Clearance


class Body(NamedTuple):
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
        standing: whether stacks stand on the floor rather than hang.
        base_mm: height of what a standing stack stands on (base, stand, slab); it takes room on
            the wall like the stack itself.
    """

    body: Body
    count: int
    per_stack: int
    gap_mm: int
    standing: bool = False
    base_mm: int = 0

    @property
    def highest(self) -> int:
        """Return the most modules that a stack of this set can have."""
        return min(self.per_stack, self.count)

    @property
    def foot_mm(self) -> int:
        """Return what lies under the lowest module of a stack and belongs to the stack."""
        return self.base_mm if self.standing else 0

    @property
    def lowest_mm(self) -> int:
        """Return how low a stack may begin, its foot included."""
        return 0 if self.standing else self.body.clear.floor_mm

    def stack_height_mm(self, modules: int) -> int:
        """Return the height of a stack of so many, without its foot."""
        return modules * self.body.height_mm + max(0, modules - 1) * self.gap_mm


class Stack(NamedTuple):
    """So many modules one above the other, from the lower left corner of the lowest [mm]."""

    x_mm: int
    y_mm: int
    modules: int
