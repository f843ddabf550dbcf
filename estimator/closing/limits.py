"""Limits of a practice pack in force on a day; one that the pack does not state is unknown."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from catalogue.problems import ProblemsFound
from estimator.practice.pack import Practice
from estimator.practice.tables import PracticeTable


@dataclass(frozen=True)
class Limits:
    """The limits of a pack on a day."""

    practice: Practice
    on: date

    def number(self, name: str) -> Fraction | None:
        """Return a number; None where the pack has none on the day."""
        found = self.practice.at(name, self.on)
        if found is None or not isinstance(found.value, Decimal):
            return None
        return Fraction(found.value)

    def table(self, name: str) -> PracticeTable | None:
        """Return a table; None where the pack has none on the day."""
        try:
            return self.practice.table(name, self.on)
        except ProblemsFound:
            return None
