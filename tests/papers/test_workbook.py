import io
import re
import zipfile

import openpyxl
import pytest

from estimator.papers import words
from estimator.papers.workbook import bill_workbook
from tests.approved import check_approved
from tests.papers import sample
from tests.papers.reading import (
    budget_json,
    dump,
    firm_json,
    formulas,
    hostile_json,
    pence,
    row_of,
    values,
)

OFFICE_SHEETS = {"Bill", "Labour", "Price build-up", "To settle", "Why"}
SITE_SHEETS = {"Cuts", "Take to site", "Comes back", "Cautions"}


@pytest.fixture(scope="module")
def book() -> bytes:
    return bill_workbook(firm_json(), sample.FIRM.name)


def test_the_workbook_is_as_approved(book):
    check_approved("papers/bill-workbook.txt", dump(book))


def test_the_budget_workbook_is_as_approved():
    check_approved("papers/budget-workbook.txt", dump(bill_workbook(budget_json())))


def test_the_same_estimate_gives_the_same_bytes(book):
    assert bill_workbook(firm_json(), sample.FIRM.name) == book


def test_every_formula_has_a_cached_value(book):
    held = values(book)
    written = {at for at, text in formulas(book).items() if str(text).startswith("=")}
    assert len(written) > 80
    assert {at for at in written if not isinstance(held.get(at), int | float)} == set()


def test_formulas_use_only_functions_that_every_spreadsheet_has_had_from_the_start(book):
    # All of these are in OpenFormula (OpenDocument 1.2, part 2). RuledSheet relies on there being
    # no function newer than the file format, which would need a prefix in the file.
    texts = [str(text) for text in formulas(book).values() if str(text).startswith("=")]
    used = {name for text in texts for name in re.findall(r"([A-Z.]+)\(", text)}
    assert {"SUM", "ROUND"} <= used <= {"SUM", "SUMIF", "SUMPRODUCT", "ROUND", "ROUNDUP"}


@pytest.mark.parametrize(("item", "cost", "waste"), [
    # By hand from the sample's prices (invented): 41.25 / 50 x 16 = 13.20, x 0.8 = 0.66;
    # 118.05 / 50 x 18.7 = 44.1507, x 0.935 = 2.207535; 58 / 100 x 18.5 = 10.73, x 0.925 = 0.5365;
    # 53.40 / 12 = 4.45, x 0.1 = 0.445, a half penny that goes up.
    ("DEMO-ANCHOR", 1320, 66), ("00420", 4415, 221), ("DEMO-DATACABLE", 1073, 54),
    ("DEMO-SEALANT", 445, 45),
])
def test_shelf_stock_is_charged_by_the_unit_to_the_penny(book, item, cost, waste):
    row = row_of(book, "Bill", "D", item)
    held = values(book)
    assert pence(held["Bill", f"N{row}"]) == cost
    assert pence(held["Bill", f"O{row}"]) == waste


def test_an_item_bought_for_the_job_costs_whole_packs(book):
    row = row_of(book, "Bill", "D", "DEMO-STORE")
    assert formulas(book)["Bill", f"N{row}"] == f"=I{row}*L{row}"
    assert pence(values(book)["Bill", f"N{row}"]) == 3 * 145000


def test_how_many_comes_first_and_is_what_the_boxes_leave_to_buy(book):
    row = row_of(book, "Bill", "D", "DEMO-BRACKET")
    assert formulas(book)["Bill", f"A{row}"] == f"=E{row}-F{row}"
    assert values(book)["Bill", f"A{row}"] == 0


def test_the_bill_adds_up_without_the_options(book):
    # By hand: 980 + 4350 + 0 + 13.20 + 115.88 + 140 + 68 + 27.90 + 4 + 4.45 + 25 + 45 = 5773.43;
    # waste 0.66 + 2.21 + 0.54 + 0.45 = 3.86.
    held = values(book)
    row = row_of(book, "Bill", "C", "All heads")
    assert pence(held["Bill", f"N{row}"]) == 577343
    assert pence(held["Bill", f"O{row}"]) == 386
    assert pence(held["Bill", f"N{row + 1}"]) == 577729


def test_the_price_build_up_ends_at_the_engines_price(book):
    made, held = firm_json(), values(book)
    for text, minor in (
        ("Direct cost", made.cost.direct), ("Full cost", made.cost.total),
        ("PRICE, net", made.price.net), ("PRICE with VAT", made.price.gross),
    ):
        row = row_of(book, "Price build-up", "B", text)
        assert pence(held["Price build-up", f"A{row}"]) == minor


def test_each_sheet_says_whether_it_is_for_the_office_only(book):
    opened = openpyxl.load_workbook(io.BytesIO(book))
    marking = {sheet.title: sheet["A1"].value for sheet in opened.worksheets}
    assert {name for name, text in marking.items() if text == words.OFFICE_ONLY} == OFFICE_SHEETS
    assert {name for name, text in marking.items() if text == words.SITE_COPY} == SITE_SHEETS
    for sheet in opened.worksheets:
        assert sheet.oddHeader.left.text == marking[sheet.title]


