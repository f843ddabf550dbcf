"""The workbook to fill: what it says, what it checks, and what is read back when it is filled."""

from __future__ import annotations

import shutil
from datetime import date, datetime
from decimal import Decimal as D
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet

from catalogue.columns import columns_of
from catalogue.specs import FAMILIES
from estimator.workflow.catalogue import import_file, show_item, write_form
from tests.factories import ON


@pytest.fixture(scope="session")
def _blank_form(starter_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("forms") / "form.xlsx"
    write_form(str(starter_template), ["cable", "label"], out, ON)
    return out


@pytest.fixture
def form(_blank_form: Path, tmp_path: Path) -> Path:
    """Return the test's own blank form for cables and labels."""
    return Path(shutil.copy(_blank_form, tmp_path / "new-cables.xlsx"))


def header(sheet: Worksheet) -> dict[str, int]:
    return {str(cell.value).split(" [")[0]: cell.column for cell in sheet[1]}


def fill(form: Path, sheet_name: str, *rows: dict[str, Any]) -> Path:
    book = openpyxl.load_workbook(form)
    sheet = book[sheet_name]
    for number, row in enumerate(rows, 4):
        for name, value in row.items():
            sheet.cell(number, header(sheet)[name], value)
    book.save(form)
    return form


CABLE = {
    "code": "00042", "name": "Earth cable 25 mm², by the metre", "roles": "earth cable",
    "unit": "m", "kind": "earth", "size_mm2": 25, "cores": 1, "outdoor": "yes",
    "supplier": "Counter North", "pack": 1, "price": 4.35,
}


def test_each_family_has_its_sheet_and_the_words_are_hidden(form: Path) -> None:
    book = openpyxl.load_workbook(form)
    assert book.sheetnames == ["cable", "label", "words"]
    assert book["words"].sheet_state == "hidden"
    assert book["cable"].freeze_panes == "C3"


def test_units_stand_in_the_header_and_guidance_below(form: Path) -> None:
    sheet = openpyxl.load_workbook(form)["cable"]
    assert sheet["A2"].value == "guidance"
    titles = [cell.value for cell in sheet[1]]
    assert {"mark", "code", "mass_kg [kg]", "size_mm2 [mm²]", "mv_per_a_m [mV/(A m)]"} <= set(
        titles)
    said = {str(sheet.cell(1, n).value): str(sheet.cell(2, n).value)
            for n in range(2, sheet.max_column + 1)}
    assert said["size_mm2 [mm²]"].startswith("needed; ")
    assert said["outdoor"].startswith("blank = no; ")
    assert "leading zeros count" in said["code"]


def test_the_example_is_marked_and_never_imported(form: Path, starter_url: str) -> None:
    sheet = openpyxl.load_workbook(form)["cable"]
    assert sheet["A3"].value == "example"
    assert sheet.cell(3, header(sheet)["code"]).value
    done = import_file(starter_url, form, ON)
    assert (done.new, done.changed, done.unchanged, done.problems) == ((), (), (), ())


def test_vocabularies_and_yes_or_no_have_drop_downs(form: Path) -> None:
    book = openpyxl.load_workbook(form)
    sheet, words = book["cable"], book["words"]
    offered: dict[str, tuple[list[str], bool]] = {}
    for check in sheet.data_validations.dataValidation:
        if check.type == "list":
            cells = words[check.formula1.split("!")[1].replace("$", "")]
            start = sheet[str(check.sqref).split(":")[0]]
            assert start.row == 4
            offered[str(sheet.cell(1, start.column).value)] = (
                [row[0].value for row in cells], bool(check.showErrorMessage))
    assert offered["outdoor"] == (["yes", "no"], True)
    assert offered["held"] == (["stock", "job"], True)
    assert offered["kind"][0][:2] == ["flat twin and earth", "single"]
    # A new role or supplier may be typed: these are offered, not enforced.
    assert "circuit cable" in offered["roles"][0]
    assert not offered["roles"][1]
    assert "Counter North" in offered["supplier"][0]
    assert not offered["supplier"][1]


@pytest.mark.parametrize("family", FAMILIES)
def test_every_family_has_a_form_with_all_its_columns(
    family: str, starter_url: str, tmp_path: Path
) -> None:
    write_form(starter_url, [family], tmp_path / "form.xlsx", ON)
    sheet = openpyxl.load_workbook(tmp_path / "form.xlsx")[family]
    assert list(header(sheet)) == ["mark", *(column.name for column in columns_of(family))]


def test_a_filled_form_is_read_back(form: Path, starter_url: str) -> None:
    done = import_file(starter_url, fill(form, "cable", CABLE), ON, write=True)
    assert (done.new, done.problems, done.written) == (("00042",), (), True)
    shown = show_item(starter_url, "00042", ON)
    spec = {name: value for name, value, _ in shown.spec}
    assert (spec["size_mm2"], spec["cores"], spec["outdoor"]) == (D(25), 1, True)
    (offer,) = shown.offers
    assert (offer.price.minor, offer.pack, offer.from_date) == (435, D(1), ON)


@pytest.mark.parametrize(
    ("cell", "value", "says"),
    [
        ("code", 42, "42 is a number here, so leading zeros may be lost"),
        ("code", datetime(2026, 1, 2), "2026-01-02 is a date here, and text is needed"),  # noqa: DTZ001
        ("price", "=2*2", "the cell holds a formula, '=2*2'"),
        ("price", "4,35", "'4,35' is not a number"),
        ("price", 4.355, "4.355 has more than 2 decimal places"),
        ("kind", "earht", "'earht' is not a word known here"),
        ("outdoor", "perhaps", "'perhaps' is neither yes nor no"),
        ("cores", 1.5, "1.5 is not a whole number"),
        ("size_mm2", None, "this cell is blank"),
        ("supplier", "Counter Norht", "'Counter Norht' is not known"),
    ],
)
def test_a_cell_that_does_not_fit_is_refused_by_its_name(
    form: Path, starter_url: str, cell: str, value: Any, says: str
) -> None:
    sheet = openpyxl.load_workbook(form)["cable"]
    letter = openpyxl.utils.get_column_letter(header(sheet)[cell])
    done = import_file(starter_url, fill(form, "cable", {**CABLE, cell: value}), ON, write=True)
    assert (done.new, done.refused, done.written) == ((), 1, False)
    (problem,) = done.problems
    assert problem.where.cell == f"cable!{letter}4"
    assert problem.says == f"{cell}: {says}"
    assert problem.mend


def test_a_float_of_a_workbook_is_the_price_that_was_typed(form: Path, starter_url: str) -> None:
    # 0.29 and 1.1 are no binary fractions: 0.29 * 100 is 28.999999999999996 as a float.
    rows = [{**CABLE, "code": f"0000{n}", "price": price}
            for n, price in enumerate([0.29, 1.1, 8.2, 1234567.89])]
    import_file(starter_url, fill(form, "cable", *rows), ON, write=True)
    prices = [show_item(starter_url, row["code"], ON).offers[0].price.minor for row in rows]
    assert prices == [29, 110, 820, 123_456_789]


def test_a_workbook_of_one_sheet_may_be_given_its_family(starter_url: str, tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    for row in (list(CABLE), list(CABLE.values())):
        sheet.append(row)
    book.save(tmp_path / "from-a-supplier.xlsx")
    done = import_file(starter_url, tmp_path / "from-a-supplier.xlsx", ON)
    assert "'Sheet' is neither a family nor a known sheet" in done.problems[0].says
    assert import_file(starter_url, tmp_path / "from-a-supplier.xlsx", ON, "cable").new == (
        "00042",)


def test_a_cell_under_no_header_is_told(form: Path, starter_url: str) -> None:
    book = openpyxl.load_workbook(form)
    sheet = book["cable"]
    beyond = sheet.max_column + 1
    sheet.cell(4, beyond, "lost")
    book.save(form)
    done = import_file(starter_url, form, date(2026, 11, 2))
    (problem,) = done.problems
    assert problem.where.cell == f"cable!{openpyxl.utils.get_column_letter(beyond)}4"


def test_a_file_that_is_no_workbook_is_told(starter_url: str, tmp_path: Path) -> None:
    from catalogue.problems import ProblemsFound

    (tmp_path / "list.xlsx").write_text("code,name\n")
    with pytest.raises(ProblemsFound, match=r"this is no workbook of the \.xlsx kind"):
        import_file(starter_url, tmp_path / "list.xlsx", ON)
