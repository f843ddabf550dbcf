"""From where to where each row of a report is drawn, whatever draws it."""

from __future__ import annotations

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
