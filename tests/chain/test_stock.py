"""`estimator stock`: places, goods in, moves, counts, what is free, what it is worth."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook
from sqlalchemy import update

from catalogue import db
from catalogue.tables import LEVEL
from tests.chain.desk import codes, quote, run

CLIP, CABLE, MODULE, SEALANT = "02902-MC", "03025-TE", "01505-WF", "15010"


def told(*typed: str) -> Any:
    result = run("stock", *typed, "--json")
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


@pytest.fixture
def store(desk: Path) -> Path:
    for name, kind in (("store", "store"), ("van 1", "van"), ("aside", "quarantine")):
        told("places", "--add", name, "--kind", kind)
    return desk


def free(item: str, *more: str) -> dict[str, Any]:
    (line,) = told("show", item, *more)["lines"]
    return dict(line)


def test_places_are_added_and_listed_with_what_lies_there(store: Path) -> None:
    told("receive", CLIP, "200", "--into", "store", "--cost", "116.00")
    told("receive", SEALANT, "2", "--into", "store", "--cost", "9")
    assert [(each["name"], each["kind"], each["items"]) for each in told("places")] == [
        ("aside", "quarantine", 0), ("store", "store", 2), ("van 1", "van", 0)]


def test_goods_come_in_with_their_cost_and_are_told_apart_where_they_are(store: Path) -> None:
    told("receive", CLIP, "200", "--into", "store", "--cost", "116.00")
    # By hand: 192.01 over 100 m and 50 m is 128.0067 and 64.0033: the odd penny to the larger rest.
    drums = told("receive", CABLE, "150", "--into", "store", "--cost", "192.01",
                 "--length", "100", "--length", "50", "--document", "note 7")
    assert [(each["lot"], each["quantity"], each["value_minor"]) for each in drums] == [
        (f"{CABLE}/1", "100", 12_801), (f"{CABLE}/2", "50", 6_400)]
    more = told("receive", CABLE, "25", "--into", "store", "--cost", "32", "--length", "25")
    assert [each["lot"] for each in more] == [f"{CABLE}/3"]
    told("receive", MODULE, "2", "--into", "store", "--cost", "2900", "--serial", "S2",
         "--serial", "S1")
    assert [each["lot"] for each in free(MODULE)["lots"]] == ["S1", "S2"]
    worth = told("worth")
    assert (worth["average_minor"], worth["fifo_minor"]) == (
        11_600 + 19_201 + 3_200 + 290_000,) * 2


def test_a_batch_is_free_until_its_last_day_and_not_after_it(store: Path) -> None:
    for batch, until in (("old", "2020-01-31"), ("new", "2999-05-31")):
        told("receive", SEALANT, "6", "--into", "store", "--cost", "51", "--batch", batch,
             "--expires", until)
    line = free(SEALANT)
    assert (line["on_hand"], line["free"]) == ("12", "6")
    assert [(each["lot"], each["expired"]) for each in line["lots"]] == [
        ("new", False), ("old", True)]
    assert free(SEALANT, "--on", "2999-05-31")["free"] == "6"
    assert free(SEALANT, "--on", "2999-06-01")["free"] == "0"
    assert "EXPIRED 2020-01-31" in run("stock", "show", SEALANT).output


def test_what_is_moved_lies_elsewhere_and_is_worth_the_same(store: Path) -> None:
    told("receive", CLIP, "200", "--into", "store", "--cost", "116.00")
    (move,) = told("move", CLIP, "50", "--from", "store", "--to", "van 1", "--why", "for Monday")
    assert (move["kind"], move["value_minor"], move["why"]) == ("load", None, "for Monday")
    told("move", CLIP, "30", "--from", "store", "--to", "aside")
    line = free(CLIP)
    assert [(each["place"], each["quantity"], each["free"]) for each in line["lots"]] == [
        ("aside", "30", "0"), ("store", "120", "120"), ("van 1", "50", "50")]
    assert (line["on_hand"], line["free"]) == ("170", "170")
    (there,) = told("show", "--place", "van 1")["lines"]
    assert (there["on_hand"], there["free"]) == ("50", "50")
    assert told("worth")["average_minor"] == 11_600


def test_drums_are_moved_by_name_several_of_them_whole(store: Path) -> None:
    told("receive", CABLE, "150", "--into", "store", "--cost", "192", "--length", "100",
         "--length", "50")
    assert codes(run("stock", "move", CABLE, "50", "--from", "store", "--to", "van 1",
                     "--json")) == {"Y110"}
    told("move", CABLE, "150", "--from", "store", "--to", "van 1",
         "--lot", f"{CABLE}/1", "--lot", f"{CABLE}/2")
    assert {each["place"] for each in free(CABLE)["lots"]} == {"van 1"}
    told("move", CABLE, "100", "--from", "van 1", "--to", "store", "--lot", f"{CABLE}/1")
    # The one drum that is left in the van needs no name.
    told("move", CABLE, "50", "--from", "van 1", "--to", "store")


def test_a_count_is_shown_first_and_written_as_a_move(store: Path) -> None:
    told("receive", CLIP, "200", "--into", "store", "--cost", "116.00")
    counted = ("count", CLIP, "190", "--place", "store", "--why", "counted on Friday")
    shown = told(*counted)
    # By hand: 10 of 200 that are worth 116.00.
    assert [(each["difference"], each["value_minor"]) for each in shown["lines"]] == [("-10", -580)]
    assert not shown["written"]
    assert free(CLIP)["on_hand"] == "200"
    dry = run("stock", *counted)
    assert "Add --write to write the changes." in dry.output
    assert "Nothing is written yet." in dry.output
    assert told(*counted, "--write")["written"]
    assert free(CLIP)["on_hand"] == "190"
    assert told("worth")["average_minor"] == 11_600 - 580
    again = told(*counted, "--write")
    assert not again["written"]
    assert "The books are right" in run("stock", *counted).output
    found = told("count", CLIP, "200", "--place", "store", "--cost", "1.00", "--write")
    assert found["lines"][0]["value_minor"] == 100
    assert told("worth")["average_minor"] == 11_600 - 480


OPENING = [
    ("item", "place", "quantity", "lot", "kind", "expires_on", "cost"),
    (CLIP, "store", 120, None, None, None, 69.60),
    (CABLE, "store", 82.5, "drum A", "length", None, 105.6),
    (SEALANT, "van 1", 3, "B-77", "batch", "2999-05-31", 25.5),
    (MODULE, "store", 1, "S1", "serial", None, 1450),
]


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_an_opening_count_is_taken_over_from_a_file(store: Path, form: str) -> None:
    name = f"opening.{form}"
    if form == "csv":
        (store / name).write_text("\n".join(
            ",".join("" if cell is None else str(cell) for cell in row) for row in OPENING))
    else:
        book = Workbook()
        for row in OPENING:
            book.active.append(row)
        book.save(store / name)
    assert not told("count", "--file", name)["written"]
    assert told("count", "--file", name, "--write")["written"]
    assert told("worth")["average_minor"] == 6_960 + 10_560 + 2_550 + 145_000
    assert [each["lot"] for each in free(SEALANT)["lots"]] == ["B-77"]
    assert not told("count", "--file", name, "--write")["written"]
    assert told("check") == {"moves": 4, "items": 4, "reservations": 0}


def test_what_an_accepted_job_needs_is_not_free_and_what_is_missing_is_short(store: Path) -> None:
    told("receive", MODULE, "2", "--into", "store", "--cost", "2900", "--serial", "S1",
         "--serial", "S2")
    told("receive", CLIP, "10", "--into", "store", "--cost", "5.80")
    assert quote("--no-papers").exit_code == 0
    assert free(MODULE)["free"] == "2"
    from datetime import UTC, datetime

    from estimator.workflow.job_states import Said, record
    record("estimator.db", "accepted", Said("D-101", "R. Owner"),
           datetime(2026, 11, 12, 12, tzinfo=UTC))
    line = free(MODULE)
    # The demo job takes three modules; two are there.
    assert (line["reserved"], line["free"], line["short"]) == ("3", "0", "1")
    assert [(each["job"], each["lot"]) for each in line["promises"]] == [
        ("D-101", "S1"), ("D-101", "S2")]
    assert free(CLIP)["free"] == "10"  # it needs no clips
    text = run("stock", "show", MODULE).output
    assert "job D-101" in text
    assert "SHORT" in text
    done = told("reserve", "D-101", "--on", "2999-01-05")
    assert done["needed_on"] == "2999-01-05"
    assert {each["needed_on"] for each in free(MODULE)["promises"]} == {"2999-01-05"}
    assert told("check")["reservations"] == len(done["quantities"])


def test_nothing_is_said_plainly(desk: Path) -> None:
    assert "No place yet" in run("stock", "places").output
    assert "Nothing is held" in run("stock", "show").output
    assert "Nothing is held" in run("stock", "worth").output
    assert "0 moves" in run("stock", "check").output


def test_books_that_were_tampered_with_are_told_and_end_with_status_one(store: Path) -> None:
    told("receive", CLIP, "10", "--into", "store", "--cost", "5.80")
    with db.session(db.open_database("estimator.db")) as work:
        work.execute(update(LEVEL).values(quantity=11))
        work.commit()
    assert codes(run("stock", "check", "--json")) == {"Y115"}


@pytest.mark.parametrize("typed", [
    ("places", "--add", "shed"), ("count", CLIP), ("count", CLIP, "1", "--file", "count.csv"),
    ("receive", CLIP, "1.0001", "--into", "store", "--cost", "1"),
    ("receive", CLIP, "NaN", "--into", "store", "--cost", "1"),
    ("receive", CLIP, "1", "--into", "store", "--cost", "-1"),
])
def test_a_command_line_that_cannot_be_read_ends_with_status_two(
    store: Path, typed: tuple[str, ...]
) -> None:
    assert run("stock", *typed).exit_code == 2


def test_a_name_that_a_spreadsheet_would_run_stays_text(store: Path) -> None:
    told("places", "--add", "=1+1", "--kind", "store")
    assert "=1+1" in {each["name"] for each in told("places")}
