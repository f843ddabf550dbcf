"""What a pick sheet says, against what was put on the shelves by hand."""

from __future__ import annotations

from datetime import date
from decimal import Decimal as D
from pathlib import Path

import pytest
from click.testing import CliRunner
from sqlalchemy import insert, select

from catalogue.db import open_database, session
from catalogue.problems import ProblemsFound
from catalogue.stock.ledger import Move
from catalogue.stock_books import post_moves
from catalogue.stock_reserving import reserve
from catalogue.tables import JOB, PLACE, STOCK_SHEET
from estimator.cli import main
from estimator.van.pick_sheet import in_packs, to_pick, walk_key
from estimator.van.sheet_model import PickRow
from estimator.workflow.job_states import Said, record
from estimator.workflow.quote import QuoteRequest, quote
from estimator.workflow.stock_sheet import SheetMade
from tests.van.desk import (
    ALARM,
    BETTER_ISOLATOR,
    CLIP,
    CONDUIT,
    CONVERTER,
    DATA,
    ISOLATOR,
    METER,
    MODULE,
    NOON,
    QUOTED,
    ROOT,
    SCREW,
    SEALANT,
    STOREKEEPER,
    TWIN,
    issued,
)
from tests.van.desk import JOB as D101


def rows_of(made: SheetMade, item: str) -> list[PickRow]:
    return [row for row in made.sheet.rows if row.item == item]


def codes(**more) -> list[str]:
    with pytest.raises(ProblemsFound) as told:
        issued("estimator.db", Path("out"), **more)
    return [problem.code for problem in told.value.problems]


def test_a_cable_is_cut_from_the_drum_that_fits_best_with_its_metre_marks(made: SheetMade) -> None:
    # By hand: the bill needs 14.1 m and 0.705 m of waste, raised to 14.9; the drum of 20 m is the
    # shortest that holds it; cut at mark 5.1. 18.5 m and 0.925 are 19.5 of the 100 m.
    (twin,), (data,) = rows_of(made, TWIN), rows_of(made, DATA)
    assert (twin.pick, twin.place, twin.lot, twin.left) == (D("14.9"), "store", "drum 2", D("5.1"))
    assert (data.pick, data.lot, data.left) == (D("19.5"), "drum 3", D("80.5"))


def test_a_bar_is_told_with_where_its_saw_marks_stand(made: SheetMade) -> None:
    (bar,) = rows_of(made, CONDUIT)
    assert (bar.pick, bar.lot, bar.left, bar.saw) == (D(3), "bar 1", D(0), "bars 1: see Cuts")
    assert {(cut.bar, cut.item) for cut in made.sheet.saw} == {("1", CONDUIT)}


def test_the_batch_that_expires_first_and_is_not_past_its_day_is_named(made: SheetMade) -> None:
    (sealant,) = rows_of(made, SEALANT)
    assert (sealant.lot, sealant.use_by) == ("B-7", date(2027, 3, 1))


def test_what_lies_in_the_van_is_taken_before_the_store(made: SheetMade) -> None:
    # By hand: 48 clips and 2.4 of waste, raised to 51: 10 in the van, 41 from the store.
    assert [(row.place, row.pick) for row in rows_of(made, CLIP)] == [
        ("van 1", D(10)), ("store", D(41))]


def test_each_thing_with_a_serial_number_has_a_box_for_it(made: SheetMade) -> None:
    (converter,), (module,), (meter,) = (rows_of(made, x) for x in (CONVERTER, MODULE, METER))
    assert (converter.serials, converter.lots) == (1, ("C-77",))
    assert (module.serials, module.lots) == (3, ())
    assert meter.serials == 1


def test_what_is_short_stands_first_and_the_rest_in_the_order_of_the_walk(made: SheetMade) -> None:
    short = [row.item for row in made.sheet.rows if row.short]
    assert short == [row.item for row in made.sheet.rows[:len(short)]] == [ALARM, "12060"]
    bins = [row.bin for row in made.sheet.rows[len(short):]]
    assert bins == sorted(bins, key=walk_key)
    assert bins.index("B-2N") < bins.index("B-10")
    assert bins[-1] == ""


