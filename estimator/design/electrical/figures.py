"""Figures of the practice pack on a day: each an exact number with its unit and its source."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from estimator.design.limits import Figure, Number
from estimator.practice.pack import Practice
from estimator.practice.tables import PracticeTable


class OutsideTableError(ValueError):
    """A printed table has no figure for this case; a person must decide.

    Attributes:
        source: where the table is printed, or what else falls short.
    """

    def __init__(self, says: str, source: str = "the practice pack") -> None:
        super().__init__(says)
        self.source = source


@dataclass(frozen=True, slots=True)
class Figures:
    """The figures of a practice pack that hold on the day of the design."""

    practice: Practice
    on: date

    def number(self, name: str) -> Figure:
        """Return a single value.

        Raises:
            ProblemsFound: P020 if the pack has none on that day, P021 if it is no number.
        """
        number, value = self.practice.number(name, self.on), self.practice.needed(name, self.on)
        return Figure(Fraction(number), value.unit, value.source, value.decides)

    def keys(self, table: str, column: str) -> tuple[Fraction, ...]:
        """Return the number keys of the rows that are not blank in a column, rising."""
        cells = self._table(table).column(column)
        return tuple(Fraction(key) for key in cells if isinstance(key, Decimal))

    def first_column(self, table: str) -> tuple[Fraction, ...]:
        """Return every number key of a table, rising."""
        return tuple(Fraction(key) for key in self._table(table).keys if isinstance(key, Decimal))

    def has(self, table: str, column: str) -> bool:
        """Return whether a table has a column."""
        return column in self._table(table).columns[1:]

    def cell(self, table: str, key: Number | str, column: str) -> Figure:
        """Return the cell of a row.

        Raises:
            OutsideTableError: if there is no such row or column, or the cell is blank.
        """
        read = self._table(table)
        if column not in read.columns[1:]:
            raise OutsideTableError(
                f"{read.source}: {read.meaning}: no column '{column}'", read.source)
        wanted = key if isinstance(key, str) else Fraction(key)
        for at, cell in read.column(column).items():
            here = Fraction(at) if isinstance(at, Decimal) else at
            if here == wanted and isinstance(cell, Decimal):
                return Figure(Fraction(cell), read.unit, read.source, read.decides)
        named = key if isinstance(key, str) else f"{float(key):g}"
        raise OutsideTableError(
            f"{read.source}: {read.meaning}: no figure for {named}", read.source)

    def step_up(self, table: str, at: Number, column: str, hold: bool = False) -> Figure:
        """Return the cell of the first row at or above a number: between steps the next one.

        Args:
            hold: whether the last row also serves beyond it ("and more").

        Raises:
            OutsideTableError: above the last row, unless it holds.
        """
        keys = self.keys(table, column)
        above = next((key for key in keys if key >= at), keys[-1] if hold else None)
        if above is None:
            read = self._table(table)
            raise OutsideTableError(
                f"{read.source}: {read.meaning}: {float(at):g} is beyond {float(keys[-1]):g}",
                read.source)
        return self.cell(table, above, column)

    def step_down(self, table: str, at: Number, column: str) -> Figure:
        """Return the cell of the last row at or below a number.

        Raises:
            OutsideTableError: below the first row.
        """
        keys = self.keys(table, column)
        below = next((key for key in reversed(keys) if key <= at), None)
        if below is None:
            read = self._table(table)
            raise OutsideTableError(
                f"{read.source}: {read.meaning}: {float(at):g} is below {float(keys[0]):g}",
                read.source)
        return self.cell(table, below, column)

    def _table(self, name: str) -> PracticeTable:
        return self.practice.table(name, self.on)
