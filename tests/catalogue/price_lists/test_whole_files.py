"""What a price list as a whole must be, and what is found out about it and said."""

from __future__ import annotations

import random
import re
import zipfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from openpyxl import Workbook

from catalogue.price_lists.column_map import ColumnMap
from catalogue.price_lists.listed import ReadPriceList
from catalogue.price_lists.reading import read_header, read_price_list
from catalogue.problems import ProblemsFound

PLAIN = ColumnMap(currency="GBP", columns={"code": "Code", "price": "Price"})
ROWS = (("Code", "Price"), ("A1", 1.25))


def workbook(path: Path, change: Callable[[Workbook], object] = lambda _: None) -> Path:
    book = Workbook()
    for row in ROWS:
        book.active.append(row)
    change(book)
    book.save(path)
    return path


def told(path: Path, column_map: ColumnMap = PLAIN) -> str:
    """Return the first lines of what a file is refused for."""
    with pytest.raises(ProblemsFound) as caught:
        read_price_list(path, column_map, path.name)
    return "\n".join(str(problem).split("\n")[0] for problem in caught.value.problems)


def prices(read: ReadPriceList) -> list[tuple[str, int]]:
    return [(row.supplier_code, row.price_minor) for row in read.rows]


def test_a_file_is_known_by_what_it_holds_and_not_by_its_name(tmp_path: Path) -> None:
    path = workbook(tmp_path / "list.xlsx").rename(tmp_path / "list.csv")
    assert prices(read_price_list(path, PLAIN)) == [("A1", 125)]


@pytest.mark.parametrize(("raw", "says"), [
    (b"", "A101: the file is empty"),
    (b" \r\n", "A101: the file is empty"),
    (b"Code,Price\nA1,\0\n", "A101: this is no text file"),
    (b"%PDF-1.7", "A102: this is a PDF"),
    (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "A102: this is an old .xls workbook, or one that is "
     "locked with a password"),
    (b"PK\x03\x04 and no more", "A101: the file is damaged"),
])
def test_a_file_of_another_kind_is_refused(raw: bytes, says: str, tmp_path: Path) -> None:
    path = tmp_path / "list.any"
    path.write_bytes(raw)
    assert told(path) == f"list.any: error {says}"


def test_a_missing_file_a_folder_and_an_archive_are_refused(tmp_path: Path) -> None:
    assert told(tmp_path / "none.xlsx") == "none.xlsx: error A101: there is no such file"
    assert told(tmp_path).startswith(f"{tmp_path.name}: error A101: the file cannot be opened")
    with zipfile.ZipFile(tmp_path / "list.zip", "w") as archive:
        archive.writestr("list.csv", "Code,Price")
    assert told(tmp_path / "list.zip") == (
        "list.zip: error A102: this is an archive, but neither an .xlsx nor an .ods workbook")