def test_only_what_passes_every_hard_field_may_be_picked_instead(made: SheetMade) -> None:
    (isolator,), (screw,) = rows_of(made, ISOLATOR), rows_of(made, SCREW)
    assert BETTER_ISOLATOR in isolator.instead
    assert "051216-I" not in isolator.instead
    assert isinstance(screw.instead, tuple)


def test_what_must_lie_in_the_boxes_is_said_with_what_this_job_uses(made: SheetMade) -> None:
    # By hand from catalogue/starter/boxes.csv: three modules with a bracket each, and the job hangs
    # three; the converter's clamp is too short and comes back.
    boxes = {(box.box, box.item): (box.expected, box.used) for box in made.sheet.boxes}
    assert boxes[MODULE, "02010-WB"] == (3, 3)
    assert boxes[CONVERTER, "06510-10"] == (1, 0)


def test_mass_and_longest_piece_are_held_against_the_van(made: SheetMade) -> None:
    # By hand: three modules of 60 kg and the converter's 19 kg are most of it.
    load = made.sheet.load
    assert D(199) < load.mass_kg < D(230)
    assert (load.longest_mm, load.longest[:7], load.fits) == (4500, "3000 mm", True)
    assert [each.measure for each in load.shared] == ["mass", "longest piece"]
    heavy = next(each for each in load.loads if each.item == MODULE)
    assert (heavy.where, heavy.lift) == ("low, against the bulkhead", "two people and an aid")


@pytest.mark.parametrize(("quantity", "pack", "says"), [
    ("164", "100", "1 x 100 + 64 loose"), ("200", "100", "2 x 100"), ("12", "50", "12 loose"),
    ("3", "1", ""),
])
def test_a_quantity_is_said_as_packs_and_loose_ones(quantity, pack, says) -> None:
    assert in_packs(D(quantity), D(pack)) == says


@pytest.mark.parametrize(("quantity", "unit", "counted", "wanted"), [
    ("50.4", "each", True, "51"), ("14.805", "m", False, "14.9"), ("14.9", "m", False, "14.9"),
    ("0.0001", "kg", False, "0.001"),
])
def test_what_is_picked_is_raised_to_what_can_be_picked(quantity, unit, counted, wanted) -> None:
    assert to_pick(D(quantity), unit, counted=counted) == D(wanted)


# -- issued and kept -------------------------------------------------------------------------------


def test_a_sheet_is_kept_and_the_same_one_is_written_again_with_the_same_bytes(
    made: SheetMade, desk: Path
) -> None:
    again = issued("estimator.db", desk / "again")
    assert (again.issued, again.new) == (made.issued, False)
    assert again.file.read_bytes() == made.file.read_bytes()
    with session(open_database("estimator.db"), write=False) as work:
        (row,) = work.execute(select(STOCK_SHEET))
    assert (row.job_id, row.number, row.revision, row.kind) == (D101, 1, 1, "pick")


def test_a_sheet_that_says_something_else_is_the_next(made: SheetMade, desk: Path) -> None:
    with session(open_database("estimator.db")) as work:
        post_moves(work, [Move("receive", ALARM, D(1), to_place="store", value_minor=2_900)],
                   STOREKEEPER)
        work.commit()
    again = issued("estimator.db", desk / "out")
    assert (again.issued.name, again.new) == ("D-101/2", True)
    assert rows_of(again, ALARM)[0].place == "store"


def test_only_an_accepted_job_is_picked(desk: Path) -> None:
    record("estimator.db", "reopened", Said(D101, "R. Owner"), NOON)
    assert codes() == codes(back=True) == ["Y202"]
    record("estimator.db", "declined", Said(D101, "R. Owner"), NOON)
    assert codes() == ["Y202"]


def test_nothing_comes_back_before_anything_was_picked(desk: Path) -> None:
    assert codes(back=True) == ["Y203"]


