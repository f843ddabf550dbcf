"""How wide the columns of a report are, and which stand beside each other where not all can.

A table that is too wide for its paper is broken into several, each led by the first column again.
"""

from __future__ import annotations

from collections.abc import Sequence

from estimator.review.report import ReportColumn


def column_widths(
    columns: Sequence[ReportColumn], rows: Sequence[Sequence[str]], widest_text: int
) -> list[int]:
    """Return the letters that each column takes: figures whole, texts up to a width.

    A heading may be broken between its words.
    """
    widths = []
    for at, column in enumerate(columns):
        longest = max((len(row[at]) for row in rows), default=0)
        wide = max([longest, *map(len, column.heading.split())])
        widths.append(min(wide, widest_text) if column.kind == "text" else wide)
    return widths


def pieces(widths: Sequence[int], room: int, between: int) -> list[list[int]]:
    """Return which columns stand beside each other within the room; the first leads each piece."""
    found = [[0]]
    for at in range(1, len(widths)):
        if wide([widths[each] for each in (*found[-1], at)], between) > room and (
                len(found[-1]) > 1):
            found.append([0])
        found[-1].append(at)
    return found


def wide(widths: Sequence[int], between: int) -> int:
    """Return how wide columns are beside each other."""
    return sum(widths) + between * (len(widths) - 1)
