"""A close-out sheet goes to the site and comes back; the job closes when all is said."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import openpyxl
import pytest
from sqlalchemy import func, select

from catalogue.db import open_database, session
from catalogue.problems import ProblemsFound
from catalogue.tables import READING
from estimator.papers.sheets import closeout_pages as pages
from estimator.workflow.closeout_set import ReadingSaid, set_reading
from estimator.workflow.closeout_show import shown_close_out
from estimator.workflow.job_states import Said, record
from tests.closing.site import (
    DB,
    EVENING,
    TESTED,
    come_back,
    commissioned,
    head,
    issued,
    put,
    sound,
)
from tests.van.desk import JOB


def rows() -> int:
    engine = open_database(DB)
    with session(engine, write=False) as work:
        found = work.scalar(select(func.count()).select_from(READING))
    engine.dispose()
    return found or 0


def close() -> str:
    return record(DB, "closed", Said(JOB, "S. Fitter"), EVENING).state


def codes_of(refused: pytest.ExceptionInfo[ProblemsFound]) -> list[str]:
    return [problem.code for problem in refused.value.problems]


def say(code: str, value: str = "", subject: str = "job", **more: str) -> str:
    return set_reading(DB, ReadingSaid(JOB, code, subject, "S. Fitter", value, **more),
                       EVENING).verdict


def test_the_same_sheet_is_issued_again_with_the_same_bytes(desk: Path) -> None:
    first = issued()
    content = first.file.read_bytes()
    again = issued("again.xlsx", date(2026, 11, 25))
    assert (first.new, again.new) == (True, False)
    assert (first.issued.name, again.issued) == ("D-101/C1", first.issued)
    assert again.file.read_bytes() == content


def test_cautions_come_first_and_only_boxes_are_open(desk: Path) -> None:
    book = openpyxl.load_workbook(issued().file)
    assert book.sheetnames == [pages.CAUTIONS, pages.WITH, pages.READINGS, pages.HANDING, "Sheet"]
    told = " ".join(str(cell.value) for row in book[pages.CAUTIONS] for cell in row if cell.value)
    assert "STRINGS ARE LIVE WHENEVER LIGHT FALLS ON THEM. STORAGE CANNOT BE MADE DEAD" in told
    assert "Only a competent, licensed person tests" in told
    sheet = book[pages.READINGS]
    assert sheet.protection.sheet
    assert sheet.page_setup.paperSize == 9  # A4
    assert sum(not cell.protection.locked for row in sheet for cell in row) > 100


def test_a_sheet_on_which_all_is_said_closes_the_job(desk: Path) -> None:
    with pytest.raises(ProblemsFound) as refused:
        close()
    assert set(codes_of(refused)) == {"Z310"}
    made = issued()
    shown = come_back(made, sound(made.sheet), write=False)
    assert (len(shown.new), rows()) == (len(made.sheet.rows), 0)
    read = come_back(made, sound(made.sheet))
    assert {each.verdict for each in read.new} == {"as expected", "noted"}
    assert read.after.blank == ()
    loop = next(each for each in read.new if each.code == "external-loop")
    assert (loop.value, loop.instrument, loop.calibrated_on, loop.conditions, loop.by, loop.on) == (
        "0.21", "installation tester, 4711", date(2026, 3, 2), "clear, light wind", "M. Fitter",
        TESTED)
    assert close() == "closed"


def test_reading_a_sheet_twice_changes_nothing(desk: Path) -> None:
    made = issued()
    come_back(made, sound(made.sheet))
    before = rows()
    assert come_back(made, sound(made.sheet)).new == ()
    assert rows() == before == len(made.sheet.rows)


def test_a_sheet_may_come_back_by_and_by(desk: Path) -> None:
    made = issued()
    some = dict(list(sound(made.sheet)[pages.READINGS].items())[:6])
    first = come_back(made, {pages.WITH: head(), pages.READINGS: some})
    whole = sound(made.sheet)
    whole[pages.WITH] |= {(pages.TESTED_BY, pages.HERE): "R. Second"}
    second = come_back(made, whole)
    assert {each.by for each in second.new} == {"R. Second"}
    assert len(first.new) + len(second.new) == len(made.sheet.rows) == rows()


def test_what_was_put_right_since_is_not_put_back_by_the_old_sheet(desk: Path) -> None:
    made = issued()
    marks = sound(made.sheet)
    put(marks, made.sheet, "storage-count", 2)
    read = come_back(made, marks)
    assert [each.code for each in read.new if each.verdict == "not as expected"] == [
        "storage-count"]
    assert say("storage-count", "3") == "as expected"
    assert come_back(made, marks).new == ()
    assert shown_close_out(DB, JOB, TESTED).amiss == ()


def test_what_cannot_be_tested_gets_its_reason_and_the_job_closes(desk: Path) -> None:
    made = issued()
    marks = sound(made.sheet)
    put(marks, made.sheet, "water", None)
    put(marks, made.sheet, "water", "=no hose at the house", pages.WHY_NOT)
    read = come_back(made, marks)
    water = next(each for each in read.new if each.code == "water")
    assert (water.verdict, water.not_tested) == ("not tested", "=no hose at the house")
    assert close() == "closed"


def test_a_bad_reading_keeps_the_job_open_until_somebody_says_why_it_may_stand(desk: Path) -> None:
    made = issued()
    marks = sound(made.sheet)
    put(marks, made.sheet, "volts-full", 253.4)
    come_back(made, marks)
    with pytest.raises(ProblemsFound) as refused:
        close()
    assert codes_of(refused) == ["Z311"]
    assert say("volts-full", accept_because="network told, ticket 88") == "not as expected"
    stands = shown_close_out(DB, JOB, TESTED).readings["volts-full", "job"]
    assert (stands.value, stands.accepted_because, stands.by) == (
        "253.4", "network told, ticket 88", "S. Fitter")
    assert close() == "closed"
    assert say_is_refused("labels", "yes") == ["Z312"]


def say_is_refused(code: str, value: str, **more: str) -> list[str]:
    with pytest.raises(ProblemsFound) as refused:
        say(code, value, **more)
    return codes_of(refused)


def test_a_new_reading_has_to_be_accepted_anew(desk: Path) -> None:
    say("volts-idle", "254")
    say("volts-idle", accept_because="network told")
    say("volts-idle", "255")
    assert [due.code for due, _ in shown_close_out(DB, JOB, TESTED).amiss] == ["volts-idle"]


def test_the_verdict_of_what_stands_beside_a_new_reading_is_kept_anew(desk: Path) -> None:
    assert say("clamp-shown", "2400") == "noted"  # nothing to hold it against yet
    say("clamp-load", "2000")
    engine = open_database(DB)
    with session(engine, write=False) as work:
        kept = [(row.code, row.value, row.verdict) for row in work.execute(
            select(READING).order_by(READING.c.id))]
    engine.dispose()
    assert kept[0] == ("clamp-shown", "2400", "noted")
    assert sorted(kept[1:]) == [
        ("clamp-load", "2000", "noted"), ("clamp-shown", "2400", "not as expected")]


def test_a_paper_that_went_out_late_is_not_as_expected(desk: Path) -> None:
    commissioned(date(2026, 10, 1))
    assert say("building-control", "2026-10-31") == "as expected"
    assert say("network-notice", "2026-10-30") == "not as expected"  # 28 days: 29 October


def test_what_the_handover_pack_lacks_is_told(desk: Path) -> None:
    say("pack-logins", "yes")
    say("pack-waste", "no")
    found = shown_close_out(DB, JOB, TESTED)
    assert found.readings["pack-logins", "job"].verdict == "as expected"
    assert found.readings["pack-waste", "job"].verdict == "not as expected"
    assert "pack-yield" not in {due.code for due in found.due}  # no panels on this job
