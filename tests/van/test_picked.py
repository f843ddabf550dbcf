"""A pick sheet that comes back: the moves are what was written on it, once."""

from __future__ import annotations

import shutil
import subprocess
import sys
from decimal import Decimal as D
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from catalogue.db import open_database, session
from catalogue.problems import ProblemsFound
from catalogue.stock_reserving import reservation_faults, reserved
from estimator.cli import main
from estimator.workflow.picked import Read, read_picked
from estimator.workflow.used import job_used
from tests.van.desk import (
    ALARM,
    BETTER_ISOLATOR,
    CLIP,
    CONVERTER,
    ISOLATOR,
    MODULE,
    NOON,
    ROOT,
    SCREW,
    SEALANT,
    TWIN,
    all_picked,
    books,
    fill,
    issued,
    key_of,
)
from tests.van.desks import Desk

SERIAL = "Serial, batch or drum"
SITE = "site D-101"


def read(out: Desk, marks: dict[tuple[str, str], Any], *, write: bool = True, **more: Any) -> Read:
    Path("filled.xlsx").write_bytes(fill(out.book, {"Pick": marks}, **more))
    return read_picked("estimator.db", Path("filled.xlsx"), NOON, write=write)


def at_site() -> dict[tuple[str, str], D]:
    _, levels, faults = books()
    assert faults == []
    return {(item, lot): n for (item, place, lot), n in levels.items() if place == SITE}


def test_what_was_picked_lies_at_the_site_and_has_left_the_shelves(out: Desk) -> None:
    done = read(out, all_picked(out.made))
    _, levels, faults = books()
    assert faults == []
    # By hand: 14.9 of 20 m; 51 clips, 10 of them from the van; one tube of the batch B-7.
    assert levels[TWIN, SITE, "drum 2"] == D("14.9")
    assert levels[TWIN, "store", "drum 2"] == D("5.1")
    assert (CLIP, "van 1", "") not in levels
    assert (levels[CLIP, "store", ""], levels[CLIP, SITE, ""]) == (59, 51)
    assert (levels[SEALANT, "store", "B-7"], levels[SEALANT, SITE, "B-7"]) == (4, 1)
    assert levels[CONVERTER, SITE, "C-77"] == 1
    assert [levels[MODULE, SITE, f"{MODULE}-{n}"] for n in (1, 2, 3)] == [1, 1, 1]
    assert (MODULE, "store", "") not in levels
    assert [(each.row.item, each.lacking) for each in done.short] == [(ALARM, 1), ("12060", 1)]
    assert (done.by, done.unchecked) == ("M. Fitter", 0)


def test_what_was_picked_is_not_reserved_any_more(out: Desk) -> None:
    read(out, all_picked(out.made))
    with session(open_database("estimator.db"), write=False) as work:
        assert reservation_faults(work) == []
        assert [(each.item, each.quantity) for each in reserved(work)] == [(ALARM, 1), ("12060", 1)]


def test_the_job_pays_what_the_goods_were_worth_on_the_shelves(out: Desk) -> None:
    read(out, all_picked(out.made))
    lines = {line.item: line for line in job_used("estimator.db", "D-101").lines}
    # By hand: modules 4350.00 in all; cable 50 m for 40.00, so 14.9 m are 11.92; sealant 11 for
    # 44.00; clips 110 for 3.30, so 51 are 1.53.
    assert {item: lines[item].cost_minor for item in (MODULE, TWIN, SEALANT, CLIP)} == {
        MODULE: 435_000, TWIN: 1_192, SEALANT: 400, CLIP: 153}


def test_the_moves_are_shown_first_and_nothing_is_written(out: Desk) -> None:
    before = books()
    done = read(out, all_picked(out.made), write=False)
    assert {move.kind for move in done.moves} == {"pick", "cut"}
    assert books() == before


def test_a_second_reading_changes_nothing_and_says_so(out: Desk) -> None:
    first = read(out, all_picked(out.made))
    after = books()
    again = read(out, all_picked(out.made))
    assert first.before is None
    assert (again.before, again.moves) == (("M. Fitter", NOON), ())
    assert books() == after


def test_a_read_sheet_that_says_other_things_now_is_refused(out: Desk) -> None:
    read(out, all_picked(out.made))
    after = books()
    marks = all_picked(out.made) | {(key_of(out.made, SCREW), "Picked"): 1}
    with pytest.raises(ProblemsFound) as told:
        read(out, marks)
    assert [each.code for each in told.value.problems] == ["Y208"]
    assert books() == after


def test_less_than_needed_is_short_and_more_than_needed_is_taken(out: Desk) -> None:
    twin, screw = key_of(out.made, TWIN), key_of(out.made, SCREW)
    done = read(out, all_picked(out.made) | {(twin, "Picked"): 12.5, (screw, "Picked"): 9})
    assert ("03040-TE", D("2.4")) in [(each.row.item, each.lacking) for each in done.short]
    assert at_site()[TWIN, "drum 2"] == D("12.5")
    assert at_site()[SCREW, ""] == 9


def test_a_substitute_is_taken_from_where_it_lies(out: Desk) -> None:
    key = key_of(out.made, ISOLATOR)
    done = read(out, all_picked(out.made) | {(key, "Instead"): BETTER_ISOLATOR})
    assert done.swapped == ((ISOLATOR, BETTER_ISOLATOR, D(1)),)
    site = at_site()
    assert site[BETTER_ISOLATOR, ""] == 1
    assert (ISOLATOR, "") not in site
    (move,) = [move for move in done.moves if move.item == BETTER_ISOLATOR]
    assert (move.from_place, move.why, move.value_minor) == (
        "store", f"instead of {ISOLATOR}", 2_200)