def test_a_van_that_is_not_there_is_told_and_with_two_vans_none_is_robbed(desk: Path) -> None:
    assert codes(van="van 2") == ["Y201"]
    with session(open_database("estimator.db")) as work:
        work.execute(insert(PLACE).values(name="van 2", kind="van", note=""))
        work.commit()
    made = issued("estimator.db", desk / "out")
    assert [(row.place, row.pick) for row in rows_of(made, CLIP)] == [("store", D(51))]
    assert [row.place for row in rows_of(issued("estimator.db", desk / "out", van="van 1"), CLIP)
            ] == ["van 1", "store"]


def test_what_another_job_was_promised_before_is_not_offered(desk: Path) -> None:
    # By hand: 110 clips lie there, 90 are kept for a job that was accepted before this one.
    with session(open_database("estimator.db")) as work:
        work.execute(insert(JOB).values(id="D-1", title="", created_at=NOON))
        row = dict(work.exec_driver_sql("select * from revision").mappings().one())
        row["job_id"] = "D-1"
        names = ", ".join(row)
        work.exec_driver_sql(
            f"insert into revision ({names}) values ({', '.join('?' * len(row))})",
            tuple(row.values()))
        work.exec_driver_sql(
            "insert into job_event (job_id, revision, event, at, by, why) values "
            "('D-1', 1, 'accepted', '2026-11-01 12:00:00', 'R. Owner', '')")
        reserve(work, ("D-1", 1), {CLIP: D(90)}, date(2026, 11, 13), STOREKEEPER)
        work.commit()
    clips = rows_of(issued("estimator.db", desk / "out"), CLIP)
    assert sum(row.pick for row in clips if row.place) == 20
    assert [(row.pick, row.short) for row in clips if row.short] == [
        (D(31), "what lies there is kept for other jobs")]


# -- two jobs in one van ---------------------------------------------------------------------------


@pytest.fixture
def two_jobs(desk: Path) -> None:
    """A second accepted job: panels and storage."""
    survey = ROOT / "demo_jobs" / "panels-and-storage" / "survey.toml"
    quote(QuoteRequest(survey, QUOTED, "estimator.db", write_papers=False))
    record("estimator.db", "accepted", Said("D-102", "R. Owner"), NOON)


def test_two_jobs_that_take_too_long_for_a_day_do_not_share_the_van(
    two_jobs: None, desk: Path
) -> None:
    load = issued("estimator.db", desk / "out", shares_with="D-102").sheet.load
    # By hand from the two estimates: 10.7 h and 16.3 h on site, and a day has 7.5 h; mass and the
    # rail of 4400 mm would go.
    assert load.jobs == (D101, "D-102")
    assert [(each.measure, each.enough) for each in load.shared] == [
        ("mass", True), ("longest piece", True), ("hours on site", False)]
    assert not load.fits
    assert [each.job for each in load.loads] == sorted(
        (each.job for each in load.loads), reverse=True)  # what is driven to first goes in last
    assert load.loads[-1].job == D101


def test_a_job_that_is_not_accepted_shares_no_van(two_jobs: None, desk: Path) -> None:
    record("estimator.db", "reopened", Said("D-102", "R. Owner"), NOON)
    assert codes(shares_with="D-102") == ["Y202"]
    assert codes(shares_with="D-999") == ["J001"]


def test_the_command_writes_the_sheet_and_says_what_is_short(two_jobs: None, desk: Path) -> None:
    typed = ["stock", "sheet", D101, "--on", "2026-11-16", "--with", "D-102"]
    shown = CliRunner().invoke(main, typed)
    assert shown.exit_code == 0, shown.output
    assert (desk / "out" / "D-101-sheet-1.xlsx").exists()
    assert "  short: 1 each 11503-HB Heat alarm, battery, radio link: no more lies there" in (
        shown.stdout)
    assert "  NOT ENOUGH, hours on site: the van has a day of 450 min, " in shown.stdout
    again = CliRunner().invoke(main, [*typed, "--json"])
    assert '"new": false' in again.stdout
