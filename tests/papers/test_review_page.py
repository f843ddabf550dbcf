"""A review as one page: every figure is the report's, nothing runs, nothing is fetched."""

from __future__ import annotations

import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest
from hypothesis import given, settings

from estimator.papers.pictures import svg
from estimator.papers.pictures.svg import plain_text
from estimator.papers.review_cells import shown, sums
from estimator.papers.review_page import review_page
from estimator.review.report import Report
from tests.papers.review_sample import EVERY, LAST_YEAR, REVIEW, WALLS, column
from tests.papers.test_pictures import reports

PAGE = review_page(REVIEW)
CSS = Path(__file__).parents[2] / "estimator" / "papers" / "templates" / "review.css"


class Reader(HTMLParser):
    """Reads tables as rows of texts; notes tags, names, links, the order of pictures and tables."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tables: list[list[list[str]]] = []
        self.order: list[str] = []
        self.names: list[str] = []
        self.ids: list[str] = []
        self.links: list[str] = []
        self._cell: list[str] | None = None
        self.open: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.names.append(tag)
        self.ids += [str(value) for name, value in attrs if name == "id"]
        self.links += [str(value) for name, value in attrs if name in ("href", "src")]
        if tag != "meta":
            self.open.append(tag)
        if tag in ("svg", "table"):
            self.order.append(tag)
        if tag == "table":
            self.tables.append([])
        elif tag == "tr":
            self.tables[-1].append([])
        elif tag in ("td", "th"):
            self._cell = []

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag
        if tag in ("td", "th") and self._cell is not None:
            self.tables[-1][-1].append("".join(self._cell))
            self._cell = None

    def handle_data(self, data: str) -> None:
        if self._cell is not None:
            self._cell.append(data)


def rejoined(tables: list[list[list[str]]]) -> list[list[str]]:
    """The one table of a page, which may be broken into several."""
    whole = tables[0]
    for table in tables[1:]:
        whole = [[*row, *rest[1:]] for row, rest in zip(whole, table, strict=True)]
    return whole


def as_told(report: Report) -> list[list[str]]:
    rows = [[plain_text(column.heading) for column in report.columns]]
    rows += [[plain_text(shown(cell, column, report.currency))
              for cell, column in zip(row, report.columns, strict=True)] for row in report.rows]
    total = sums(report)
    if total is not None:
        rows.append(["" if cell is None else shown(cell, column, report.currency)
                     for cell, column in zip(total, report.columns, strict=True)])
        rows[-1][0] = rows[-1][0] or "in all"
    return rows


def in_page_order() -> list[Report]:
    others = {each.name: each for each in LAST_YEAR.reports}
    return [each for report in EVERY for each in (report, others.get(report.name))
            if each is not None and each.rows]


def test_every_figure_is_the_report_s() -> None:
    assert Reader(PAGE).tables == [as_told(report) for report in in_page_order()]


def test_a_table_wider_than_its_paper_is_broken_into_several_and_loses_no_column() -> None:
    columns = (column("job", "Job"),
               *(column(f"m{at}_minor", f"Amount {at}", "money", total=True) for at in range(12)))
    wide = Report("wide", "Wide?", (), columns,
                  tuple((f"J-{row}", *(row * 10_000 + at for at in range(12))) for row in range(3)),
                  "GBP", 3)
    tables = Reader(review_page(replace(REVIEW, reports=(wide,), compared=None))).tables
    assert len(tables) > 1
    for table in tables:  # figures; a heading may be broken between its words
        assert sum(max(map(len, cells)) + 2 for cells in zip(*table[1:], strict=True)) <= 90
    assert rejoined(tables) == as_told(wide)


def test_every_picture_stands_before_its_table() -> None:
    wanted = [tag for report in in_page_order()
              for tag in (("svg", "table") if report.chart else ("table",))]
    assert Reader(PAGE).order == wanted


def test_the_page_needs_no_script_and_no_network() -> None:
    read = Reader(PAGE)
    assert {"script", "link", "img", "iframe", "object"}.isdisjoint(read.names)
    assert all(link.startswith("#") for link in read.links)
    assert "url(" not in PAGE.replace("url(#", "")
    assert "@import" not in PAGE
    assert "default-src 'none'" in PAGE


def test_every_name_in_the_page_is_there_once_and_links_lead_to_one() -> None:
    read = Reader(PAGE)
    assert len(set(read.ids)) == len(read.ids)
    assert {link.removeprefix("#") for link in read.links} <= set(read.ids)
    assert set(re.findall(r'url\(#([^)]+)\)', PAGE)) <= set(read.ids)


def test_what_a_person_typed_is_escaped() -> None:
    assert "<script>" not in PAGE
    assert "&lt;script&gt;" in PAGE
    assert "<b>" not in PAGE


def test_questions_answers_and_cautions_are_all_told() -> None:
    for report in EVERY:
        for text in (report.question, *report.answer, *report.cautions):
            assert str(text).replace("'", "&#39;") in PAGE


@given(reports())
@settings(max_examples=40, deadline=None)
def test_whatever_names_and_figures_the_page_is_well_formed(report: Report) -> None:
    read = Reader(review_page(replace(REVIEW, reports=(report,), compared=None)))
    assert read.open == []
    assert [[plain_text(cell) for cell in row] for row in rejoined(read.tables)] == as_told(report)


def lightness(colour: str) -> float:
    """Relative luminance of WCAG 2.1, from memory."""
    parts = [int(colour[at:at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (each / 12.92 if each <= 0.04045 else ((each + 0.055) / 1.055) ** 2.4
                        for each in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize("colour", sorted(
    {svg.DARK, svg.QUIET, svg.INK}
    | set(re.findall(r"[{; ]color: (#[0-9a-f]{6})", CSS.read_text(encoding="utf-8")))))
def test_letters_stand_out_from_the_paper(colour: str) -> None:
    # WCAG 2.1, success criterion 1.4.3: at least 4.5 to 1, on white.
    assert 1.05 / (lightness(colour) + 0.05) >= 4.5


def test_letters_of_pictures_have_no_other_colour() -> None:
    assert set(re.findall(r'<text[^>]* fill="([^"]+)"', PAGE)) <= {svg.DARK, svg.QUIET}


def test_a_name_from_right_to_left_keeps_to_its_cell() -> None:
    assert f"<bdi>{WALLS.rows[2][0]}</bdi>" in PAGE


def test_the_same_review_gives_the_same_page() -> None:
    assert review_page(REVIEW) == PAGE
