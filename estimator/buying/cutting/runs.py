"""Runs of trunking and conduit cut from whole bars: joints may lie anywhere."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from math import ceil

from estimator.buying.cutting.lines import LinePlan, cut_lines
from estimator.buying.cutting.model import Bar, Offcuts, Task
from estimator.buying.cutting.sawing import Sawing
from estimator.buying.cutting.splits import Line


def cut_runs(
    runs: Sequence[tuple[str, Decimal]], bar_m: Decimal, price_minor: int, code: str,
    sawing: Sawing,
) -> LinePlan:
    """Return the fewest bars that give all runs, each joined of whole bars and an end.

    Args:
        runs: name and length in metres of each; runs of nothing are left out.
        bar_m: length of a bar in metres.
        price_minor: price of a bar, in minor units.
        code: item code of the bar.
        sawing: saw cut, shortest piece and shortest offcut to keep.
    """
    groups: dict[int, list[str]] = {}
    for name, length in runs:
        if length > 0:
            groups.setdefault(ceil(Fraction(length) * 1000), []).append(name)
    lines = [Line(length, len(names), "", sawing.least_mm - 1, 0, tuple(names))
             for length, names in sorted(groups.items(), reverse=True)]
    bar = Bar(int(bar_m * 1000), price_minor, code)
    return cut_lines(lines, Task((), (bar,), kerf_mm=sawing.kerf_mm,
                                 offcuts=Offcuts(sawing.keep_mm)), 0)
