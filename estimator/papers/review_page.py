"""A review as one web page: no network, no script, every picture beside its table, prints on A4."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from estimator.papers import words
from estimator.papers.page_templates import page_template
from estimator.papers.pictures.of_report import left_out, picture
from estimator.papers.pictures.svg import plain_text
from estimator.papers.review_cells import (
    compared_report,
    is_number,
    period,
    rests_on,
    shown,
    sums,
)
from estimator.papers.review_widths import column_widths, pieces
from estimator.review.report import Cell, Report, ReportColumn, Review

if TYPE_CHECKING:
    from markupsafe import Markup


# Letters that have room beside each other on A4, as on a screen at twice the usual size a part of
# them has; a table that is wider is broken into several.
ROOM, BETWEEN, WIDEST_TEXT = 88, 2, 26


@dataclass(frozen=True, slots=True)
class CellView:
    """A cell as it is read, and whether it stands to the right."""

    text: str
    figure: bool


@dataclass(frozen=True, slots=True)
class HeadingView:
    """A column's heading."""

    heading: str
    figure: bool


@dataclass(frozen=True)
class TableView:
    """A table, or those columns of it that have room beside each other."""

    label: str
    caption: str
    columns: tuple[HeadingView, ...]
    rows: tuple[tuple[CellView, ...], ...]
    total: tuple[CellView, ...]


@dataclass(frozen=True)
class ReportView:
    """A report as the page shows it; `about` says which period, where it is not the page's."""

    question: str
    anchor: str
    about: str
    rests_on: str
    answer: tuple[str, ...]
    cautions: tuple[str, ...]
    tables: tuple[TableView, ...]
    picture: Markup | str
    left_out: int
    other: ReportView | None


@dataclass(frozen=True)
class ReviewView:
    """Everything on the page."""

    marking: str
    title: str
    period: str
    filters: tuple[tuple[str, str], ...]
    compared: str
    reports: tuple[ReportView, ...]


def review_page(review: Review) -> str:
    """Return a review as HTML; everything that a person typed is escaped.

    Raises:
        TypeError: for a cell that is not of its column's kind.
    """
    return page_template("review.html").render(review=_view(review))


def _view(review: Review) -> ReviewView:
    other = review.compared
    return ReviewView(
        words.OFFICE_ONLY, plain_text(review.title), period(review),
        tuple((plain_text(name), plain_text(value)) for name, value in review.filters.items()),
        f"{plain_text(other.title)}, {period(other)}" if other else "",
        tuple(_report(review, number, report) for number, report in enumerate(review.reports)))


def _report(review: Review, number: int, report: Report) -> ReportView:
    compared = compared_report(review, report.name)
    other = None
    if compared is not None and review.compared is not None:
        about = f"{review.compared.title}, {period(review.compared)}: {rests_on(compared)}"
        other = _told(compared, f"r{number}c", about, report, None)
    return _told(report, f"r{number}", "", compared, other)


def _told(
    report: Report, anchor: str, about: str, beside: Report | None,
    other: ReportView | None,
) -> ReportView:
    from markupsafe import Markup

    return ReportView(
        plain_text(report.question), anchor, plain_text(about), rests_on(report),
        tuple(map(plain_text, report.answer)), tuple(map(plain_text, report.cautions)),
        _tables(report, about), Markup(picture(report, anchor, beside)),  # escapes what it writes
        left_out(report), other)


def _tables(report: Report, about: str) -> tuple[TableView, ...]:
    if not report.rows:
        return ()
    headings = [HeadingView(plain_text(each.heading), is_number(each)) for each in report.columns]
    rows, total = [_cells(report, row) for row in report.rows], sums(report)
    below = _total(report, total) if total is not None else ()
    texts = [[cell.text for cell in row] for row in (*rows, below) if row]
    widths = column_widths(report.columns, texts, WIDEST_TEXT)
    of = f" of {about}" if about else ""
    found = []
    for number, piece in enumerate(pieces(widths, ROOM, BETWEEN)):
        more = ", continued" if number else ""
        found.append(TableView(
            plain_text(f"Table: {report.question} {about}{more}"),
            plain_text(f"The figures{of}{more}"), tuple(headings[at] for at in piece),
            tuple(tuple(row[at] for at in piece) for row in rows),
            tuple(below[at] for at in piece) if below else ()))
    return tuple(found)


def _cells(report: Report, row: Sequence[Cell]) -> tuple[CellView, ...]:
    return tuple(_cell(cell, column, report.currency)
                 for cell, column in zip(row, report.columns, strict=True))


def _cell(cell: Cell, column: ReportColumn, currency: str) -> CellView:
    return CellView(plain_text(shown(cell, column, currency)), is_number(column))


def _total(report: Report, total: Sequence[Cell]) -> tuple[CellView, ...]:
    cells = [CellView("", is_number(column)) if cell is None
             else _cell(cell, column, report.currency)
             for cell, column in zip(total, report.columns, strict=True)]
    if not cells[0].text:
        cells[0] = CellView("in all", is_number(report.columns[0]))
    return tuple(cells)
