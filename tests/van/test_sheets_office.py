"""A spreadsheet program fills a sheet in and saves it: the moves are what was written on it.

The cells are written by a macro that LibreOffice runs, headless, in its own process; then it saves
the sheet as .xlsx and as .ods. It also prints the sheet, and the code on it is there.
"""

from __future__ import annotations

import io
import os
import shutil
import subprocess
import zipfile
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape

import openpyxl
import pytest

from catalogue.problems import ProblemsFound
from estimator.workflow.picked import read_picked
from estimator.workflow.returned import read_returned
from tests.van.desk import (
    ALARM,
    BETTER_ISOLATOR,
    CLIP,
    CONVERTER,
    ISOLATOR,
    MODULE,
    NOON,
    SCREW,
    SEALANT,
    TWIN,
    all_picked,
    all_used,
    books,
    cell_at,
    key_of,
)
from tests.van.desks import Desk

pytestmark = pytest.mark.office
LONGEST_S = 180
SERIAL = "Serial, batch or drum"
LIBRARY = """<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE library:library PUBLIC "-//OpenOffice.org//DTD OfficeDocument 1.0//EN" "library.dtd">
<library:library xmlns:library="http://openoffice.org/2000/library" library:name="Standard"
 library:readonly="false" library:passwordprotected="false">
 <library:element library:name="Fill"/>
</library:library>
"""
MODULE_XML = """<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE script:module PUBLIC "-//OpenOffice.org//DTD OfficeDocument 1.0//EN" "module.dtd">
<script:module xmlns:script="http://openoffice.org/2000/script" script:name="Fill"
 script:language="StarBasic">{}</script:module>
"""
MACRO = """
Sub Main
  Dim args(1) As New com.sun.star.beans.PropertyValue
  args(0).Name = "Hidden" : args(0).Value = True
  doc = StarDesktop.loadComponentFromURL("{book}", "_blank", 0, args())
{lines}
  Dim xlsx(0) As New com.sun.star.beans.PropertyValue
  xlsx(0).Name = "FilterName" : xlsx(0).Value = "Calc MS Excel 2007 XML"
  doc.storeToURL("{out}.xlsx", xlsx())
  Dim ods(0) As New com.sun.star.beans.PropertyValue
  ods(0).Name = "FilterName" : ods(0).Value = "calc8"
  doc.storeToURL("{out}.ods", ods())
  Dim pdf(0) As New com.sun.star.beans.PropertyValue
  pdf(0).Name = "FilterName" : pdf(0).Value = "calc_pdf_Export"
  doc.storeToURL("{out}.pdf", pdf())
  doc.close(True)
End Sub
"""


def basic(book: bytes, marks: Mapping[str, Mapping[tuple[str, str], Any]]) -> Iterator[str]:
    """Yield the lines of the macro that write the marks, as a person types them."""
    opened = openpyxl.load_workbook(io.BytesIO(book))
    for page, on_page in marks.items():
        for (key, title), value in on_page.items():
            at = cell_at(opened[page], key, title)
            cell = f'doc.Sheets.getByName("{page}").getCellRangeByName("{at.coordinate}")'
            if isinstance(value, str):
                quoted = value.replace('"', '""')
                yield f'  {cell}.setString("{quoted}")'
            else:
                yield f"  {cell}.setValue({value})"


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., dict[str, Path]]:
    """Return a function that has the program fill a sheet in and save it, by kind of file."""
    program = shutil.which("soffice")
    if program is None:
        if os.environ.get("OFFICE_REQUIRED") == "1":
            pytest.fail("LibreOffice is not installed, and OFFICE_REQUIRED asks for it")
        pytest.skip("LibreOffice is not installed; no sheet is filled in by it here")

    profile = tmp_path_factory.mktemp("profile")
    start = [program, f"-env:UserInstallation={profile.as_uri()}", "--headless", "--norestore"]
    # The first start lays the profile out; a macro that stood there before would be lost.
    subprocess.run([*start, "--terminate_after_init"], check=True, capture_output=True,
                   timeout=LONGEST_S)
    macros = profile / "user" / "basic" / "Standard"

    def fill_in(book: bytes, marks: Mapping[str, Mapping[tuple[str, str], Any]]
                ) -> dict[str, Path]:
        folder = tmp_path_factory.mktemp("filled")
        (folder / "in.xlsx").write_bytes(book)
        text = MACRO.format(book=(folder / "in.xlsx").as_uri(), out=(folder / "out").as_uri(),
                            lines="\n".join(basic(book, marks)))
        (macros / "script.xlb").write_text(LIBRARY)
        (macros / "Fill.xba").write_text(MODULE_XML.format(escape(text)))
        subprocess.run([*start, "macro:///Standard.Fill.Main"], check=True, capture_output=True,
                       timeout=LONGEST_S)
        return {kind: folder / f"out.{kind}" for kind in ("xlsx", "ods", "pdf")}

    return fill_in


