"""Close-outs that are refused, each with its whole message; gone through by hand."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from catalogue.db import open_database, session
from catalogue.problems import ProblemsFound
from estimator.papers.sheets import closeout_pages as pages
from estimator.workflow.closeout_set import ReadingSaid, set_reading
from estimator.workflow.job_states import Said, record
from tests.closing.site import DB, EVENING, Marks, come_back, head, issued, put, sound
from tests.van.desk import JOB
from tests.van.desks import desk, stocked_template

__all__ = ["desk", "stocked_template"]
TOLD = Path(__file__).parent / "closeout"


def comes_back(change: Callable[[Any], Any] | None = None) -> Callable[[], None]:
    def run() -> None:
        made = issued()
        come_back(made, sound(made.sheet), change=change)
    return run


def run_sql(statement: str) -> None:
    engine = open_database(DB)
    with session(engine) as work:
        work.exec_driver_sql(statement)
        work.commit()
    engine.dispose()


def a_newer_one_is_out() -> None:
    made = issued()
    run_sql("insert into close_out_sheet (job_id, number, revision, sheet_json, digest, issued_at)"
            " select job_id, 2, revision, sheet_json, 'other', issued_at from close_out_sheet")
    come_back(made, sound(made.sheet))


def another_revision_is_accepted() -> None:
    made = issued()
    run_sql("insert into revision select job_id, 2, on_date, survey_text, "
            """replace(estimate_json, '"revision": 1', '"revision": 2'), """
            "inputs_digest, made_at, kind, net_minor, currency from revision")
    run_sql("update job_event set revision = 2")
    come_back(made, sound(made.sheet))


def laid_out_otherwise() -> None:
    made = issued()
    run_sql("""update close_out_sheet
               set sheet_json = replace(sheet_json, '"layout":1', '"layout":9')""")
    come_back(made, sound(made.sheet))


def not_accepted_any_more() -> None:
    record(DB, "reopened", Said(JOB, "R. Owner"), EVENING)
    issued()


def wrong_marks() -> None:
    made = issued()
    marks = sound(made.sheet)
    put(marks, made.sheet, "external-loop", "0.21 ohm")
    put(marks, made.sheet, "circuit-polarity", "right")
    put(marks, made.sheet, "building-control", "next week")
    come_back(made, marks, change=lambda book: book[pages.READINGS].__setitem__("C13", "at most 9"))


def marks_that_cannot_be() -> None:
    made = issued()
    marks: Marks = sound(made.sheet)
    marks[pages.WITH] = {("A", pages.SERIAL): "4711"}
    put(marks, made.sheet, "water", "no hose", pages.WHY_NOT)
    put(marks, made.sheet, "circuit-loop", -0.45)
    put(marks, made.sheet, "scheme-certificate", date(2026, 12, 24))
    keep = {"circuit-loop"}
    for row in made.sheet.rows:
        if row.box == "number" and row.code not in keep:
            marks[pages.READINGS].pop((row.key, pages.INSTRUMENT), None)
    come_back(made, marks)


def a_day_to_come() -> None:
    made = issued()
    come_back(made, {**sound(made.sheet), pages.WITH: {
        **head(), (pages.DAY, pages.HERE): date(2027, 1, 1)}})


def says(code: str, value: str = "", subject: str = "job", by: str = "S. Fitter",
         **more: Any) -> Callable[[], None]:
    def run() -> None:
        set_reading(DB, ReadingSaid(JOB, code, subject, by, value, **more), EVENING)
    return run


def closes() -> None:
    record(DB, "closed", Said(JOB, "S. Fitter"), EVENING)


def closes_with_bad_readings() -> None:
    made = issued()
    marks = sound(made.sheet)
    put(marks, made.sheet, "circuit-insulation", 0.4)
    put(marks, made.sheet, "labels", "no")
    put(marks, made.sheet, "water", None)
    come_back(made, marks)
    closes()


CASES: Mapping[str, Callable[[], None]] = {
    "no-identity": comes_back(lambda book: book.remove(book["Sheet"])),
    "foreign": comes_back(lambda book: book["Sheet"].__setitem__("B1", "D-102/C1")),
    "newer": a_newer_one_is_out, "revision": another_revision_is_accepted,
    "layout": laid_out_otherwise, "not-accepted": not_accepted_any_more, "marks": wrong_marks,
    "cannot-be": marks_that_cannot_be, "day-to-come": a_day_to_come,
    "no-code": says("external-lop", "0.2"), "no-subject": says("circuit-loop", "0.2", "L1"),
    "said": says("labels", "yes", by=" ", not_tested="dark", on=date(2027, 1, 1)),
    "no-number": says("external-loop", "0,2"), "no-day": says("network-notice", "yesterday"),
    "no-word": says("circuit-polarity", "fine", "converter circuit"),
    "below": says("external-loop", "-0.2"),
    "nothing-to-accept": says("labels", accept_because="they come by post"),
    "blank": closes, "amiss": closes_with_bad_readings,
}


@pytest.mark.parametrize("name", CASES)
def test_what_cannot_be_taken_is_told_in_these_words(name: str, desk: Path) -> None:
    with pytest.raises(ProblemsFound) as caught:
        CASES[name]()
    assert f"{caught.value}\n" == (TOLD / f"{name}.txt").read_text(encoding="utf-8")


def test_every_message_has_a_case() -> None:
    assert {path.stem for path in TOLD.iterdir()} == set(CASES)
