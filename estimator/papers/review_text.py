"""A review for the terminal: question, answer, table with a drawing in plain signs, cautions."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from estimator.papers.review_cells import (
    compared_report,
    is_number,
    narrowed,
    period,
    rests_on,
    shown,
    sums,
)
from estimator.papers.review_signs import drawing
from estimator.papers.review_widths import column_widths, pieces, wide
from estimator.papers.terminal import BETWEEN, INDENT, WIDTH, clean, shortened, wrapped
from estimator.review.report import Cell, Report, ReportColumn, Review

LEAST_TEXT = 10  # letters that a name keeps, however many columns there are
LEAST_FIRST = 26  # of the first column, which says what a row is about
WIDEST_TEXT, BROKEN_TEXT = 40, 28
DRAWN_LEAST, DRAWN_MOST = 15, 32  # letters of the drawing beside a table
ROOM = WIDTH - len(INDENT)
NO_ROWS = "Nothing to show."

Lines = list[list[str]]


def review_text(review: Review) -> str:
    """Return a review as text of at most 100 columns."""
    lines = [*_head(review)]
    for report in review.reports:
        lines += ["", *_report(report, review)]
    return clean("\n".join(lines)) + "\n"


def _head(review: Review) -> Iterator[str]:
    yield from wrapped(f"{review.title}: {period(review)}", "")
    if review.filters:
        yield from wrapped(narrowed(review), f"{INDENT}only ")
    if review.compared:
        yield from wrapped(f"{review.compared.title}: {period(review.compared)}",
                           f"{INDENT}compared with ")


def _report(report: Report, review: Review) -> Iterator[str]:
    yield from wrapped(report.question.upper(), "")
    yield f"{INDENT}[{shortened(report.name, WIDTH - 20)}, {rests_on(report)}]"
    yield from _told(report)
    other = compared_report(review, report.name)
    if other and review.compared:
        yield ""
        yield from wrapped(f"{review.compared.title}, {rests_on(other)}:", INDENT)
        yield from _told(other)


def _told(report: Report) -> Iterator[str]:
    for sentence in report.answer:
        yield from wrapped(sentence, INDENT)
    yield ""
    yield from _table(report) if report.rows else [f"{INDENT}{NO_ROWS}"]
    if report.cautions:
        yield ""
    for caution in report.cautions:
        yield from wrapped(caution, f"{INDENT}look at: ")


def _table(report: Report) -> Iterator[str]:
    """Yield the table; one that is too wide is broken into several with the first column again."""
    rows = [_texts(report, row) for row in report.rows]
    total = sums(report)
    if total is not None:
        rows.append([cell or "in all" if at == 0 and not report.columns[0].total else cell
                     for at, cell in enumerate(_texts(report, total, blank=""))])
    widths = _widths(report.columns, rows)
    broken = pieces(widths, ROOM, BETWEEN)
    for number, piece in enumerate(broken):
        if number:
            yield ""
        held = _held(report.columns, rows, widths, piece)
        if number == len(broken) - 1:
            room = WIDTH - max(map(len, held)) - 3
            held = _drawn(report, held, len(rows), min(room, DRAWN_MOST))
        yield from (line.rstrip() for line in held)


def _texts(report: Report, row: Sequence[Cell], blank: str | None = None) -> list[str]:
    return [
        blank if blank is not None and cell is None
        else " ".join(shown(cell, column, report.currency).split())
        for cell, column in zip(row, report.columns, strict=True)]


def _widths(columns: Sequence[ReportColumn], rows: Lines) -> list[int]:
    """Return the width of each column: texts are cut so that the table fits, if it can."""
    widths = column_widths(columns, rows, WIDEST_TEXT)
    texts = [at for at, column in enumerate(columns) if column.kind == "text"]
    least = {at: min(LEAST_TEXT if at else LEAST_FIRST, widths[at]) for at in texts}
    if wide([least.get(at, width) for at, width in enumerate(widths)], BETWEEN) > ROOM:
        return [min(width, BROKEN_TEXT) if at in texts else width
                for at, width in enumerate(widths)]  # it is broken into several in any case
    while texts and wide(widths, BETWEEN) > ROOM:
        widest = max(texts, key=lambda at: (widths[at] - least[at], -at))
        if widths[widest] <= least[widest]:
            break
        widths[widest] -= 1
    return widths


def _held(
    columns: Sequence[ReportColumn], rows: Lines, widths: Sequence[int], piece: Sequence[int]
) -> list[str]:
    headings = [textwrap.wrap(columns[at].heading, widths[at]) or [""] for at in piece]
    high = max(map(len, headings))
    above = [["" for _ in range(high - len(each))] + each for each in headings]
    lines = [[each[line] for each in above] for line in range(high)]
    lines += [[row[at] for at in piece] for row in rows]
    return [
        INDENT + (BETWEEN * " ").join(
            shortened(cell, widths[at]).rjust(widths[at]) if is_number(columns[at])
            else shortened(cell, widths[at]).ljust(widths[at])
            for cell, at in zip(line, piece, strict=True))
        for line in lines]


def _drawn(report: Report, held: Sequence[str], rows: int, room: int) -> list[str]:
    """Return the lines of a table with a drawing of its rows to the right, where there is room."""
    if room < DRAWN_LEAST or len(report.rows) < 2:
        return list(held)
    signs = drawing(report, room)
    if not signs:
        return list(held)
    above = len(held) - rows
    beside = ["" for _ in range(above)] + signs
    return [f"{line}   {beside[at]}" if at < len(beside) else line
            for at, line in enumerate(held)]
