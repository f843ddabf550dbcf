"""How a job in progress stands: earned value.

Terms as in ISO 21508:2018 (earned value management in project and programme management), from
memory: planned value is the budgeted cost of what should be done by now, earned value of what is
done, actual cost what it took. A forecast at completion takes the job to go on as it went.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Progress:
    """A job in progress; all of one measure, minor units of cost or hours.

    Attributes:
        budget: cost of the whole job as reckoned, with the variations agreed.
        planned: the part of it that should be done by now.
        earned: the part of it that is done.
        actual: what that took.
    """

    budget: Fraction
    planned: Fraction
    earned: Fraction
    actual: Fraction

    @property
    def under_cost(self) -> Fraction:
        """Return earned less actual; below zero it costs more than reckoned."""
        return self.earned - self.actual

    @property
    def ahead(self) -> Fraction:
        """Return earned less planned; below zero it is late."""
        return self.earned - self.planned

    @property
    def cost_index(self) -> Fraction | None:
        """Return earned for each unit spent; None before anything is spent."""
        return self.earned / self.actual if self.actual else None

    @property
    def schedule_index(self) -> Fraction | None:
        """Return earned for each unit planned; None before anything is planned."""
        return self.earned / self.planned if self.planned else None

    @property
    def at_completion(self) -> Fraction | None:
        """Return what the whole job will cost if it goes on like this; None before it has begun."""
        return self.budget / self.cost_index if self.cost_index else None

    @property
    def over_budget(self) -> Fraction | None:
        """Return by how much it will then be above its budget."""
        return None if self.at_completion is None else self.at_completion - self.budget


def from_hours_left(budget: Fraction, actual: Fraction, left: Fraction, planned: Fraction
                    ) -> Progress:
    """Return the progress where a person says what is left instead of what is done.

    Done is then actual / (actual + left) of the budget.
    """
    whole = actual + left
    return Progress(budget, planned, budget * actual / whole if whole else Fraction(0), actual)