def test_a_damaged_workbook_is_refused_wherever_it_is_damaged(tmp_path: Path) -> None:
    whole = workbook(tmp_path / "list.xlsx").read_bytes()
    chance = random.Random(1)
    for _ in range(60):
        broken = bytearray(whole)
        for _ in range(chance.randrange(1, 40)):
            broken[chance.randrange(len(broken))] = chance.randrange(256)
        path = tmp_path / "broken.xlsx"
        path.write_bytes(bytes(broken[: chance.randrange(len(broken) // 2, len(broken) + 1)]))
        try:
            read = read_price_list(path, PLAIN)
        except ProblemsFound:
            continue
        assert len(read.rows) + read.refused_rows <= len(ROWS)


def test_a_workbook_of_several_sheets_asks_for_the_one_with_prices(tmp_path: Path) -> None:
    def add_sheets(book: Workbook) -> None:
        book.active.title = "Prices"
        book.create_sheet("Terms")["A1"] = "delivery within a week"
        book.create_sheet("Blank")

    path = workbook(tmp_path / "list.xlsx", add_sheets)
    assert told(path) == (
        "list.xlsx: error A103: the workbook has several sheets: 'Prices', 'Terms'")
    assert told(path, replace(PLAIN, sheet="Price")) == (
        "list.xlsx: error A103: there is no sheet 'Price'")
    read = read_price_list(path, replace(PLAIN, sheet="Prices"))
    assert prices(read) == [("A1", 125)]


def test_a_workbook_without_anything_is_refused(tmp_path: Path) -> None:
    Workbook().save(tmp_path / "list.xlsx")
    assert told(tmp_path / "list.xlsx") == "list.xlsx: error A104: no column is called 'Code' " \
        "(code)\nlist.xlsx: error A104: no column is called 'Price' (price)".replace(
            "list.xlsx:", "list.xlsx:Sheet!A1:")


def test_a_hidden_sheet_and_a_hidden_column_are_read_with_a_caution(tmp_path: Path) -> None:
    def hide(book: Workbook) -> None:
        book.active.title = "Prices"
        book.active.column_dimensions["B"].hidden = True
        book.create_sheet("Seen")["A1"] = "see the next sheet"
        book["Prices"].sheet_state = "hidden"
        book.active = 1

    read = read_price_list(workbook(tmp_path / "list.xlsx", hide),
                           replace(PLAIN, sheet="Prices"), "list.xlsx")
    assert prices(read) == [("A1", 125)]
    assert [str(each).split("\n")[0] for each in read.cautions] == [
        "list.xlsx:Prices: caution A131: the sheet is hidden in the workbook",
        "list.xlsx:Prices!B1: caution A131: the column is hidden, and price is read from it"]


def test_runs_of_hidden_rows_are_one_problem_and_can_be_read_if_the_firm_says_so(
    tmp_path: Path
) -> None:
    def hide(book: Workbook) -> None:
        for number in range(2, 9):
            book.active.append((f"B{number}", number))
        for row in (3, 4, 5, 8):
            book.active.row_dimensions[row].hidden = True

    path = workbook(tmp_path / "list.xlsx", hide)
    read = read_price_list(path, PLAIN, "list.xlsx")
    assert [str(each).split("\n")[0] for each in read.refused] == [
        "list.xlsx:Sheet!A3: error A122: rows 3 to 5 are hidden",
        "list.xlsx:Sheet!A8: error A122: the row is hidden"]
    assert (read.refused_rows, len(read.rows)) == (4, 4)
    shown = replace(PLAIN, hidden_rows="read")
    assert len(read_price_list(path, shown).rows) == 8


@pytest.mark.parametrize(("cell", "says"), [
    ("XFD1048576", "XFD1048576"), ("XFD2000", "XFD2000"), ("AD1048576", "AD1048576")])
def test_a_sheet_that_reaches_too_far_is_refused_before_it_fills_the_memory(
    cell: str, says: str, tmp_path: Path
) -> None:
    path = workbook(tmp_path / "list.xlsx", lambda book: book.active.__setitem__(cell, "x"))
    assert told(path) == f"list.xlsx:Sheet!{says}: error A105: the sheet reaches as far as " \
        f"{says}, which is more than 30,000,000 cells"


def test_a_stray_cell_in_the_last_row_of_a_sheet_does_no_harm(tmp_path: Path) -> None:
    path = workbook(
        tmp_path / "list.xlsx", lambda book: book.active.__setitem__("B1048576", "end"))
    read = read_price_list(path, PLAIN, "list.xlsx")
    assert prices(read) == [("A1", 125)]
    assert read.skipped == {"blank": 1_048_573, "heading": 1}


def test_formulas_and_formats_beside_the_list_are_no_concern(tmp_path: Path) -> None:
    def beside(book: Workbook) -> None:
        book.active["D2"] = "=B2*2"
        book.active["E2"] = 0.4
        book.active["E2"].number_format = "0%"
        book.active["B3"].number_format = "0%"  # a format without a value

    read = read_price_list(workbook(tmp_path / "list.xlsx", beside), PLAIN)
    assert (prices(read), read.refused, read.skipped) == ([("A1", 125)], [], {})


def test_text_without_a_mark_is_utf_8_or_else_western_european(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    text = "Code;Price;Name\nA1;1,25 €;Kabelschuh für 6 mm²\n"
    german = ColumnMap(currency="EUR", decimal_mark=",", columns={
        "code": "Code", "price": "Price", "name": "Name"})
    for encoding, said in (("utf-8", "UTF-8"), ("utf-8-sig", "UTF-8"), ("utf-16", "UTF-16"),
                           ("cp1252", "Windows-1252 (Western European)")):
        path.write_bytes(text.encode(encoding))
        read = read_price_list(path, german, "list.csv")
        assert [(row.name, row.price_minor) for row in read.rows] == [("Kabelschuh für 6 mm²", 125)]
        assert [each.says for each in read.cautions] == [
            f"read as {said} text, its columns parted by semicolons"]


def test_a_declared_encoding_must_fit_and_a_declared_delimiter_is_taken(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_bytes("Code,Price\nA1,1\nÄ,2\n".encode("cp1252"))
    declared = replace(PLAIN, encoding="utf-8", delimiter=",")
    assert told(path, declared) == "list.csv:3: error A101: the text is not UTF-8"
    read = read_price_list(path, replace(declared, encoding="cp1252"))
    assert (prices(read), read.cautions) == ([("A1", 100), ("Ä", 200)], [])


def test_rows_that_cannot_be_parted_are_refused_and_the_rest_is_read(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text('Code,Price\nA1,1\n"A2"x,2\nA3,3,4\nA4,"4\nA5",5\nA6,6\nA7\n"A8,8\n', "utf-8")
    read = read_price_list(path, PLAIN, "list.csv")
    assert prices(read) == [("A1", 100), ("A6", 600)]
    assert [str(each).split("\n")[0] for each in read.refused] == [
        "list.csv:3: error A106: line 3 is no row: a double quote is not closed, or stands inside "
        "a text",
        "list.csv:4: error A125: the row has 3 cells and the header 2",
        "list.csv:5: error A125: the row has 3 cells and the header 2",
        "list.csv:9: error A106: line 9 is no row: a double quote is not closed, or stands inside "
        "a text",
    ]
    assert read.skipped == {"heading": 1}


def test_a_map_that_does_not_say_what_the_price_is_for_is_refused(tmp_path: Path) -> None:
    path = workbook(tmp_path / "list.xlsx")
    packs = ColumnMap(currency="GBP", columns={"code": "Code", "price": "Price", "pack": "Pack"})
    assert told(path, packs) == "list.xlsx: error A008: the column map does not say whether a " \
        "price is for one pack or for so many units (price_per)"


def test_the_titles_of_a_list_are_found_for_a_first_look(tmp_path: Path) -> None:
    def above(book: Workbook) -> None:
        book.active.insert_rows(1, 3)
        book.active["A1"] = "Counter North"
        book.active.insert_cols(1)

    path = workbook(tmp_path / "list.xlsx", above)
    assert read_header(path, ColumnMap(currency="GBP")) == (("", "Code", "Price"), 4)


SHEET = "xl/worksheets/sheet1.xml"
MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
# A shared formula stands in its first cell alone (ECMA-376 part 1, 18.3.1.40); B4 is plain.
SHARED = f"""<?xml version="1.0" encoding="UTF-8"?>
<worksheet xmlns="{MAIN}"><cols><col min="1" max="1" hidden="1"/></cols><sheetData>
<row r="1"><c r="A1" t="inlineStr"><is><t>Code</t></is></c>
<c r="B1" t="inlineStr"><is><t>Price</t></is></c></row>
<row r="2"><c r="A2" t="inlineStr"><is><t>A1</t></is></c>
<c r="B2"><f t="shared" ref="B2:B3" si="0">1+1</f><v>2</v></c></row>
<row r="3"><c r="A3" t="inlineStr"><is><t>A2</t></is></c>
<c r="B3"><f t="shared" si="0"/><v>2</v></c></row>
<row r="4"><c r="A4" t="inlineStr"><is><t>A3</t></is></c><c r="B4"><v>2</v></c></row>
<row r="5" hidden="1"><c r="A5" t="inlineStr"><is><t>A4</t></is></c><c r="B5"><v>2</v></c></row>
</sheetData></worksheet>"""


@pytest.mark.parametrize("written", ["plain", "with prefixes", "in single quotes"])
def test_marks_of_cells_are_found_however_the_xml_is_written(written: str, tmp_path: Path) -> None:
    xml = SHARED
    if written == "with prefixes":
        xml = re.sub(r"<(/?)([a-zA-Z])", r"<\1x:\2", xml).replace("xmlns=", "xmlns:x=")
    elif written == "in single quotes":
        xml = xml.replace('"', "'")
    whole = workbook(tmp_path / "whole.xlsx")
    path = tmp_path / "list.xlsx"
    with zipfile.ZipFile(whole) as source, zipfile.ZipFile(path, "w") as target:
        for name in source.namelist():
            target.writestr(name, xml if name == SHEET else source.read(name))
    read = read_price_list(path, PLAIN, "list.xlsx")
    assert prices(read) == [("A3", 200)]
    assert [(each.code, each.where.cell) for each in read.refused] == [
        ("A120", "Sheet!B2"), ("A120", "Sheet!B3"), ("A122", "Sheet!A5")]
    assert [each.where.cell for each in read.cautions] == ["Sheet!A1"]
