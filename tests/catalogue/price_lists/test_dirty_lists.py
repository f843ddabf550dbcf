"""A price list with every kind of dirt: what is sound comes in, the rest is named by cell and
reason, as a workbook and, where a text file can hold it, as a text file.
"""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook

from catalogue.price_lists.column_map import parse_column_map
from catalogue.price_lists.listed import ListedPrice, ReadPriceList
from catalogue.price_lists.reading import read_price_list
from tests.catalogue.price_lists.dirt import (
    COLUMN_MAP,
    DIRT,
    HEADER,
    LETTERS,
    Dirt,
    Error,
    Formatted,
    Formula,
    cells_of,
)

FIRST = 6  # row of the first article: two titles, a blank row and a header of two rows before it
SHEET = "Prices 2026"


def write_workbook(path: Path) -> None:
    book = Workbook()
    book.active.title = "Hidden notes"
    book.active["A1"] = "not for customers"
    sheet = book.create_sheet(SHEET)
    book["Hidden notes"].sheet_state = "hidden"
    sheet["A1"], sheet["A2"] = "Counter North", "Prices without tax"
    sheet.merge_cells("A1:L1")
    sheet["J4"] = "Validity"  # over two columns; the other titles span both rows
    sheet.merge_cells("J4:K4")
    for name, letter in LETTERS.items():
        row = 5 if letter in "JK" else 4
        sheet[f"{letter}{row}"] = name
        if row == 4:
            sheet.merge_cells(f"{letter}4:{letter}5")
    for number, dirt in enumerate(DIRT, FIRST):
        for letter, cell in zip(LETTERS.values(), cells_of(dirt, number), strict=True):
            write_cell(sheet[f"{letter}{number}"], cell)
        sheet.row_dimensions[number].hidden = dirt.hidden
        if dirt.merged:
            sheet.merge_cells(f"A{number}:L{number}")
    book.save(path)


def write_cell(cell: Any, value: Any) -> None:
    if isinstance(value, Formatted):
        cell.value, cell.number_format = value.number, value.number_format
        return
    cell.value = value
    if isinstance(value, Error):
        cell.data_type = "e"
    elif isinstance(value, str) and not isinstance(value, Formula):
        cell.data_type = "s"  # also where it begins like a formula


def write_text(path: Path, rows: Sequence[tuple[int, Dirt]], delimiter: str) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, delimiter=delimiter)
        writer.writerow(HEADER)
        for number, dirt in rows:
            cells = cells_of(dirt, number)
            writer.writerow([] if not any(cells) else [
                "" if cell is None else cell for cell in cells])


@pytest.fixture(scope="module")
def workbook(tmp_path_factory: pytest.TempPathFactory) -> ReadPriceList:
    path = tmp_path_factory.mktemp("dirty") / "list.xlsx"
    write_workbook(path)
    return read_price_list(path, parse_column_map(COLUMN_MAP), "list.xlsx")


def expected(dirt: Dirt, number: int, row: int) -> ListedPrice:
    """Return the row that comes in: what the dirt says of it, else that of a plain row."""
    fields: dict[str, Any] = {
        "row": row, "supplier_code": f"P-{number:03}", "item": "", "name": "Gland", "unit": "each",
        "pack_milli": 1_000, "per_milli": 1_000, "least_milli": 0, "price_minor": 1_250,
        "cut_charge_minor": None, "carriage_class": "", "lead_days": None, "from_date": None,
        "to_date": None}
    return ListedPrice(**(fields | (dirt.becomes or {})))


def words(says: str, row: int, step_back: int = 1, step_on: int = 1) -> str:
    """Return the words of a problem with the rows that it names."""
    return says.replace("{row}", str(row)).replace("{next}", str(row + step_on)).replace(
        "{previous}", str(row - step_back))


def test_there_are_more_than_forty_kinds_and_each_has_one_end() -> None:
    assert len({dirt.kind for dirt in DIRT}) == len(DIRT) >= 40
    ends = [(dirt.becomes is not None) + bool(dirt.refused) + bool(dirt.skipped) for dirt in DIRT]
    assert set(ends) == {1}


@pytest.mark.parametrize("dirt", DIRT, ids=lambda dirt: dirt.kind)
def test_a_row_of_a_workbook_comes_in_or_is_named(dirt: Dirt, workbook: ReadPriceList) -> None:
    row = FIRST + DIRT.index(dirt)
    came_in = [each for each in workbook.rows if each.row == row]
    assert came_in == ([expected(dirt, row, row)] if dirt.becomes is not None else [])
    told = {
        each.where.cell: (each.code, each.says) for each in workbook.refused
        if each.where.cell[len(SHEET) + 2:] == str(row)}
    assert told == {
        f"{SHEET}!{LETTERS.get(name, 'A')}{row}": (code, words(says, row))
        for name, (code, says) in dirt.refused.items()}


def test_nothing_else_is_told_of_the_workbook(workbook: ReadPriceList) -> None:
    assert len(workbook.refused) == sum(len(dirt.refused) for dirt in DIRT)
    assert workbook.refused_rows == sum(bool(dirt.refused) for dirt in DIRT)
    assert all(problem.mend for problem in workbook.refused)
    skipped = Counter(dirt.skipped for dirt in DIRT if dirt.skipped)
    # Above the header's second row: two titles, a blank row, and the header's first row.
    assert workbook.skipped == {**skipped, "title": 3, "blank": skipped["blank"] + 1}
    assert workbook.form == "xlsx"
    assert workbook.cautions == []


def test_problems_stand_in_the_order_of_the_rows(workbook: ReadPriceList) -> None:
    rows = [int(problem.where.cell[len(SHEET) + 2:]) for problem in workbook.refused]
    assert rows == sorted(rows)


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_a_text_file_has_the_same_ends(delimiter: str, tmp_path: Path) -> None:
    rows = [(number, dirt) for number, dirt in enumerate(DIRT, FIRST) if dirt.in_text]
    path = tmp_path / "list.csv"
    write_text(path, rows, delimiter)
    read = read_price_list(path, parse_column_map(COLUMN_MAP), "list.csv")
    # Lines count from 1, and one of the names has a line break in it.
    lines, line = {}, 2
    for _, dirt in rows:
        lines[dirt.kind] = line
        line += 2 if "\n" in str(dirt.cells.get("Description", "")) else 1
    assert read.rows == [
        expected(dirt, number, lines[dirt.kind]) for number, dirt in rows
        if dirt.becomes is not None]
    assert {(each.where.line, each.code, each.says) for each in read.refused} == {
        (lines[dirt.kind], code, f"{name.lower()}: {words(says, lines[dirt.kind])}")
        for _, dirt in rows for name, (code, says) in dirt.refused.items()}
    assert read.skipped == Counter(dirt.skipped for _, dirt in rows if dirt.skipped)
    assert [caution.code for caution in read.cautions] == ["A130"]