def test_another_drum_and_another_batch_may_be_written_in(out: Desk) -> None:
    twin, sealant = key_of(out.made, TWIN), key_of(out.made, SEALANT)
    read(out, all_picked(out.made) | {(twin, SERIAL): "drum 1", (sealant, SERIAL): "B-8"})
    site = at_site()
    assert site[TWIN, "drum 1"] == D("14.9")
    assert site[SEALANT, "B-8"] == 1


def test_what_was_taken_beside_the_lines_is_written_in(out: Desk) -> None:
    done = read(out, all_picked(out.made) | {
        ("+1", "Item"): SCREW, ("+1", "Picked"): 20, ("+1", "From"): "store",
        ("+3", "Item"): SEALANT, ("+3", "Picked"): 2, ("+3", "From"): "store",
        ("+3", SERIAL): "B-8",
    })
    assert [move.why for move in done.moves if move.why == "written in"] == ["written in"] * 2
    assert at_site()[SCREW, ""] == 22
    assert at_site()[SEALANT, "B-8"] == 2


def test_boxes_with_less_in_them_than_expected_are_told(out: Desk) -> None:
    box = next(each for each in out.made.sheet.boxes if each.item == "02010-WB")
    Path("filled.xlsx").write_bytes(fill(out.book, {
        "Pick": all_picked(out.made), "Boxes": {(box.key, "Found"): 2}}))
    done = read_picked("estimator.db", Path("filled.xlsx"), NOON)
    assert done.boxes == (("02010-WB", D(3), D(2)),)


def test_the_rows_may_be_sorted_otherwise(out: Desk) -> None:
    def swap(book: Any) -> None:
        sheet = book["Pick"]
        first, last = 12, 30
        for column in range(1, sheet.max_column + 1):
            a, b = sheet.cell(first, column), sheet.cell(last, column)
            a.value, b.value = b.value, a.value

    assert read(out, all_picked(out.made), change=swap).written


def test_after_a_part_was_picked_the_next_sheet_asks_for_the_rest(out: Desk) -> None:
    screw, twin = key_of(out.made, SCREW), key_of(out.made, TWIN)
    read(out, all_picked(out.made) | {(screw, "Picked"): 1, (twin, "Picked"): 0})
    rest = issued("estimator.db", Path("out"))
    assert rest.issued.name == "D-101/2"
    assert [(row.item, row.pick) for row in rest.sheet.rows] == [
        (ALARM, 1), ("12060", 1), (TWIN, D("14.9")), (SCREW, 1)]


def test_the_command_shows_the_moves_and_writes_them_when_told(out: Desk) -> None:
    Path("filled.xlsx").write_bytes(fill(out.book, {"Pick": all_picked(out.made)}))
    shown = CliRunner().invoke(main, ["stock", "picked", "filled.xlsx"])
    assert shown.exit_code == 0, shown.output
    assert "  pick         14.9 03040-TE of drum 2: store -> site D-101" in shown.stdout
    assert "  short: 1 each 11503-HB Heat alarm, battery, radio link" in shown.stdout
    assert "Nothing is written yet." in shown.stdout
    before = books()
    wrote = CliRunner().invoke(main, ["stock", "picked", "filled.xlsx", "--write", "--json"])
    assert '"written": true' in wrote.stdout
    assert len(books()[0]) > len(before[0])
    again = CliRunner().invoke(main, ["stock", "picked", "filled.xlsx", "--write"])
    assert again.exit_code == 0
    assert "was read already, on 2" in again.stdout


READ_IT = """
import sys
from pathlib import Path
from estimator.workflow.picked import read_picked
from tests.van.desk import NOON
read = read_picked("estimator.db", Path("filled.xlsx"), NOON, write=True)
print("moved" if read.moves else "nothing")
"""


def test_of_two_desks_that_read_one_sheet_at_once_one_moves_and_the_other_is_told(
    out: Desk
) -> None:
    Path("filled.xlsx").write_bytes(fill(out.book, {"Pick": all_picked(out.made)}))
    program = f"import sys; sys.path.insert(0, {str(ROOT)!r})" + READ_IT
    desks = [subprocess.Popen([sys.executable, "-c", program], stdout=subprocess.PIPE, text=True)
             for _ in range(2)]
    assert sorted(desk.communicate(timeout=120)[0].strip() for desk in desks) == [
        "moved", "nothing"]
    assert at_site()[TWIN, "drum 2"] == D("14.9")


@settings(max_examples=6, deadline=None,
          suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(st.data())
def test_whatever_is_written_the_moves_are_the_marks_and_twice_is_once(
    issued_template: Desk, tmp_path_factory: Any, data: st.DataObject
) -> None:
    folder = tmp_path_factory.mktemp("any")
    database, file = folder / "estimator.db", folder / "filled.xlsx"
    shutil.copy(issued_template.database, database)
    marks = all_picked(issued_template.made)
    wanted: dict[str, D] = {}
    for row in issued_template.made.sheet.rows:
        if row.short or row.serials:
            wanted[row.item] = wanted.get(row.item, D(0)) + (D(0) if row.short else row.pick)
            continue
        picked = data.draw(st.integers(0, int(row.pick)))
        marks[row.key, "Picked"] = picked
        wanted[row.item] = wanted.get(row.item, D(0)) + picked
    file.write_bytes(fill(issued_template.book, {"Pick": marks}))
    read_picked(str(database), file, NOON, write=True)
    once = books(str(database))
    assert once[2] == []
    found: dict[str, D] = {}
    for (item, place, _), n in once[1].items():
        if place == SITE:
            found[item] = found.get(item, D(0)) + n
    assert found == {item: n for item, n in wanted.items() if n}
    assert read_picked(str(database), file, NOON, write=True).moves == ()
    assert books(str(database)) == once
