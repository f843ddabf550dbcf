"""Finished jobs as the database sums them: one cell for jobs that are alike in all that is told.

There are as many cells as there are different jobs, a few hundred, however many jobs a firm has
done. A gap is what a job took above its own standard, over the mean of both:

    gap = 2 (actual - standard) / (actual + standard)

It is 2 tanh(log(actual / standard) / 2), the logarithm to the second order, and one job that went
quite wrong moves it by two at the most. Gaps come in millionths, whole numbers, so that their sums
are the same on every machine.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from estimator.review.effects import Cell

MILLIONTHS = 1_000_000
Factor = Literal["kind", "covering", "wall", "crew", "estimator"]
FACTORS: tuple[Factor, ...] = ("kind", "covering", "wall", "crew", "estimator")
NOT_SAID = "none or not said"


@dataclass(frozen=True, slots=True)
class JobsAlike:
    """Finished jobs of one kind, covering, wall, crew and estimator, together.

    Amounts are in minor units.

    Attributes:
        jobs: how many.
        net_minor: what they were sold for, before tax, with the variations agreed.
        standard_minor: their full cost as reckoned, with the variations agreed.
        actual_minor: what they cost, with what is still held for returns under warranty.
        planned_milli: hours reckoned, thousandths.
        worked_milli: hours worked, waiting left out.
        losses: how many cost more than they were sold for.
        cost_gap, cost_gap_squares: sums over the jobs, of their gap of cost.
        timed: how many have hours reckoned and worked.
        hours_gap, hours_gap_squares: sums over these.
    """

    kind: str
    covering: str
    wall: str
    crew: str
    estimator: str
    jobs: int
    net_minor: int
    standard_minor: int
    actual_minor: int
    planned_milli: int
    worked_milli: int
    losses: int
    cost_gap: int
    cost_gap_squares: int
    timed: int
    hours_gap: int
    hours_gap_squares: int

    def level(self, factor: Factor) -> str:
        """Return what is told of them, such as their covering."""
        value: str = getattr(self, factor)
        return value

    @property
    def levels(self) -> tuple[str, ...]:
        """Return what is told of them, in the order of `FACTORS`."""
        return self.kind, self.covering, self.wall, self.crew, self.estimator


@dataclass(frozen=True, slots=True)
class Together:
    """Some finished jobs together; see `JobsAlike`."""

    jobs: int
    net_minor: int
    standard_minor: int
    actual_minor: int
    losses: int

    @classmethod
    def of(cls, cells: Iterable[JobsAlike]) -> Together:
        """Return the sums over cells."""
        listed = list(cells)
        return cls(*(sum(getattr(cell, name) for cell in listed) for name in (
            "jobs", "net_minor", "standard_minor", "actual_minor", "losses")))

    @property
    def margin_minor(self) -> int:
        """Return what was sold less what it cost."""
        return self.net_minor - self.actual_minor

    @property
    def margin(self) -> float | None:
        """Return the margin as a share of what was sold; None if nothing was."""
        return self.margin_minor / self.net_minor if self.net_minor else None

    @property
    def reckoned(self) -> float | None:
        """Return the margin that was reckoned with, as a share; None if nothing was sold."""
        if not self.net_minor:
            return None
        return (self.net_minor - self.standard_minor) / self.net_minor


def by_level(cells: Sequence[JobsAlike], factor: Factor) -> dict[str, Together]:
    """Return the jobs of each level of a factor together, by name."""
    names = sorted({cell.level(factor) for cell in cells})
    return {name: Together.of(cell for cell in cells if cell.level(factor) == name)
            for name in names}


def cost_cells(cells: Sequence[JobsAlike]) -> list[Cell]:
    """Return the gaps of cost to be fitted."""
    return _gaps(cells, lambda cell: (cell.jobs, cell.cost_gap, cell.cost_gap_squares))


def hours_cells(cells: Sequence[JobsAlike]) -> list[Cell]:
    """Return the gaps of hours to be fitted; jobs without hours are left out."""
    return _gaps(cells, lambda cell: (cell.timed, cell.hours_gap, cell.hours_gap_squares))


def _gaps(cells: Sequence[JobsAlike], sums: Callable[[JobsAlike], tuple[int, int, int]]
          ) -> list[Cell]:
    found = []
    for cell in cells:
        jobs, total, squares = sums(cell)
        if jobs:
            found.append(Cell(cell.levels, jobs, total / MILLIONTHS, squares / MILLIONTHS**2))
    return found


def as_share(gap: float) -> float:
    """Return a gap as a share above the standard: 0.2222 is a quarter more, 0.25.

    The inverse of gap = 2 (r - 1) / (r + 1), r being actual over standard, less one.
    """
    held = max(-1.999, min(1.999, gap))
    return (2 + held) / (2 - held) - 1


def as_gap(share: float) -> float:
    """Return a share above the standard as a gap; see `as_share`."""
    return 2 * share / (2 + share)

