"""Where the header stands and which column holds which field."""

from __future__ import annotations

from typing import Any

import pytest

from catalogue.price_lists.column_map import ColumnMap
from catalogue.price_lists.guessing import guess
from catalogue.price_lists.listed import ListedPrice, ReadPriceList
from catalogue.price_lists.rows import read_rows
from catalogue.price_lists.table import Merged, Table, column_letters, column_number
from catalogue.problems import ProblemsFound


def table(*rows: tuple[Any, ...], first_column: int = 1, merged: tuple[Merged, ...] = ()) -> Table:
    width = max(map(len, rows))
    return Table("xlsx", "list.xlsx", "P", [[*row, *[""] * (width - len(row))] for row in rows],
                 first_column, width, merged=merged)


def read(sheet: Table, columns: dict[str, str], **more: Any) -> ReadPriceList:
    return read_rows(sheet, ColumnMap(currency="GBP", columns=columns, **more))


def told(sheet: Table, columns: dict[str, str], **more: Any) -> list[str]:
    with pytest.raises(ProblemsFound) as caught:
        read(sheet, columns, **more)
    return [str(problem).split("\n")[0] for problem in caught.value.problems]


def only(found: ReadPriceList) -> ListedPrice:
    assert found.refused == []
    [row] = found.rows
    return row


COLUMNS = {"code": "Part No", "price": "Net price"}


def test_titles_are_compared_without_capitals_spaces_and_marks() -> None:
    row = only(read(table(("  PART   no.", "net\nPrice:"), ("A1", 2.0)), COLUMNS))
    assert (row.row, row.supplier_code, row.price_minor) == (2, "A1", 200)


def test_a_sheet_that_begins_further_right_names_its_cells_right() -> None:
    found = read(table(("Part no", "Net price"), ("A1", -2.0), first_column=3), COLUMNS)
    assert [problem.where.cell for problem in found.refused] == ["P!D2"]


def test_a_column_may_be_named_by_its_letter_with_no_header_at_all() -> None:
    row = only(read(table(("A1", "x", 2.0), first_column=2),
                    {"code": "column B", "price": "column d"}))
    assert (row.row, row.price_minor) == (1, 200)


def test_a_letter_beyond_the_sheet_or_before_it_is_refused() -> None:
    assert told(table(("A1", 2.0), first_column=2), {"code": "column A", "price": "column F"}) == [
        "list.xlsx:P!A1: error A104: the column map names column A for code, and nothing stands "
        "in it",
        "list.xlsx:P!F1: error A104: the column map names column F for price, and nothing stands "
        "in it"]


def test_a_title_that_is_missing_is_told_at_the_likeliest_row() -> None:
    assert told(table(("Counter North",), ("Part no", "Nett price"), ("A1", 2.0)), COLUMNS) == [
        "list.xlsx:P!A2: error A104: no column is called 'Net price' (price)"]


def test_a_title_that_stands_twice_must_be_named_by_letter() -> None:
    sheet = (("Part no", "Net price", "Net price"), ("A1", 2.0, 3.0))
    assert told(table(*sheet), COLUMNS) == [
        "list.xlsx:P!C1: error A104: the header 'net price' stands in columns B and C"]
    assert only(read(table(*sheet), COLUMNS | {"price": "column C"})).price_minor == 300


def test_below_a_merged_title_both_rows_name_a_column() -> None:
    sheet = table(("Part no", "Price", ""), ("", "List", "Net"), ("A1", 9.0, 2.0), merged=(
        ((1, 1), (2, 1)), ((1, 2), (1, 3))))
    row = only(read(sheet, {"code": "Part no", "price": "Price Net"}))
    assert (row.row, row.price_minor) == (3, 200)


def test_a_header_row_that_is_told_is_taken() -> None:
    sheet = (("Part no", "Net price"), ("Part no", "Net price"), ("A1", 2.0))
    found = read(table(*sheet), COLUMNS, header_row=2)
    assert (only(found).row, found.skipped) == (3, {"title": 1})


def test_a_header_below_rows_with_prices_is_refused_unless_its_row_is_told() -> None:
    # A list without a header of its own, in which one comes again at the foot of a page.
    sheet = (("A1", 2.0), ("A2", 3.0), ("Part no", "Net price"), ("A3", 4.0))
    assert told(table(*sheet), COLUMNS) == [
        "list.xlsx:P!A3: error A104: the header stands below a part number with a price, in row 1"]
    found = read(table(*sheet), COLUMNS, header_row=3)
    assert (only(found).supplier_code, found.skipped) == ("A3", {"title": 2})


def test_price_breaks_in_columns_of_their_own_are_prices_from_a_quantity_on() -> None:
    sheet = table(("Part no", "1+", "10+", "100+"), ("A1", 2.0, 1.9, ""), ("A2", 2.0, "call", 1.0))
    found = read(sheet, {"code": "Part no", "price": "1+"},
                 price_breaks={"10": "10+", "100": "100+"})
    assert [(row.row, row.least_milli, row.price_minor) for row in found.rows] == [
        (2, 0, 200), (2, 10_000, 190)]
    assert [(each.code, each.where.cell) for each in found.refused] == [("A112", "P!C3")]


