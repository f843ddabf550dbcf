"""A report's picture in plain signs, one line a row: |#### a bar, #####| one below zero, -o-."""

from __future__ import annotations

from fractions import Fraction

from estimator.papers.review_spans import Span, bars_from_zero, intervals, steps
from estimator.review.report import Report

AXIS, BAR, SPAN, POINT = "|", "#", "-", "o"


def drawing(report: Report, wide: int) -> list[str]:
    """Return the picture of each row in so many letters; none where signs would not help.

    A waterfall's steps stand where the row before ended. Lines and stacks are not drawn.
    """
    chart = report.chart
    if chart is None or len(chart.values) != 1 or chart.picture in ("line", "stacked bars"):
        return []
    key = chart.values[0]
    spans = steps(report, key) if chart.picture == "waterfall" else bars_from_zero(report, key)
    between = intervals(report)
    every = [each for span in (*spans, *between) if span is not None for each in span]
    if not every:
        return []
    low, high = min(Fraction(0), *every), max(Fraction(0), *every)
    if low == high:
        return []

    scale = _Scale(low, high, wide)
    lines = []
    for span, interval in zip(spans, between, strict=True):
        signs = [" "] * wide
        signs[scale.at(Fraction(0))] = AXIS
        if span is not None and chart.picture != "points":
            scale.fill(signs, span, BAR)
        if interval is not None:
            scale.fill(signs, interval, SPAN)
        if span is not None and (interval is not None or chart.picture == "points"):
            signs[scale.at(span[1])] = POINT
        lines.append("".join(signs).rstrip())
    return lines


class _Scale:
    """Where a value stands in a line of letters."""

    def __init__(self, low: Fraction, high: Fraction, wide: int) -> None:
        self._low, self._step = low, (high - low) / (wide - 1)

    def at(self, value: Fraction) -> int:
        return round((value - self._low) / self._step)

    def fill(self, signs: list[str], span: Span, sign: str) -> None:
        """Fill from one end of a span to the other; the axis stays in sight."""
        first, last = sorted(map(self.at, span))
        for at in range(first, last + 1):
            if signs[at] != AXIS:
                signs[at] = sign