def test_no_site_sheet_holds_money(book):
    opened = openpyxl.load_workbook(io.BytesIO(book))
    seen = [
        (sheet.title, cell.coordinate)
        for sheet in opened.worksheets if sheet.title in SITE_SHEETS
        for row in sheet.iter_rows() for cell in row
        if "£" in str(cell.value) or "£" in cell.number_format or cell.data_type == "f"
    ]
    assert seen == []


def test_every_sheet_prints_on_a4_with_its_header_repeated_and_the_line_of_deferral(book):
    opened = openpyxl.load_workbook(io.BytesIO(book))
    assert len(opened.worksheets) == len(OFFICE_SHEETS | SITE_SHEETS)
    for sheet in opened.worksheets:
        assert sheet.page_setup.paperSize == 9  # A4 in ISO/IEC 29500
        assert sheet.page_setup.fitToWidth in (None, 1)  # 1 is the standard's default
        assert sheet.page_setup.fitToHeight == 0
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert sheet.print_title_rows
        assert sheet.freeze_panes
        assert sheet.print_area
        assert sheet.oddFooter.left.text == f"Job J-104, revision 1\n{words.DEFERRAL}"
        assert sheet.oddFooter.right.text == "page &P of &N"


def test_a_footer_is_no_longer_than_a_spreadsheet_takes(book):
    # 255 characters, ISO/IEC 29500 as spreadsheets apply it (from memory); the longest job id has
    # 40 characters.
    with zipfile.ZipFile(io.BytesIO(book)) as parts:
        sheet = parts.read("xl/worksheets/sheet1.xml").decode()
    footer = sheet.split("<oddFooter>")[1].split("</oddFooter>")[0]
    assert len(footer) + 40 - len("J-104") <= 255


def test_hostile_text_is_text_in_every_cell():
    text = formulas(bill_workbook(hostile_json()))
    opened = openpyxl.load_workbook(io.BytesIO(bill_workbook(hostile_json())))
    as_formula = [
        str(cell.value) for sheet in opened.worksheets for row in sheet.iter_rows()
        for cell in row if cell.data_type == "f"
    ]
    assert sample.HOSTILE in text.values()
    assert any(str(value).startswith("=storage module") for value in text.values())
    assert not [each for each in as_formula if "HYPERLINK" in each or "storage module" in each]


def test_hostile_text_stays_text_when_a_person_edits_the_cell():
    opened = openpyxl.load_workbook(io.BytesIO(bill_workbook(hostile_json())))
    bad = [
        cell for sheet in opened.worksheets for row in sheet.iter_rows() for cell in row
        if cell.data_type == "s" and str(cell.value).startswith(("=", "@", "+", "-"))
    ]
    assert len(bad) > 20
    assert [cell.coordinate for cell in bad if not cell.quotePrefix] == []


def test_no_link_and_no_macro_is_in_the_file():
    with zipfile.ZipFile(io.BytesIO(bill_workbook(hostile_json()))) as parts:
        names = parts.namelist()
        text = "".join(parts.read(name).decode() for name in names if name.endswith(".xml"))
    assert not [name for name in names if "vba" in name.lower() or "external" in name.lower()]
    assert "<hyperlink" not in text


def test_what_no_item_serves_stands_at_the_top_without_a_price():
    book = bill_workbook(budget_json())
    row = row_of(book, "Bill", "C", "bollard")
    assert values(book)["Bill", f"N{row}"] == "NO PRICE"
    assert row < row_of(book, "Bill", "D", "DEMO-CONV")


def test_findings_stand_worst_first():
    held = values(bill_workbook(budget_json()))
    levels = [text for (sheet, cell), text in held.items()
              if sheet == "To settle" and cell.startswith("A") and text in words.LEVEL.values()]
    assert levels == ["STOP", "CAUTION", "CAUTION", "fine"]


def test_the_order_of_safe_isolation_is_kept_on_the_cautions_sheet(book):
    # HSE guidance note GS38 and trade guides: identify, switch off, lock off, prove, test, prove.
    rows = [text for (sheet, cell), text in values(book).items()
            if sheet == "Cautions" and cell.startswith("B")]
    start = rows.index("1. Identify every source and circuit.")
    words_in_order = ("Identify", "Switch off", "Lock off", "Prove the tester on", "Test line",
                      "Prove the tester again")
    for n, word in enumerate(words_in_order):
        assert rows[start + n].startswith(f"{n + 1}. {word}")


def test_what_was_worked_out_and_what_is_to_be_signed_have_sheets_of_their_own_when_there_are_any(
    book,
):
    told = openpyxl.load_workbook(io.BytesIO(bill_workbook(budget_json())))
    assert not {"Worked out", "To sign"} & set(openpyxl.load_workbook(io.BytesIO(book)).sheetnames)
    worked, sign = told["Worked out"], told["To sign"]
    assert (worked["A1"].value, sign["A1"].value) == (words.OFFICE_ONLY, words.SITE_COPY)
    rows = [[cell.value for cell in row] for row in sign.iter_rows(min_row=6)]
    assert [row[0] for row in rows if row[0]] == ["structural engineer"]
    held = values(bill_workbook(budget_json()))
    figures = [text for (sheet, cell), text in held.items()
               if sheet == "Worked out" and cell[0] in "CD" and int(cell[1:]) > 5]
    assert figures == ["design current", "25.6 A", "capacity", "32 A"]
