"""A review as a workbook: every figure read back is the report's, and the charts are native."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from datetime import datetime
from functools import cache
from pathlib import Path

import openpyxl
import pytest
from openpyxl.cell.cell import Cell as SheetCell
from openpyxl.worksheet.worksheet import Worksheet

from estimator.papers.review_cells import sums
from estimator.papers.workbook.review_book import ANSWERS, review_workbook, sheet_names
from estimator.papers.workbook.review_sheet import in_cell
from estimator.review.report import Cell, Report, ReportColumn
from tests.papers.reading import formulas, values
from tests.papers.review_sample import EVERY, HEADS, LAST_YEAR, REVIEW, WALLS

BOOK = review_workbook(REVIEW)


@cache  # opened to be looked at, never written
def read(book: bytes = BOOK, *, data_only: bool = True) -> openpyxl.Workbook:
    return openpyxl.load_workbook(io.BytesIO(book), data_only=data_only)


def heads(sheet: Worksheet, report: Report) -> list[int]:
    """The rows of a sheet that hold the report's headings."""
    wanted = [column.heading for column in report.columns]
    return [row[0].row for row in sheet.iter_rows()
            if [cell.value for cell in row[:len(wanted)]] == wanted]


def expected(cell: Cell, column: ReportColumn) -> object:
    if cell is None or cell == "":
        return None
    if isinstance(cell, str):
        return cell
    if column.kind == "date":
        return datetime.fromisoformat(str(cell))
    return in_cell(cell, column)


def tables() -> Iterator[tuple[str, int, Report]]:
    """Sheet, which of its tables, report."""
    for report in EVERY:
        yield report.name, 0, report
    for report in LAST_YEAR.reports:
        yield report.name, 1, report


@pytest.mark.parametrize(("name", "which", "report"), list(tables()))
def test_every_figure_read_back_is_the_report_s(name: str, which: int, report: Report) -> None:
    sheet = read()[name]
    head = heads(sheet, report)[which]
    for number, row in enumerate(report.rows):
        for at, (cell, column) in enumerate(zip(row, report.columns, strict=True)):
            value, wanted = sheet.cell(head + 1 + number, at + 1).value, expected(cell, column)
            if isinstance(wanted, float):  # the file holds sixteen digits
                assert value == pytest.approx(wanted, rel=1e-15)
            else:
                assert value == wanted


@pytest.mark.parametrize(("name", "which", "report"), list(tables()))
def test_sums_are_formulas_with_the_engine_s_figure_beside_them(
    name: str, which: int, report: Report
) -> None:
    written, shown = read(data_only=False)[name], read()[name]
    total = sums(report)
    if total is None:
        return
    row = heads(shown, report)[which] + len(report.rows) + 1
    for at, (cell, column) in enumerate(zip(total, report.columns, strict=True)):
        if column.total:
            letter = shown.cell(row, at + 1).column_letter
            first = row - len(report.rows)
            assert written.cell(row, at + 1).value == f"=SUM({letter}{first}:{letter}{row - 1})"
            assert shown.cell(row, at + 1).value == pytest.approx(in_cell(cell, column), abs=1e-9)


def test_money_is_shown_as_money_and_a_share_in_per_cent() -> None:
    sheet = read()["margin-by-wall"]
    row = heads(sheet, WALLS)[0] + 1
    assert sheet.cell(row, 3).number_format == '"£"#,##0.00'
    assert sheet.cell(row, 4).number_format == "0.0%"


def test_what_begins_like_a_formula_is_text() -> None:
    typed = {"=SUM(A1:A9)", "+Counter South", "@Yard"}
    found: dict[object, str] = {}
    for sheet in read(data_only=False).worksheets:
        for row in sheet.iter_rows():
            for cell in row:
                if isinstance(cell, SheetCell) and cell.value in typed:
                    found[cell.value] = cell.data_type
    assert found == dict.fromkeys(typed, "s")


def test_the_first_sheet_has_every_question_and_answer_with_a_link() -> None:
    sheet = read().worksheets[0]
    assert sheet.title == ANSWERS
    rows = [[cell.value for cell in row] for row in sheet.iter_rows(min_row=6)]
    assert [row[:2] for row in rows] == [
        [report.question, " ".join(report.answer)] for report in EVERY]
    links = [sheet.cell(6 + at, 4).hyperlink for at in range(len(EVERY))]
    assert [link and link.location for link in links] == [f"'{each.name}'!A1" for each in EVERY]