@pytest.fixture(scope="module")
def filled(issued_template: Desk, office: Callable[..., dict[str, Path]]) -> dict[str, Path]:
    """The pick sheet, filled in with all that a sheet may say."""
    made = issued_template.made
    marks = all_picked(made) | {
        (key_of(made, TWIN), "Picked"): 12.5, (key_of(made, SCREW), "Picked"): 0,
        (key_of(made, ISOLATOR), "Instead"): BETTER_ISOLATOR,
        (key_of(made, SEALANT), SERIAL): "B-8", (key_of(made, SEALANT), "Remark"): "=1+1",
        ("2.1#1", SERIAL): "00420", ("2.1#2", SERIAL): "-5", ("2.1#3", SERIAL): "@home",
        ("+1", "Item"): SCREW, ("+1", "Picked"): 20, ("+1", "From"): "store",
    }
    box = next(each for each in made.sheet.boxes if each.item == "02010-WB")
    return office(issued_template.book, {"Pick": marks, "Boxes": {(box.key, "Found"): 2}})


@pytest.mark.parametrize("kind", ["xlsx", "ods"])
def test_the_moves_are_what_the_spreadsheet_program_wrote(
    kind: str, filled: dict[str, Path], out: Desk
) -> None:
    done = read_picked("estimator.db", filled[kind], NOON, write=True)
    _, levels, faults = books()
    site = {(item, lot): n for (item, place, lot), n in levels.items() if place == "site D-101"}
    assert faults == []
    assert site[TWIN, "drum 2"] * 2 == 25
    assert site[SCREW, ""] == 20
    assert site[BETTER_ISOLATOR, ""] == 1
    assert site[SEALANT, "B-8"] == 1
    assert site[CLIP, ""] == 51
    assert site[CONVERTER, "C-77"] == 1
    assert [site[MODULE, lot] for lot in ("00420", "-5", "@home")] == [1, 1, 1]
    assert (ISOLATOR, "") not in site
    assert done.swapped == ((ISOLATOR, BETTER_ISOLATOR, 1),)
    assert [(item, found) for item, _, found in done.boxes] == [("02010-WB", 2)]
    assert [(each.row.item, str(each.lacking)) for each in done.short] == [
        (ALARM, "1"), ("12060", "1"), (TWIN, "2.4"), (SCREW, "2")]


def test_both_kinds_of_file_say_the_same_so_the_second_is_read_already(
    filled: dict[str, Path], out: Desk
) -> None:
    first = read_picked("estimator.db", filled["ods"], NOON, write=True)
    after = books()
    second = read_picked("estimator.db", filled["xlsx"], NOON, write=True)
    assert (first.before, second.before, second.moves) == (None, ("M. Fitter", NOON), ())
    assert books() == after


@pytest.mark.parametrize("kind", ["xlsx", "ods"])
def test_a_locked_cell_that_was_changed_is_named_in_either_kind_of_file(
    kind: str, issued_template: Desk, office: Callable[..., dict[str, Path]], out: Desk
) -> None:
    made = issued_template.made
    files = office(issued_template.book, {"Pick": all_picked(made) | {("5.1", "Need"): 20}})
    with pytest.raises(ProblemsFound) as told:
        read_picked("estimator.db", files[kind], NOON, write=True)
    assert [(each.code, each.says) for each in told.value.problems] == [
        ("Y210", "this cell said '2' and now says 20")]


@pytest.mark.parametrize("kind", ["xlsx", "ods"])
def test_what_comes_back_is_what_the_spreadsheet_program_wrote(
    kind: str, picked_template: Desk, office: Callable[..., dict[str, Path]], on_site: Desk
) -> None:
    made = picked_template.made
    clip = key_of(made, CLIP)
    files = office(picked_template.book, {"Comes back": all_used(made) | {
        (clip, "Back, good"): 20, (clip, "Back, damaged"): 1,
        (key_of(made, TWIN), "Offcuts in m"): "3.2; 1.5"}, "Bought": {
            ("+1", "Item"): "12060", ("+1", "How many"): 1,
            ("+1", "Paid in all, without tax"): 1.15}})
    done = read_returned("estimator.db", files[kind], NOON, write=True)
    assert books()[2] == []
    used = {each.item: (str(each.used), each.cost_minor) for each in done.used.lines}
    assert used[CLIP] == ("30", 90)
    assert used[TWIN] == ("10.2", 816)
    assert used["12060"] == ("1", 115)


def test_the_sheet_prints_with_its_code(filled: dict[str, Path]) -> None:
    assert filled["pdf"].read_bytes().startswith(b"%PDF-")
    with zipfile.ZipFile(filled["ods"]) as packed:
        assert any(name.startswith("Pictures/") for name in packed.namelist())
