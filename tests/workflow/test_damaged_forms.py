"""A damaged form is refused with code, cell and remedy: all mistakes at once, and no traceback.

Blanks, letters and signs that look right and are not come from what spreadsheet programs do to a
file by themselves; the harmful files are those that readers of packed XML are known to fall for
(a bomb, an entity). Both lists are common practice, no source.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from click.testing import CliRunner
from openpyxl.worksheet.formula import ArrayFormula

from catalogue.problems import Problem, ProblemsFound
from estimator.cli import main
from estimator.papers.survey_form import survey_form
from estimator.survey.form_lines import FACT_HEADERS, THING_HEADERS
from estimator.workflow.survey_form import read_form
from tests.workflow.forms import COLUMN, cell_of, filled

BLANK = openpyxl.load_workbook(io.BytesIO(survey_form()))


def at(path: str, header: str = "Answer") -> str:
    """Return where a fact of the blank form is answered."""
    cell = cell_of(BLANK, path, header=header)
    return f"{cell.parent.title}!{cell.coordinate}"


def problems_of(path: Path) -> tuple[Problem, ...]:
    with pytest.raises(ProblemsFound) as found:
        read_form(path)
    for problem in found.value.problems:
        assert problem.says
        assert problem.mend, problem
    return found.value.problems


def told(book: bytes, folder: Path) -> list[tuple[str, str]]:
    (folder / "form.xlsx").write_bytes(book)
    return [(each.code, each.where.cell) for each in problems_of(folder / "form.xlsx")]


MORNING = datetime(2026, 3, 1, 9, 30)  # noqa: DTZ001 a cell has no zone


# One answer that does not fit: path, header, what stands in the cell, code, and what is said.
ANSWERS: dict[str, tuple[str, str, Any, str, str]] = {
    "text in a number cell": ("site.travel_min", "Answer", "far", "X010", "not a number"),
    "a unit beside a number": ("metering.route_m", "Answer", "15 m", "X010", "not a number"),
    "a decimal comma": ("metering.route_m", "Answer", "1,5", "X010", "not a number"),
    "a fraction of a count": ("site.storeys", "Answer", 1.5, "X010", "not a whole number"),
    "a yes in a count": ("site.storeys", "Answer", True, "X010", "whole number"),
    "a number in a text cell": ("wishes.panel", "Answer", 420, "X010", "leading zeros"),
    "a number as a photo": ("site.bats", "Photo", 7, "X010", "leading zeros"),
    "a date as a number": ("job.supply_date", "Answer", 46000, "X010", "not a date"),
    "a number as a date": ("site.travel_min", "Answer", date(2026, 3, 1), "X010", "number"),
    "a date with a time": ("job.supply_date", "Answer", MORNING, "X010", "time of day"),
    "a number where yes or no": ("site.bats", "Answer", 3, "X010", "neither yes nor no"),
    "an unknown word": ("supply.earthing", "Answer", "TN-X", "X010", "not a word known here"),
    "a word nearly right": ("supply.earthing", "Answer", "PME", "X010", "not a word known here"),
    "a value out of range": ("site.storeys", "Answer", 60, "X010", "54 above"),
    "a value below its range": ("site.altitude_m", "Answer", -99, "X010", "89 m below"),
    "an unknown kind of evidence": ("site.storeys", "How it is known", "heard", "X010", "'heard'"),
    "evidence without a value": ("site.storeys", "How it is known", "seen", "S007", "no value"),
    "a hidden character": ("site.storeys", "Words as noted", "two\u202estoreys", "S004",
                           "cannot be seen"),
    "an ill-written number of the job": ("job.id", "Answer", "J 1/2", "S004", "not written"),
    "a formula": ("site.storeys", "Answer", "=1+1", "X010", "holds a formula"),
    "an error": ("site.storeys", "Answer", "#DIV/0!", "X010", "holds a formula"),
    "an unknown part": ("job.parts", "Answer", "roof", "X010", "not a word known here"),
    "words where none are asked": ("job.title", "Words as noted", "x", "X012", "only the answer"),
}


def with_answer(path: str, header: str, value: Any) -> bytes:
    """Return a form with one cell filled in, as the kind of cell that a program makes of it."""
    def put(book: Any) -> None:
        cell = cell_of(book, path, header=header)
        cell.value = value
        if value == "#DIV/0!":
            cell.data_type = "e"
        if isinstance(value, int):
            cell.number_format = "General"  # not shown as a date

    return filled({}, put)


@pytest.mark.parametrize("name", ANSWERS)
def test_an_answer_that_does_not_fit_is_told_with_its_cell(name: str, tmp_path: Path) -> None:
    path, header, value, code, says = ANSWERS[name]
    (tmp_path / "form.xlsx").write_bytes(with_answer(path, header, value))
    (problem,) = problems_of(tmp_path / "form.xlsx")
    assert (problem.code, problem.where.cell) == (code, at(path, header))
    assert says in problem.says


def test_a_value_whose_evidence_is_unknown_is_told(tmp_path: Path) -> None:
    book = filled({("site.storeys", "Answer"): 2, ("site.storeys", "How it is known"): "unknown"})
    assert told(book, tmp_path) == [("S007", at("site.storeys", "How it is known"))]


def test_a_formula_over_several_cells_is_told(tmp_path: Path) -> None:
    cell = cell_of(BLANK, "site.storeys").coordinate
    book = filled({}, lambda book: book["Site"].__setitem__(cell, ArrayFormula(cell, "=1+1")))
    assert told(book, tmp_path) == [("X010", at("site.storeys"))]


def drop_headers(book: Any) -> None:
    """Clear the row of headers of a sheet."""
    for column in range(1, len(FACT_HEADERS) + 1):
        book["Board"].cell(4, column).value = None


def path_twice(book: Any) -> None:
    sheet, row = book["Site"], cell_of(book, "site.storeys").row
    for column in range(1, len(FACT_HEADERS) + 1):
        sheet.cell(60, column, sheet.cell(row, column).value)


def set_cell(sheet: str, cell: str, value: Any) -> Callable[[Any], None]:
    return lambda book: book[sheet].__setitem__(cell, value)


def of_another(book: Any) -> None:
    book["Site"].cell(60, COLUMN["Path"], "plane.pitch_deg")
    book["Site"].cell(60, COLUMN["Answer"], 30)


def headers_below(book: Any) -> None:
    book["Board"].move_range("A4:G4", rows=40)


def two_at_once(book: Any) -> None:
    cell_of(book, "site.storeys").value = 99
    cell_of(book, "board.circuits").value = "ten"
    book.remove(book["Supply"])


THING_ROW = next(row for row in range(1, 99)
                 if BLANK["Plane 1"].cell(row, 1).value == THING_HEADERS[0]) + 1
SHEETS: dict[str, tuple[Callable[[Any], Any], list[tuple[str, str]]]] = {
    "a sheet is missing": (lambda book: book.remove(book["Board"]), [("X007", "Board")]),
    "the sheet of the job is missing": (lambda book: book.remove(book["Job"]), [("X007", "Job")]),
    "cells merged": (lambda book: book["Site"].merge_cells("B5:B7"), [("X011", "Site!B5")]),
    "a path changed": (set_cell("Site", "G5", "site.bulding"), [("X008", "Site!G5")]),
    "a path made a number": (set_cell("Site", "G5", 7), [("X008", "Site!G5")]),
    "a fact twice": (path_twice, [("X009", "Site!B60")]),
    "an answer without a path": (set_cell("Site", "B70", 3), [("X012", "Site!B70")]),
    "an answer outside the columns": (set_cell("Site", "J6", "note"), [("X013", "Site!J6")]),
    "a cell far off": (set_cell("Site", "XFD1048576", "x"), [("X013", "Site!XFD1048576")]),
    "no row of headers": (drop_headers, [("X006", "Board")]),
    "a header changed": (set_cell("Board", "B4", "Reply"), [("X006", "Board!A4")]),
    "a sheet more": (lambda book: book.create_sheet("Notes").__setitem__("A1", "dog on site"),
                     [("X006", "Notes")]),
    "a plane's row among other facts": (of_another, [("X014", "Site!G60")]),
    "half a thing in the way": (set_cell("Plane 1", f"A{THING_ROW}", "rooflight"),
                                [("S006", f"Plane 1!{letter}{THING_ROW}") for letter in "BCDE"]),
    "three mistakes at once": (two_at_once, [("X010", at("site.storeys")),
                                             ("X010", at("board.circuits")), ("X007", "Supply")]),
}


@pytest.mark.parametrize("name", SHEETS)
def test_a_form_whose_sheets_were_changed_is_told_where(name: str, tmp_path: Path) -> None:
    change, expected = SHEETS[name]
    assert told(filled({}, change), tmp_path) == expected


def test_headers_below_the_answers_are_told_for_each_row(tmp_path: Path) -> None:
    found = told(filled({("board.circuits", "Answer"): 8}, headers_below), tmp_path)
    assert {code for code, _ in found} == {"X012", "X007"}
    assert ("X012", at("board.circuits", "Path")) in found


def test_an_empty_sheet_more_harms_nothing(tmp_path: Path) -> None:
    (tmp_path / "form.xlsx").write_bytes(filled({}, lambda book: book.create_sheet("Sheet3")))
    assert read_form(tmp_path / "form.xlsx").survey.job.id == "J-1"


def packed(parts: dict[str, bytes]) -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as out:
        for name, content in parts.items():
            out.writestr(name, content)
    return held.getvalue()


def repacked(change: Callable[[dict[str, bytes]], Any]) -> bytes:
    """Return a form whose packed parts were changed."""
    with zipfile.ZipFile(io.BytesIO(filled({}))) as book:
        parts = {name: book.read(name) for name in book.namelist()}
    change(parts)
    return packed(parts)


def with_entity(parts: dict[str, bytes], encoding: str = "utf-8") -> None:
    name = "xl/workbook.xml"
    text = parts[name].decode().partition("?>")[2] or parts[name].decode()
    parts[name] = (f'<?xml version="1.0" encoding="{encoding}"?><!DOCTYPE x [<!ENTITY e SYSTEM '
                   f'"file:///etc/hostname">]>{text}').encode(encoding)


SHEET1 = "xl/worksheets/sheet1.xml"
ODS_TYPE = b"application/vnd.oasis.opendocument.spreadsheet"
REPEATED_ROWS = b"""<o:s xmlns:o="urn:oasis:names:tc:opendocument:xmlns:office:1.0"
 xmlns:t="urn:oasis:names:tc:opendocument:xmlns:table:1.0"><t:table t:name="Site">
 <t:table-row t:number-rows-repeated="1048576"><t:table-cell t:number-columns-repeated="16384"
 o:value-type="float" o:value="1"/></t:table-row></t:table></o:s>"""
FILES: dict[str, tuple[Callable[[], bytes], str]] = {
    "nothing in it": (lambda: b"", "X002"),
    "no packed file": (lambda: b"this is a letter", "X002"),
    "a csv file named xlsx": (lambda: b"Fact,Answer\nstoreys,2\n", "X002"),
    "a packed file, no workbook": (lambda: packed({"letter.txt": b"hello"}), "X002"),
    "a packed file cut short": (lambda: filled({})[:9000], "X002"),
    "only the first bytes": (lambda: b"PK\x03\x04", "X002"),
    "a part cut short": (lambda: repacked(lambda parts: parts.update(
        {SHEET1: parts[SHEET1][:400]})), "X002"),
    "a part missing": (lambda: repacked(lambda parts: parts.pop("xl/workbook.xml")), "X002"),
    "a byte changed": (lambda: (book := filled({}))[:3000] + bytes([book[3000] ^ 255])
                       + book[3001:], "X002"),
    "a bomb": (lambda: repacked(lambda parts: parts.update(
        {SHEET1: parts[SHEET1] + b" " * 50_000_000})), "X003"),
    "too large unpacked": (lambda: repacked(lambda parts: parts.update(
        {"xl/more.xml": bytes(range(256)) * 80_000})), "X003"),
    "too many parts": (lambda: packed({f"xl/{n}.xml": b"" for n in range(2001)} | {
        "[Content_Types].xml": b""}), "X003"),
    "an entity": (lambda: repacked(with_entity), "X004"),
    "an entity in UTF-16": (lambda: repacked(lambda parts: with_entity(parts, "utf-16")), "X004"),
    "a password": (lambda: b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(2000), "X005"),
    "an ods file with a password": (lambda: packed({
        "mimetype": ODS_TYPE, "content.xml": b"\x9c\x11",
        "META-INF/manifest.xml": b"<manifest:encryption-data/>"}), "X005"),
    "an ods file that is no XML": (lambda: packed({
        "mimetype": ODS_TYPE, "content.xml": b"<office:x"}), "X002"),
    "an ods file of repeated rows without end": (lambda: packed({
        "mimetype": ODS_TYPE, "content.xml": REPEATED_ROWS}), "X003"),
    "an ods file with an entity": (lambda: packed({
        "mimetype": ODS_TYPE, "content.xml": b"<!DOCTYPE x><x/>"}), "X004"),
}


@pytest.mark.parametrize("name", FILES)
def test_a_file_that_is_no_sound_form_is_refused_before_it_can_do_harm(
    name: str, tmp_path: Path
) -> None:
    make, code = FILES[name]
    path = tmp_path / "form.xlsx"
    path.write_bytes(make())
    (problem,) = problems_of(path)
    assert problem.code == code
    done = CliRunner().invoke(main, ["survey", "read", str(path)])
    assert done.exit_code == 1
    assert done.stderr.startswith(f"{path}: error {code}: ")


def test_a_file_of_which_any_byte_was_changed_is_read_or_refused_and_never_breaks(
    tmp_path: Path,
) -> None:
    book, path = filled({}), tmp_path / "form.xlsx"
    for place in range(7, len(book), len(book) // 60):
        path.write_bytes(book[:place] + bytes([book[place] ^ 0xA5]) + book[place + 1:])
        told_of = "read"
        try:
            read_form(path)
        except ProblemsFound as found:
            told_of = found.problems[0].code
        assert told_of in ("read", "X002", "X003", "X005")


@pytest.mark.parametrize("name", ["a folder", "a file that is not there"])
def test_what_is_no_file_is_told(name: str, tmp_path: Path) -> None:
    path = tmp_path if name == "a folder" else tmp_path / "form.xlsx"
    (problem,) = problems_of(path)
    assert problem.code == "X001"


def test_a_form_with_mistakes_writes_no_survey(tmp_path: Path) -> None:
    form, out = tmp_path / "form.xlsx", tmp_path / "survey.toml"
    form.write_bytes(filled({("site.storeys", "Answer"): 60}))
    done = CliRunner().invoke(main, ["survey", "read", str(form), "--out", str(out), "--json"])
    assert done.exit_code == 1
    assert '"code": "X010"' in done.stdout
    assert not out.exists()
