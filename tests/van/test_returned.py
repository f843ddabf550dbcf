"""What comes back after a job, and what it has used; sums by hand."""

from __future__ import annotations

from decimal import Decimal as D
from pathlib import Path
from typing import Any

from click.testing import CliRunner

from estimator.cli import main
from estimator.workflow.returned import Returned, read_returned
from estimator.workflow.used import job_used
from tests.van.desk import (
    CLIP,
    CONVERTER,
    METER,
    MODULE,
    NOON,
    SEALANT,
    TWIN,
    all_used,
    books,
    fill,
    key_of,
)
from tests.van.desks import Desk

GOOD, DAMAGED, OFFCUTS, BECAME = (
    "Back, good", "Back, damaged", "Offcuts in m", "Fitted, back or damaged")


def read(on_site: Desk, more: dict[tuple[str, str], Any], bought: dict[tuple[str, str], Any] | None
         = None, *, write: bool = True) -> Returned:
    marks = {**all_used(on_site.made), **more}
    Path("back.xlsx").write_bytes(fill(on_site.book, {
        "Comes back": marks, "Bought": bought or {}}))
    return read_returned("estimator.db", Path("back.xlsx"), NOON, write=write)


def test_what_is_not_back_is_used_and_costs_what_it_left_with(on_site: Desk) -> None:
    used = {each.item: each for each in read(on_site, {}).used.lines}
    # By hand: as in the test of what was picked.
    assert (used[TWIN].used, used[TWIN].cost_minor) == (D("14.9"), 1_192)
    assert (used[MODULE].used, used[MODULE].cost_minor) == (3, 435_000)
    assert all(each.returned == each.bought == 0 for each in used.values())


def test_good_ones_go_to_the_store_and_damaged_ones_into_quarantine(on_site: Desk) -> None:
    clip = key_of(on_site.made, CLIP)
    done = read(on_site, {(clip, GOOD): 20, (clip, DAMAGED): 1})
    _, levels, faults = books()
    assert faults == []
    # By hand: 59 were left in the store; 51 - 21 stay with the job, at 0.03 each.
    assert levels[CLIP, "store", ""] == 79
    assert levels[CLIP, "quarantine", ""] == 1
    assert levels[CLIP, "site D-101", ""] == 30
    (line,) = [each for each in done.used.lines if each.item == CLIP]
    assert (line.picked, line.returned, line.used, line.cost_minor) == (51, 21, 30, 90)


def test_the_word_all_brings_a_whole_row_back(on_site: Desk) -> None:
    read(on_site, {(key_of(on_site.made, SEALANT), GOOD): "all"})
    assert books()[1][SEALANT, "store", "B-7"] == 5
    assert SEALANT not in [each.item for each in job_used("estimator.db", "D-101").lines
                           if each.used]


def test_an_offcut_comes_back_as_a_length_of_its_own(on_site: Desk) -> None:
    done = read(on_site, {(key_of(on_site.made, TWIN), OFFCUTS): "3.2; 1.5"})
    moves, levels, faults = books()
    assert faults == []
    # By hand: 14.9 m are out of drum 2, which has 5.1 m left; 10.2 m are used, at 0.80.
    assert levels[TWIN, "store", "drum 2"] == D("5.1")
    assert levels[TWIN, "store", "drum 2/2.1"] == D("3.2")
    assert levels[TWIN, "store", "drum 2/2.2"] == D("1.5")
    (line,) = [each for each in done.used.lines if each.item == TWIN]
    assert (line.returned, line.used, line.cost_minor) == (D("4.7"), D("10.2"), 816)
    assert sum(move.quantity for move in moves if move.kind == "return") == D("4.7")


def test_a_damaged_length_goes_into_quarantine(on_site: Desk) -> None:
    key = key_of(on_site.made, TWIN)
    read(on_site, {(key, OFFCUTS): 2, (key, DAMAGED): 12.9})
    _, levels, _ = books()
    assert levels[TWIN, "store", "drum 2/2.1"] == 2
    assert levels[TWIN, "quarantine", "drum 2/2.2"] == D("12.9")
    assert (TWIN, "site D-101", "drum 2") not in levels


def test_serial_numbers_are_fitted_with_their_place_or_go_back(on_site: Desk) -> None:
    meter, first = key_of(on_site.made, METER), key_of(on_site.made, MODULE)
    done = read(on_site, {
        (meter, BECAME): "back", (first, BECAME): "damaged",
        (key_of(on_site.made, CONVERTER), "Where it is fitted, remark"): "outside wall"})
    _, levels, _ = books()
    assert levels[METER, "store", f"{METER}-1"] == 1
    assert levels[MODULE, "quarantine", f"{MODULE}-1"] == 1
    assert done.fitted == ((CONVERTER, "C-77", "outside wall"), (MODULE, f"{MODULE}-2", ""),
                           (MODULE, f"{MODULE}-3", ""))


def test_what_was_bought_on_the_way_is_used_at_what_was_paid(on_site: Desk) -> None:
    done = read(on_site, {}, {
        ("+1", "Item"): "12060", ("+1", "How many"): 1, ("+1", "Paid in all, without tax"): 1.15,
        ("+1", "Supplier"): "counter"})
    (line,) = [each for each in done.used.lines if each.item == "12060"]
    assert (line.picked, line.bought, line.used, line.cost_minor) == (0, 1, 1, 115)
    (move,) = [move for move in done.moves if move.kind == "receive"]
    assert (move.to_place, move.why) == ("site D-101", "bought from counter")
    assert books()[2] == []


def test_the_lines_add_up_to_the_job(on_site: Desk) -> None:
    used = read(on_site, {(key_of(on_site.made, CLIP), GOOD): 20}).used
    assert used.cost_minor == sum(each.cost_minor for each in used.lines)
    # Value in = value out + value held: what was received less what lies in the firm's places.
    moves, _, _ = books()
    paid = sum(move.value_minor or 0 for move in moves if move.kind == "receive")
    left = sum(move.value_minor or 0 for move in moves if move.kind == "pick")
    back = sum(move.value_minor or 0 for move in moves if move.kind == "return")
    assert used.cost_minor == left - back
    assert 0 < left < paid


def test_a_second_reading_changes_nothing_and_shows_what_was_used(on_site: Desk) -> None:
    first = read(on_site, {(key_of(on_site.made, CLIP), GOOD): 20})
    after = books()
    again = read(on_site, {(key_of(on_site.made, CLIP), GOOD): 20})
    assert (again.before, again.moves, again.used) == (("M. Fitter", NOON), (), first.used)
    assert books() == after


def test_the_moves_are_shown_first(on_site: Desk) -> None:
    before = books()
    assert read(on_site, {(key_of(on_site.made, CLIP), GOOD): 20}, write=False).moves
    assert books() == before


def test_the_commands_show_what_was_used_and_fitted(on_site: Desk) -> None:
    read(on_site, {}, write=False)
    shown = CliRunner().invoke(main, ["stock", "returned", "back.xlsx", "--write"])
    assert shown.exit_code == 0, shown.output
    assert "  fitted: 01136-OU C-77" in shown.stdout
    assert "USED on job D-101: picked + bought - returned" in shown.stdout
    assert shown.stdout.endswith("Written.\n")
    used = CliRunner().invoke(main, ["stock", "used", "D-101", "--json"])
    assert '"item": "01505-WF"' in used.stdout
    again = CliRunner().invoke(main, ["stock", "returned", "back.xlsx", "--write"])
    assert "was read already" in again.stdout