def test_words_of_the_map_mark_rows_without_a_price() -> None:
    sheet = table(("Part no", "Net price"), ("Carriage 1", 9.0), ("A1", 2.0))
    found = read(sheet, COLUMNS, skip_words=("carriage",))
    assert (only(found).supplier_code, found.skipped) == ("A1", {"total": 1})


def test_part_numbers_that_look_like_words_at_a_sum_stay_part_numbers() -> None:
    codes = ("TOTAL-100", "SUM8", "Totalisator", "Sub-panel")
    found = read(table(("Part no", "Net price"), *((code, 2.0) for code in codes)), COLUMNS)
    assert [row.supplier_code for row in found.rows] == list(codes)


def test_classes_of_carriage_are_translated_and_others_refused() -> None:
    sheet = table(("Part no", "Net price", "Class"), ("A1", 2.0, "LONG ITEM"), ("A2", 2.0, "std"),
                  ("A3", 2.0, "pallet"))
    found = read(sheet, COLUMNS | {"carriage_class": "Class"},
                 carriage_classes={"Long item": "long", "Std": ""})
    assert [row.carriage_class for row in found.rows] == ["long", ""]
    assert [(each.where.cell, each.says) for each in found.refused] == [
        ("P!C4", "the class of carriage 'pallet' is not in the column map")]


def test_part_numbers_that_are_numbers_come_in_where_the_map_says_so() -> None:
    found = read(table(("Part no", "Net price"), (420.0, 2.0), (4.5, 2.0)), COLUMNS,
                 codes="numbers")
    assert [row.supplier_code for row in found.rows] == ["420"]
    assert [each.says for each in found.refused] == ["4.5 is no part number"]


@pytest.mark.parametrize(("price_per", "unit", "per_milli"), [
    ("pack", "", None), ("1", "", 1_000), ("100", "each", 100_000), ("", "pack", None),
    ("", "per 100", 100_000), ("", "each", 1_000)])
def test_what_a_price_is_for_is_said_by_the_map_or_by_the_unit(
    price_per: str, unit: str, per_milli: int | None
) -> None:
    sheet = table(("Part no", "Net price", "Pack", "Unit"), ("A1", 2.0, 10.0, unit))
    row = only(read(sheet, COLUMNS | {"pack": "Pack", "unit": "Unit"}, price_per=price_per))
    assert (row.pack_milli, row.per_milli) == (10_000, per_milli)


def test_a_unit_that_contradicts_what_the_map_says_is_refused() -> None:
    sheet = table(("Part no", "Net price", "Unit"), ("A1", 2.0, "per 100"))
    found = read(sheet, COLUMNS | {"unit": "Unit"}, price_per="1")
    assert [each.says for each in found.refused] == [
        "the unit and what the price is for contradict each other"]


def test_a_row_of_the_same_price_for_another_quantity_is_no_other_price() -> None:
    sheet = table(("Part no", "Net price", "Per"), ("A1", 2.0, 1.0), ("A1", 200.0, 100.0))
    found = read(sheet, COLUMNS | {"per": "Per"})
    assert [each.says for each in found.refused] == [
        "the part number 'A1' stands in rows 2 and 3, with another quantity that the "
        "price is for"] * 2


@pytest.mark.parametrize(("titles", "columns", "lacking"), [
    (("Part No.", "Description", "Pack Qty", "Net Price (£)", "Price per", "MOQ"),
     {"code": "Part No.", "name": "Description", "pack": "Pack Qty", "price": "Net Price (£)",
      "per": "Price per", "least": "MOQ"}, []),
    (("Code", "Name", "Pack", "List price", "Net"),
     {"code": "Code", "name": "Name", "pack": "Pack", "price": "Net"},
     ["whether a price is for one pack or for so many units (price_per)"]),
    (("SKU", "Item", "Price", "Price"), {"code": "SKU", "name": "Item", "price": "column C"}, []),
    (("Colour", "Size"), {}, ["which column holds the supplier's part number (code)",
                              "which column holds the net price (price)"]),
])
def test_a_header_in_words_of_the_trade_proposes_a_map(
    titles: tuple[str, ...], columns: dict[str, str], lacking: list[str]
) -> None:
    proposed = guess(titles, "GBP")
    assert proposed.columns == columns
    assert list(proposed.lacks()) == lacking


def test_columns_of_quantities_are_proposed_as_price_breaks() -> None:
    proposed = guess(("Code", "1+", "10+", "100 +"), "GBP")
    assert proposed.columns == {"code": "Code", "price": "1+"}
    assert proposed.price_breaks == {"10": "10+", "100": "100 +"}


@pytest.mark.parametrize(("letters", "number"), [("A", 1), ("Z", 26), ("AA", 27), ("XFD", 16_384)])
def test_letters_of_columns_count_as_in_a_spreadsheet(letters: str, number: int) -> None:
    # ECMA-376 part 1, 18.3.1.4: the last column of a sheet is XFD, the 16,384th
    assert (column_number(letters), column_letters(number)) == (number, letters)
