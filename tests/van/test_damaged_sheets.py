"""A sheet that was damaged or tampered with is refused, its cell is named, and nothing is moved.

What spreadsheet programs and people do to a sheet by themselves: common practice, no source. Files
that are no workbooks at all, bombs and entities are gone through in tests/workflow.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from sqlalchemy import update

from catalogue.db import open_database, session
from catalogue.tables import ITEM
from estimator.workflow.job_states import Said, record
from estimator.workflow.picked import read_picked
from estimator.workflow.returned import read_returned
from tests.van.desk import (
    CLIP,
    CONDUIT,
    CONVERTER,
    ISOLATOR,
    JOB,
    MODULE,
    NOON,
    SCREW,
    SEALANT,
    TWIN,
    all_picked,
    books,
    cell_at,
    fill,
    issued,
    key_of,
    problems_of,
    where,
)
from tests.van.desks import Desk

PICKED, INSTEAD, SERIAL = "Picked", "Instead", "Serial, batch or drum"
# Keys of rows of the sheet; the line of the bill and the part of it.
CONV, MOD, TW, CL, SEAL, SCR, ISO, PIPE = (
    "1.1", "2.1", "11.1", "12.1", "47.1", "5.1", "26.1", "14.1")
KEYS = {CONVERTER: CONV, MODULE: MOD, TWIN: TW, CLIP: CL, SEALANT: SEAL, SCREW: SCR,
        ISOLATOR: ISO, CONDUIT: PIPE}


@dataclass(frozen=True)
class Case:
    """What is done to a sheet on which all was picked, and what is told then.

    Attributes:
        marks: written over what is there; None clears.
        told: code, key of the row and heading ("" for a page or file), and the whole message.
    """

    told: tuple[tuple[str, str, str, str], ...]
    marks: Mapping[tuple[str, str], Any] = field(default_factory=dict)
    change: Callable[[Any], Any] | None = None


def one(code: str, key: str, title: str, says: str, **more: Any) -> Case:
    return Case(((code, key, title, says),), **more)


def put(key: str, title: str, value: Any, page: str = "Pick") -> Callable[[Any], Any]:
    def change(book: Any) -> None:
        cell_at(book[page], key, title).value = value
    return change


def without_row(key: str) -> Callable[[Any], Any]:
    return lambda book: book["Pick"].delete_rows(cell_at(book["Pick"], key, "Row").row)


def twice(key: str) -> Callable[[Any], Any]:
    def change(book: Any) -> None:
        sheet, row = book["Pick"], cell_at(book["Pick"], key, "Row").row
        for column in range(1, 21):
            sheet.cell(200, column).value = sheet.cell(row, column).value
    return change


def at(cell: str, value: Any, page: str = "Pick") -> Callable[[Any], Any]:
    return lambda book: book[page].__setitem__(cell, value)


def merged(book: Any) -> None:
    row = cell_at(book["Pick"], SCR, PICKED).row
    book["Pick"].merge_cells(f"S{row}:S{row + 1}")


def identity(cell: str, value: Any) -> Callable[[Any], Any]:
    return at(cell, value, "Sheet")


DIGITS = "write digits and a decimal point only"
CASES: dict[str, Case] = {
    # what was not to be written on
    "the need was changed": one(
        "Y210", MOD, "Need", "this cell said '3' and now says 2", change=put(MOD, "Need", 2)),
    "the item was changed": one(
        "Y210", SCR, "Item", "this cell said '09053' and now says '09054'",
        change=put(SCR, "Item", "09054")),
    "an item became a number": one(
        "Y210", SCR, "Item", "this cell said '09053' and now says 9053",
        change=put(SCR, "Item", 9053)),
    "the place was changed": one(
        "Y210", TW, "From", "this cell said 'store' and now says 'van 1'",
        change=put(TW, "From", "van 1")),
    "the drum was changed": one(
        "Y210", TW, "Drum, batch, bar", "this cell said 'drum 2' and now says 'drum 1'",
        change=put(TW, "Drum, batch, bar", "drum 1")),
    "the last day was moved": one(
        "Y210", SEAL, "Use by", "this cell said '2027-03-01' and now says '2028-03-01'",
        change=put(SEAL, "Use by", "2028-03-01")),
    "what may be instead was widened": one(
        "Y210", SCR, "May be instead", "this cell said 'no' and now says '01505-WF'",
        change=put(SCR, "May be instead", "01505-WF")),
    "a locked cell was cleared": one(
        "Y210", SCR, "What", "this cell said 'Screw 5 x 40 mm with 6 mm plug' and now says nothing",
        change=put(SCR, "What", None)),
    "a locked cell holds a formula": one(
        "Y210", SCR, "Need", "this cell said '2' and now says '=1+1'",
        change=put(SCR, "Need", "=1+1")),
    "a formula was overwritten": one(
        "Y210", SCR, "Short", "the formula of this cell is gone", change=put(SCR, "Short", 0)),
    "a heading was changed": Case(
        (("Y210", "", "Pick!M7", "this cell said 'Picked' and now says 'Taken'"),),
        change=at("M7", "Taken")),
    "the title was changed": Case(
        (("Y210", "", "Pick!A1", "this cell said 'Pick - job D-101, revision 1' and now says "
          "'Pick - job D-102, revision 1'"),), change=at("A1", "Pick - job D-102, revision 1")),
    # rows and pages
    "a row was deleted": Case(
        (("Y212", "", "Pick", "the row '5.1' is missing"),), change=without_row(SCR)),
    "a row stands twice": Case(
        (("Y213", "", "Pick!T200", "the row '5.1' stands twice; the first is row {5.1}"),),
        change=twice(SCR)),
    "the key of a row was changed": Case(
        (("Y214", SCR, "Line", "5 stands in a row that is none of the sheet's"),
         ("Y212", "", "Pick", "the row '5.1' is missing")), change=put(SCR, "Row", "5.9")),
    "a note stands below the sheet": Case(
        (("Y214", "", "Pick!D150", "'dog on site' stands in a row that is none of the sheet's"),),
        change=at("D150", "dog on site")),
    "a note stands beside the columns": Case(
        (("Y214", "", "Pick!W20", "'mind' stands where nothing is asked"),),
        change=at("W20", "mind")),
    "a mark stands in a shaded cell": one(
        "Y214", f"{MOD}#1", "Loaded", "'yes' stands where nothing is asked",
        change=put(f"{MOD}#1", "Loaded", "yes")),
    "cells were merged": Case(
        (("Y215", SCR, "Remark", "cells are merged here, so it is not clear which row is meant"),),
        change=merged),
    "a page was deleted": Case(
        (("Y211", "", "Boxes", "the page 'Boxes' is missing"),),
        change=lambda book: book.remove(book["Boxes"])),
    # what was written
    "a word where a number is asked": one(
        "Y216", SCR, PICKED, "Picked: 'two' is not a number", marks={(SCR, PICKED): "two"}),
    "a unit beside a number": one(
        "Y216", TW, PICKED, "Picked: '14.9 m' is not a number", marks={(TW, PICKED): "14.9 m"}),
    "less than nothing": one(
        "Y216", SCR, PICKED, "Picked: -2 is below 0", marks={(SCR, PICKED): -2}),
    "a formula in a box": one(
        "Y216", SCR, PICKED, "Picked: the cell holds a formula, '=1+1'",
        change=put(SCR, PICKED, "=1+1")),
    "a part of a thing that is counted": one(
        "Y227", SCR, PICKED, "1.5 of 09053: it is counted in whole pieces",
        marks={(SCR, PICKED): 1.5}),
    "finer than a thousandth": one(
        "Y216", TW, PICKED, "Picked: 14.8999 has more than 3 decimal places",
        marks={(TW, PICKED): 14.8999}),
    "neither yes nor blank": one(
        "Y216", SCR, "Checked", "Checked: 'maybe' is none of the words",
        marks={(SCR, "Checked"): "maybe"}),
    "a serial number that became a number": one(
        "Y216", f"{CONV}#1", SERIAL,
        "Serial, batch or drum: 77 is a number here, so leading zeros may be lost",
        marks={(f"{CONV}#1", SERIAL): 77}),
    "nothing said of a row": one(
        "Y217", SCR, PICKED, "nothing is said of line 5, Screw 5 x 40 mm with 6 mm plug",
        marks={(SCR, PICKED): None}),
    "an item that may not stand in": one(
        "Y216", ISO, INSTEAD, "Instead: '01505-WF' is none of the words",
        marks={(ISO, INSTEAD): "01505-WF"}),
    "instead of nothing": one(
        "Y218", ISO, INSTEAD, "051232-O is named instead, and nothing was picked",
        marks={(ISO, INSTEAD): "051232-O", (ISO, PICKED): 0}),
    "a serial number too few": one(
        "Y219", MOD, PICKED, "3 01505-WF were picked, and 2 serial numbers are written below",
        marks={(f"{MOD}#2", SERIAL): None}),
    "serial numbers of what was not picked": one(
        "Y219", CONV, PICKED, "0 01136-OU were picked, and 1 serial numbers are written below",
        marks={(CONV, PICKED): 0}),
    "a serial number twice": one(
        "Y220", f"{MOD}#3", SERIAL,
        "serial number '01505-WF-1' stands twice; the first is {2.1#1}",
        marks={(f"{MOD}#3", SERIAL): "01505-WF-1"}),
    "a serial number that nobody knows": one(
        "Y221", f"{CONV}#1", SERIAL, "no 01136-OU with serial number 'C-78' lies in 'store'",
        marks={(f"{CONV}#1", SERIAL): "C-78"}),
    "the serial number of another item": one(
        "Y221", f"{MOD}#1", SERIAL, "'C-77' is of item 01136-OU, not of 01505-WF",
        marks={(f"{MOD}#1", SERIAL): "C-77", (CONV, PICKED): 0, (f"{CONV}#1", SERIAL): None}),
    "a drum that nobody knows": one(
        "Y221", TW, SERIAL, "no drum, batch or serial number 'drum 9' is known",
        marks={(TW, SERIAL): "drum 9"}),
    "the drum of another cable": one(
        "Y221", TW, SERIAL, "'drum 3' is of item 03901-SP, not of 03040-TE",
        marks={(TW, SERIAL): "drum 3"}),
    "a batch past its day": one(
        "Y221", SEAL, SERIAL, "batch 'B-1' was to be used by 2026-11-15",
        marks={(SEAL, SERIAL): "B-1"}),
    "half of what was written in": Case(
        (("Y222", "+2", PICKED, "'Picked' is blank in a row that is written in"),
         ("Y222", "+2", "From", "'From' is blank in a row that is written in")),
        marks={("+2", "Item"): SCREW}),
    "an unknown item written in": one(
        "Y222", "+1", "Item", "there is no item '09O53' in the catalogue",
        marks={("+1", "Item"): "09O53", ("+1", PICKED): 1, ("+1", "From"): "store"}),
    "more than lies there": one(
        "Y223", TW, PICKED, "20 03040-TE of 'drum 2' lie in 'store', 25 are written here",
        marks={(TW, PICKED): 25}),
    "more written in than is left there": one(
        "Y223", "+1", PICKED, "98 09053 lie in 'store', 99 are written here",
        marks={("+1", "Item"): SCREW, ("+1", PICKED): 99, ("+1", "From"): "store"}),
    "nobody's name": one(
        "Y225", "picked by", "What", "nobody has put a name to the sheet",
        marks={("picked by", "What"): None}),
    # which sheet it is
    "the hidden page is gone": Case(
        (("Y204", "", "", "the file does not say which sheet it is"),),
        change=lambda book: book.remove(book["Sheet"])),
    "it says it is another sheet": Case(
        (("Y205", "", "", "sheet D-101/7 of this file was not issued from this database"),),
        change=identity("B1", "D-101/7")),
    "it says it is of another job": Case(
        (("Y205", "", "", "sheet D-999/1 of this file was not issued from this database"),),
        change=identity("B1", "D-999/1")),
    "its digest was changed": Case(
        (("Y205", "", "", "sheet D-101/1 of this file was not issued from this database"),),
        change=identity("B3", "0" * 64)),
    "three mistakes are told at once": Case(
        (("Y210", SCR, "Need", "this cell said '2' and now says 20"),
         ("Y216", TW, PICKED, "Picked: 'some' is not a number"),
         ("Y214", "", "Pick!D150", "'dog on site' stands in a row that is none of the sheet's")),
        marks={(TW, PICKED): "some"},
        change=lambda book: (put(SCR, "Need", 20)(book), at("D150", "dog on site")(book))),
}


def damaged(out: Desk, case: Case) -> bytes:
    marks = all_picked(out.made) | dict(case.marks)
    return fill(out.book, {"Pick": marks}, case.change)


def in_full(out: Desk, says: str) -> str:
    """Return a message with the cell or row of a key, given as {key}, filled in."""
    if "{2.1#1}" in says:
        return says.replace("{2.1#1}", where(out.book, "2.1#1", SERIAL))
    row = where(out.book, SCR, "Row").partition("!T")[2]
    return says.replace("{5.1}", row)


def test_the_keys_are_those_of_the_rows(issued_template: Desk) -> None:
    assert {item: key_of(issued_template.made, item) for item in KEYS} == KEYS


def test_there_are_more_than_twenty_five_kinds_of_damage() -> None:
    assert len(CASES) > 40


@pytest.mark.parametrize("name", CASES)
def test_a_damaged_sheet_is_refused_with_its_cell_and_nothing_is_moved(
    name: str, out: Desk
) -> None:
    case, before = CASES[name], books()
    Path("filled.xlsx").write_bytes(damaged(out, case))
    told = problems_of(lambda: read_picked("estimator.db", Path("filled.xlsx"), NOON, write=True))
    found = {(each.code, each.where.cell, each.says) for each in told}
    assert found == {(code, where(out.book, key, title), in_full(out, says))
                     for code, key, title, says in case.told}
    assert books() == before


def test_a_sheet_that_is_not_the_newest_is_stale(out: Desk) -> None:
    (newer,) = {issued("estimator.db", Path("out"), van="van 1").issued.name}
    assert newer == "D-101/1"  # it says the same, so it is the same sheet
    with session(open_database("estimator.db")) as work:
        work.execute(update(ITEM).where(ITEM.c.code == SCREW).values(mass_kg=1))
        work.commit()
    assert issued("estimator.db", Path("out")).issued.name == "D-101/2"
    Path("filled.xlsx").write_bytes(damaged(out, Case(())))
    (told,) = problems_of(lambda: read_picked("estimator.db", Path("filled.xlsx"), NOON))
    assert (told.code, told.says) == (
        "Y206", "sheet D-101/1 is stale: D-101/2 was issued after it")


@pytest.mark.parametrize(("event", "now"), [("reopened", "open"), ("declined", "declined")])
def test_a_sheet_of_a_job_that_is_not_accepted_any_more_is_stale(
    out: Desk, event: Any, now: str
) -> None:
    record("estimator.db", "reopened", Said(JOB, "R. Owner"), NOON)
    if event == "declined":
        record("estimator.db", "declined", Said(JOB, "R. Owner"), NOON)
    Path("filled.xlsx").write_bytes(damaged(out, Case(())))
    (told,) = problems_of(lambda: read_picked("estimator.db", Path("filled.xlsx"), NOON))
    assert (told.code, told.says) == (
        "Y207", f"sheet D-101/1 is stale: it is for revision 1, and the job is {now} now")


def test_a_sheet_from_another_database_is_foreign(
    out: Desk, stocked_template: Path, tmp_path: Path
) -> None:
    Path("filled.xlsx").write_bytes(damaged(out, Case(())))
    (told,) = problems_of(lambda: read_picked(str(stocked_template), Path("filled.xlsx"), NOON))
    assert (told.code, told.says) == (
        "Y205", "sheet D-101/1 of this file was not issued from this database")


def test_a_sheet_is_read_by_its_own_command(out: Desk) -> None:
    Path("filled.xlsx").write_bytes(damaged(out, Case(())))
    (told,) = problems_of(lambda: read_returned("estimator.db", Path("filled.xlsx"), NOON))
    assert (told.code, told.says, told.mend) == (
        "Y209", "sheet D-101/1 is a sheet to pick by", "estimator stock picked filled.xlsx")


def test_a_substitute_whose_data_sheet_became_worse_is_refused(out: Desk) -> None:
    with session(open_database("estimator.db")) as work:
        work.exec_driver_sql("update item set spec = replace(spec, '\"rating_a\":\"32', "
                             "'\"rating_a\":\"16') where code = '051232-O'")
        work.exec_driver_sql("update item set spec = replace(spec, '\"rating_a\":32', "
                             "'\"rating_a\":16') where code = '051232-O'")
        work.commit()
    case = Case((), marks={(ISO, INSTEAD): "051232-O"})
    Path("filled.xlsx").write_bytes(damaged(out, case))
    (told,) = problems_of(lambda: read_picked("estimator.db", Path("filled.xlsx"), NOON))
    assert (told.code, told.where.cell) == ("Y218", where(out.book, ISO, INSTEAD))
    assert told.says == ("051232-O may not stand in for 051220-O any more: its data sheet was "
                         "changed")


def test_a_day_is_kept_as_text_so_that_no_program_turns_it(out: Desk) -> None:
    sheet = openpyxl.load_workbook(io.BytesIO(out.book))["Pick"]
    cell = cell_at(sheet, SEAL, "Use by")
    assert (cell.value, cell.data_type) == (date(2027, 3, 1).isoformat(), "s")
