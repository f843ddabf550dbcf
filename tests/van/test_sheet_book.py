"""The workbook of a sheet: A4, headings on each page, locked but for its boxes, text as text."""

from __future__ import annotations

import io
from typing import Any

import openpyxl
import pytest

from estimator.papers.sheets.book import sheet_workbook
from estimator.papers.sheets.pages import Box
from estimator.papers.sheets.pick_pages import pick_pages, written_on
from tests.van.desks import Desk

LIKE_FORMULAS = ("=1+1", "+44 20", "-5", "@home")


def opened(book: bytes) -> Any:
    return openpyxl.load_workbook(io.BytesIO(book))


@pytest.fixture(scope="module")
def book(issued_template: Desk) -> Any:
    return opened(issued_template.book)


def test_every_page_prints_on_a4_across_its_width_with_its_headings_on_each_sheet(
    book: Any
) -> None:
    assert book.sheetnames == [
        "Pick", "Boxes", "Shortages", "Van", "Cuts", "Tools and cautions", "Sheet"]
    for page in book.worksheets[:-1]:
        setup = page.page_setup
        assert (int(setup.paperSize), setup.orientation) == (9, "landscape")
        assert (setup.fitToWidth or 1, setup.fitToHeight) == (1, 0)  # the file leaves a 1 out
        assert page.print_title_rows
        assert "licensed practice decide" in page.oddFooter.left.text
    assert book["Sheet"].sheet_state == "hidden"


def test_only_the_boxes_are_unlocked_and_they_have_a_thick_edge(
    book: Any, issued_template: Desk
) -> None:
    made = issued_template.made
    for page in written_on(made.sheet, made.issued):
        sheet = book[page.name]
        assert sheet.protection.sheet
        for at, row in enumerate(page.rows, page.header_row + 1):
            for column, content in enumerate(page.cells(row), 1):
                cell = sheet.cell(at, column)
                is_box = isinstance(content, Box)
                assert cell.protection.locked is not is_box, cell.coordinate
                if is_box:
                    assert cell.border.left.style == "medium"


def test_words_may_be_chosen_and_a_number_is_asked_for(book: Any) -> None:
    kinds = {check.type for check in book["Pick"].data_validations.dataValidation}
    assert kinds == {"list", "custom"}


def test_text_that_looks_like_a_formula_goes_out_as_text(issued_template: Desk) -> None:
    made = issued_template.made
    rows = [row.model_copy(update={"name": LIKE_FORMULAS[n % 4], "bin": LIKE_FORMULAS[n % 4],
                                   "lot": LIKE_FORMULAS[n % 4]})
            for n, row in enumerate(made.sheet.rows)]
    sheet = made.sheet.model_copy(update={"title": "=cmd()", "rows": tuple(rows)})
    again = opened(sheet_workbook(sheet, made.issued, pick_pages(sheet, made.issued, ())))
    formulas = [(cell.coordinate, cell.value) for cells in again["Pick"].iter_rows()
                for cell in cells if cell.data_type == "f"]
    assert all(value.startswith('=IF(M') for _, value in formulas)
    assert again["Pick"]["A2"].data_type == "s"
    assert again["Pick"]["A2"].value.startswith("=cmd()")
    said = {cell.value for cells in again["Pick"].iter_rows(min_row=8) for cell in cells}
    assert said.issuperset(LIKE_FORMULAS)


def test_the_same_sheet_gives_the_same_bytes(issued_template: Desk) -> None:
    made = issued_template.made
    books = {sheet_workbook(made.sheet, made.issued, pick_pages(made.sheet, made.issued, ()))
             for _ in range(2)}
    assert len(books) == 1
