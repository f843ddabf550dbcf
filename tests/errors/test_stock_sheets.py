"""Sheets for the van that are refused, each with its whole message; gone through by hand.

More kinds of damage, with the cell of each: tests/van/test_damaged_sheets.py.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

from catalogue.db import open_database, session
from catalogue.problems import ProblemsFound
from estimator.workflow.job_states import Said, record
from estimator.workflow.picked import read_picked
from estimator.workflow.returned import read_returned
from estimator.workflow.stock_sheet import SheetAsked, issue_sheet
from tests.van.desk import (
    JOB,
    NOON,
    WORK,
    all_picked,
    all_used,
    books,
    cell_at,
    fill,
    key_of,
)
from tests.van.desks import Desk, issued_template, picked_template, stocked_template

__all__ = ["issued_template", "picked_template", "stocked_template"]
TOLD = Path(__file__).parent / "stock_sheets"
SERIAL = "Serial, batch or drum"
Marks = dict[tuple[str, str], Any]


def ask(**more: Any) -> Callable[[Desk], None]:
    def run(desk: Desk) -> None:
        issue_sheet("estimator.db", SheetAsked(JOB, WORK, **more), NOON)
    return run


def reopened(desk: Desk) -> None:
    record("estimator.db", "reopened", Said(JOB, "R. Owner"), NOON)
    ask()(desk)


def picks(marks: Marks, change: Callable[[Any], Any] | None = None) -> Callable[[Desk], None]:
    def run(desk: Desk) -> None:
        both = {**all_picked(desk.made), **marks}
        Path("filled.xlsx").write_bytes(fill(desk.book, {"Pick": both}, change))
        read_picked("estimator.db", Path("filled.xlsx"), NOON, write=True)
    return run


def stale(desk: Desk) -> None:
    with session(open_database("estimator.db")) as work:
        work.exec_driver_sql("update item set mass_kg = 1000 where code = '09053'")
        work.commit()
    ask()(desk)
    picks({})(desk)


def not_accepted_any_more(desk: Desk) -> None:
    record("estimator.db", "reopened", Said(JOB, "R. Owner"), NOON)
    picks({})(desk)


def read_otherwise(desk: Desk) -> None:
    picks({})(desk)
    picks({("5.1", "Picked"): 1})(desk)


def wrong_command(desk: Desk) -> None:
    Path("filled.xlsx").write_bytes(desk.book)
    read_returned("estimator.db", Path("filled.xlsx"), NOON)


def other_layout(desk: Desk) -> None:
    with session(open_database("estimator.db")) as work:
        work.exec_driver_sql(
            """update stock_sheet
               set sheet_json = replace(sheet_json, '"layout":1', '"layout":9')""")
        work.commit()
    picks({})(desk)


def all_over_the_sheet(book: Any) -> None:
    """Change a locked cell, a key and a page, add a row, and merge cells."""
    sheet = book["Pick"]
    cell_at(sheet, "5.1", "Need").value = 20
    cell_at(sheet, "11.1", "Row").value = "11.9"
    row = cell_at(sheet, "4.1", "Row").row
    for column in range(1, 21):
        sheet.cell(200, column).value = sheet.cell(row, column).value
    sheet.merge_cells("S30:S31")
    book.remove(book["Boxes"])



ISSUING: Mapping[str, Callable[[Desk], None]] = {
    "van": ask(van="van 2"), "not-accepted": reopened, "nothing-out": ask(back=True),
    "no-identity": picks({}, lambda book: book.remove(book["Sheet"])),
    "foreign": picks({}, lambda book: book["Sheet"].__setitem__("B1", "D-102/1")),
    "stale": stale, "not-accepted-any-more": not_accepted_any_more,
    "read-otherwise": read_otherwise, "wrong-command": wrong_command, "layout": other_layout,
    "tampered": picks({("47.1", "Picked"): "some"}, all_over_the_sheet),
    "marks": picks({
        ("5.1", "Picked"): None, ("26.1", "Instead"): "051232-O", ("26.1", "Picked"): 0,
        ("2.1#2", SERIAL): None, ("29.1#1", SERIAL): "C-77", ("11.1", SERIAL): "drum 9",
        ("+1", "Item"): "09O53", ("+1", "Picked"): 1, ("+1", "From"): "store"}),
    "too-many": picks({("11.1", "Picked"): 25, ("12.2", "Picked"): 900}),
    "no-name": picks({("picked by", "What"): None}),
}


def message(name: str) -> str:
    return (TOLD / f"{name}.txt").read_text(encoding="utf-8")


def told(desk: Desk, run: Callable[[Desk], None], folder: Path) -> str:
    (folder / "estimator.db").write_bytes(desk.database.read_bytes())
    with pytest.raises(ProblemsFound) as caught:
        run(desk)
    return f"{caught.value}\n"


@pytest.mark.parametrize("name", ISSUING)
def test_what_cannot_be_issued_or_read_is_told_in_these_words(
    name: str, issued_template: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert told(issued_template, ISSUING[name], tmp_path) == message(name)
    assert books()[2] == []


def test_what_cannot_come_back_is_told_in_these_words(
    picked_template: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)

    def run(desk: Desk) -> None:
        marks = all_used(desk.made) | {
            (key_of(desk.made, "08410-CC"), "Back, good"): 60,
            (key_of(desk.made, "03040-TE"), "Offcuts in m"): "3,2",
            (key_of(desk.made, "01136-OU"), "Fitted, back or damaged"): None}
        Path("back.xlsx").write_bytes(fill(desk.book, {
            "Comes back": marks, "Bought": {("+1", "Item"): "12060"}}))
        read_returned("estimator.db", Path("back.xlsx"), NOON, write=True)

    before = (tmp_path / "estimator.db", picked_template.database)[1]
    assert told(picked_template, run, tmp_path) == message("back")
    assert books() == books(str(before))


def test_every_code_has_its_words() -> None:
    texts = "".join(path.read_text(encoding="utf-8") for path in TOLD.glob("*.txt"))
    wanted = {f"Y{number}" for number in range(201, 228)}
    assert wanted - set(re.findall(r" error (Y2\d\d): ", texts)) == set()
    assert {path.stem for path in TOLD.glob("*.txt")} == {*ISSUING, "back"}