def charts() -> list[str]:
    with zipfile.ZipFile(io.BytesIO(BOOK)) as packed:
        return [packed.read(f"xl/charts/chart{at + 1}.xml").decode()
                for at in range(sum(name.startswith("xl/charts/chart")
                                    for name in packed.namelist()))]


def test_charts_are_native_and_drawn_over_the_cells_of_the_table() -> None:
    # One for each report that has one, and for the compared ones: 8 and 2.
    found = charts()
    assert len(found) == 10
    kinds = [re.findall(r"<c:(barChart|lineChart|scatterChart)>", each)[0] for each in found]
    assert sorted(kinds) == ["barChart"] * 7 + ["lineChart"] * 3
    sheets = {name for each in found for name in re.findall(r"<c:f>'?([a-z-]+)'?!", each)}
    assert sheets == {report.name for report in EVERY if report.chart}


def test_a_waterfall_stands_on_columns_that_are_not_seen() -> None:
    found = next(each for each in charts() if "quoted-to-actual" in each)
    assert '<c:grouping val="stacked"/>' in found
    first = found.split("<c:ser>")[1]
    assert "<a:noFill/>" in first
    assert found.count("<c:legendEntry>") == 5


def test_a_waterfall_of_many_steps_lies_so_that_its_names_have_room() -> None:
    many = replace(HEADS, rows=(("quoted", 900), *((f"step {at}", -10) for at in range(20)),
                                ("made", 700)))
    book = review_workbook(replace(REVIEW, reports=(many,), compared=None))
    with zipfile.ZipFile(io.BytesIO(book)) as packed:
        drawn = packed.read("xl/charts/chart1.xml").decode()
    assert '<c:barDir val="bar"/>' in drawn
    assert "<c:legend>" not in drawn
    assert "hatched: steps down" in drawn


def test_intervals_are_error_bars_over_cells() -> None:
    found = [each for each in charts() if "<c:errBars>" in each]
    assert len(found) == 4
    assert all('<c:errValType val="cust"/>' in each for each in found)


def test_it_prints_across_a4_with_the_headings_on_every_page() -> None:
    for sheet, report in zip(read().worksheets[1:], EVERY, strict=True):
        assert (sheet.page_setup.orientation, int(sheet.page_setup.paperSize)) == ("landscape", 9)
        head = heads(sheet, report)[0]
        assert sheet.print_title_rows == f"${head}:${head}"
        assert sheet.sheet_properties.pageSetUpPr.fitToPage


def test_sheets_have_names_that_a_workbook_takes() -> None:
    def named(*names: str) -> list[str]:
        return sheet_names([replace(WALLS, name=name) for name in names])

    assert named("margin-by-wall", "Answers", "a" * 40, "a" * 41) == [
        "margin-by-wall", "Answers 2", "a" * 31, "a" * 29 + " 2"]
    assert named("[b]:*?/\\'") == ["-b-------"[:9]]


def test_the_same_review_gives_the_same_bytes() -> None:
    assert review_workbook(REVIEW) == BOOK


def without_charts(book: bytes) -> dict[tuple[str, str], object]:
    """As `values`; openpyxl cannot read the charts that the spreadsheet program writes."""
    opened = openpyxl.load_workbook(io.BytesIO(book), data_only=True, read_only=True)
    return {(sheet.title, cell.coordinate): cell.value for sheet in opened.worksheets
            for row in sheet.iter_rows() for cell in row if cell.value is not None}


@pytest.mark.office
def test_a_spreadsheet_program_calculates_the_same_figures(
    saved_as: Callable[[Mapping[str, bytes], str], dict[str, Path]],
) -> None:
    again = saved_as({"review": BOOK}, "xlsx")["review"].read_bytes()
    before, after = values(BOOK), without_charts(again)
    calculated = [at for at, text in formulas(BOOK).items()
                  if str(text).startswith("=") and text != "=SUM(A1:A9)"]
    assert len(calculated) > 60
    for at in calculated:
        assert after[at] == pytest.approx(before[at], abs=1e-9), at
    numbers = [at for at, value in before.items() if isinstance(value, int | float)]
    for at in numbers:
        assert after[at] == pytest.approx(before[at], abs=1e-12), at
