"""Dimension lines: from where to where, in millimetres of the house, with the figure on the line.

As usual in technical drawing (ISO 129-1, from memory): thin lines with arrow heads between
extension lines, the figure above its line and, on upright ones, read from the right. A figure that
is wider than its line stands beside the line, one step further out than its neighbour's.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from estimator.papers.drawings.page import THIN, Page
from estimator.papers.pictures.svg import text_wide

SIZE = 2.3
STEP = 3.4  # from the figure of one level to that of the next
OVER = 1.0  # of the extension line past the dimension line


@dataclass(frozen=True, slots=True)
class View:
    """Where a drawing lies on the sheet: house millimetres, y upwards, to paper millimetres."""

    left: float
    bottom: float
    scale: int

    def x(self, mm: float) -> float:
        """Return the place on paper of a distance to the right."""
        return self.left + mm / self.scale

    def y(self, mm: float) -> float:
        """Return the place on paper of a height."""
        return self.bottom - mm / self.scale


def across(page: Page, view: View, marks_mm: Sequence[int], at: float, *, away: int = 1,
           to: float | None = None) -> float:
    """Draw a chain of dimensions along x and return where it ends on paper.

    Args:
        marks_mm: from mark to mark, in order.
        at: height of the line on paper.
        away: 1 if figures that find no room go down, -1 if up.
        to: height on paper at which extension lines begin; None = none are drawn.
    """
    marks = list(dict.fromkeys(marks_mm))
    for mark in marks:
        if to is not None:
            page.line(view.x(mark), to, view.x(mark), at + away * OVER)
    levels: list[float] = []
    for low, high in pairwise(marks):
        a, b = view.x(low), view.x(high)
        words = str(high - low)
        long = text_wide(words, SIZE)
        page.line(a, at, b, at, what=f"dimension {words}")
        _heads(page, a, b, at, upright=False)
        middle = (a + b) / 2
        if b - a >= long + 1.0:
            page.words(middle, at - 0.7, words, SIZE, "middle", clear=True)
            continue
        level = _level(levels, middle - long / 2, middle + long / 2)
        page.words(middle, at + away * (level * STEP) + (2.6 if away > 0 else -1.0), words, SIZE,
                   "middle", clear=True)
    return at + away * (STEP * (len(levels) + 1))


def up(page: Page, view: View, marks_mm: Sequence[int], at: float, *, away: int = -1,
       to: float | None = None) -> float:
    """Draw a chain of dimensions along y and return where it ends on paper; see `across`.

    Args:
        away: -1 if figures that find no room go to the left, 1 if to the right.
    """
    marks = list(dict.fromkeys(marks_mm))
    for mark in marks:
        if to is not None:
            page.line(to, view.y(mark), at + away * OVER, view.y(mark))
    levels: list[float] = []
    for low, high in pairwise(marks):
        a, b = view.y(high), view.y(low)
        words = str(high - low)
        long = text_wide(words, SIZE)
        page.line(at, a, at, b, what=f"dimension {words}")
        _heads(page, a, b, at, upright=True)
        middle = (a + b) / 2
        if b - a >= long + 1.0:
            page.words(at - 0.7, middle, words, SIZE, "middle", turned=True, clear=True)
            continue
        level = _level(levels, middle - long / 2, middle + long / 2)
        page.words(at + away * (level * STEP) + (2.6 if away > 0 else -1.0), middle, words, SIZE,
                   "middle", turned=True, clear=True)
    return at + away * (STEP * (len(levels) + 1))


def _level(levels: list[float], low: float, high: float) -> int:
    """Return the first level whose figures end before this one, and note where it ends now."""
    for level, end in enumerate(levels):
        if end <= low - 0.6:
            levels[level] = high
            return level
    levels.append(high)
    return len(levels) - 1


def _heads(page: Page, a: float, b: float, at: float, *, upright: bool) -> None:
    """Draw both arrow heads inside where there is room, else short slashes."""
    if b - a >= 5:
        for end, sign in ((a, -1), (b, 1)):
            if upright:
                page.arrow(at, end, 0, sign)
            else:
                page.arrow(end, at, sign, 0)
        return
    for end in (a, b):
        x, y = (at, end) if upright else (end, at)
        page.line(x - 0.7, y + 0.7, x + 0.7, y - 0.7, line=2 * THIN)
