"""From where to where each row of a report is drawn, whatever draws it."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from estimator.papers.review_cells import exact_of
from estimator.review.report import Cell, Report

Span = tuple[Fraction, Fraction]


def figure(cell: Cell) -> Fraction | None:
    """Return a figure as a fraction; None stays None."""
    return None if cell is None else exact_of(cell)


def bars_from_zero(report: Report, key: str) -> list[Span | None]:
    """Return the bar of each row; None where it has no figure."""
    figures = map(figure, report.column(key))
    return [None if each is None else (Fraction(0), each) for each in figures]


def steps(report: Report, key: str) -> list[Span | None]:
    """Return where each step of a waterfall starts and ends; first and last start at zero."""
    spans: list[Span | None] = []
    at, last = Fraction(0), len(report.rows) - 1
    for number, cell in enumerate(report.column(key)):
        step = figure(cell) or Fraction(0)
        start = Fraction(0) if number in (0, last) else at
        at = start + step
        spans.append((start, at))
    return spans


def intervals(report: Report) -> list[Span | None]:
    """Return low and high of each row; None where the picture has no interval."""
    chart = report.chart
    if chart is None or chart.low is None or chart.high is None:
        return [None] * len(report.rows)
    ends = zip(map(figure, report.column(chart.low)), map(figure, report.column(chart.high)),
               strict=True)
    return [None if low is None or high is None else (low, high) for low, high in ends]


def stacks(report: Report, keys: Sequence[str]) -> dict[str, list[Span | None]]:
    """Return each row's bars by key, one on the other; those below zero grow the other way."""
    found: dict[str, list[Span | None]] = {key: [] for key in keys}
    columns = {key: report.column(key) for key in keys}
    for row in range(len(report.rows)):
        above = below = Fraction(0)
        for key in keys:
            each = figure(columns[key][row])
            if each is None:
                found[key].append(None)
            elif each >= 0:
                found[key].append((above, above + each))
                above += each
            else:
                found[key].append((below, below + each))
                below += each
    return found
