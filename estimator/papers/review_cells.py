"""The cells of a report, written out for people and for machines; sums of its columns."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from estimator.papers import words
from estimator.papers.exact_json import rounded, whole_or_text
from estimator.review.report import Cell, Report, ReportColumn, Review

NO_FIGURE = "-"
PLACES = 6  # of shares, hours and numbers in JSON

JsonCell = int | str | bool | None


def is_number(column: ReportColumn) -> bool:
    """Return whether the cells of a column are figures, which stand to the right."""
    return column.kind in ("money", "share", "hours", "number", "count")


def shown(cell: Cell, column: ReportColumn, currency: str) -> str:
    """Return a cell as a person reads it; "-" where there is no figure.

    Raises:
        TypeError: for a cell that is not of its column's kind, such as money with a fraction.
    """
    if cell is None or cell == "":
        return NO_FIGURE
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, date):
        return cell.isoformat()
    if isinstance(cell, str):
        return cell
    if column.kind == "money":
        return words.money(minor_of(cell), currency)
    number = exact_of(cell)
    if column.kind == "share":
        return words.percent(number)
    if column.kind == "hours":
        return words.hours(rounded(number, PLACES))
    if column.kind == "count" and number.denominator == 1:
        return f"{number.numerator:,}"
    return words.measure(rounded(number, PLACES))


def for_machines(cell: Cell, column: ReportColumn) -> JsonCell:
    """Return a cell as it stands in JSON: money in minor units, other numbers exact.

    Raises:
        TypeError: for money that is not a whole number of minor units.
    """
    if cell is None or isinstance(cell, str | bool):
        return cell
    if isinstance(cell, date):
        return cell.isoformat()
    if column.kind == "money":
        return minor_of(cell)
    return whole_or_text(rounded(exact_of(cell), PLACES))


def exact_of(cell: Cell) -> Fraction:
    """Return a figure as a fraction; a float is taken as the binary fraction it is.

    Raises:
        TypeError: for a cell that is no figure.
    """
    if isinstance(cell, bool) or not isinstance(cell, int | Decimal | Fraction | float):
        raise TypeError(f"{cell!r} is no figure")
    return Fraction(cell)


def minor_of(cell: Cell) -> int:
    """Return money as whole minor units.

    Raises:
        TypeError: for anything but a whole number.
    """
    if type(cell) is not int:
        raise TypeError(f"money is a whole number of minor units, not {cell!r}")
    return cell


def sums(report: Report) -> tuple[Cell, ...] | None:
    """Return what stands below the table: the sums of the columns that may be added up.

    Blank in all other columns; None where there is nothing to add up.
    """
    if len(report.rows) < 2 or not any(column.total for column in report.columns):
        return None
    return tuple(_sum(report.column(column.key)) if column.total else None
                 for column in report.columns)


def _sum(cells: Sequence[Cell]) -> Cell:
    total = sum((exact_of(cell) for cell in cells if cell is not None), Fraction(0))
    return total.numerator if total.denominator == 1 else total


def compared_report(review: Review, name: str) -> Report | None:
    """Return the same report of the other period, if one was asked for."""
    others = review.compared.reports if review.compared else ()
    return next((each for each in others if each.name == name), None)


def period(review: Review) -> str:
    """Return the period in words."""
    first, last = review.period
    return words.day(first) if first == last else f"{words.day(first)} to {words.day(last)}"


def narrowed(review: Review) -> str:
    """Return what the jobs were narrowed to: "crew: north; wall: brick"; "" for all jobs."""
    return "; ".join(f"{name}: {value}" for name, value in review.filters.items())


def rests_on(report: Report) -> str:
    """Return how many jobs a report rests on."""
    return f"{report.jobs:,} job{'' if report.jobs == 1 else 's'}"
