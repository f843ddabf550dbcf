"""A job is closed when what went out for it has come back on its sheet."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalogue import db
from catalogue.problems import ProblemsFound
from catalogue.stock_reserving import reserved
from estimator.workflow.job_states import Event, JobState, Said, record
from estimator.workflow.picked import read_picked
from estimator.workflow.returned import read_returned
from estimator.workflow.used import job_used
from tests.closed_out import all_said
from tests.van.desk import JOB, NOON, SCREW, all_picked, all_used, books, fill, issued, key_of
from tests.van.desks import Desk

FITTER = Said(JOB, "S. Fitter", "handed over")


def say(event: Event) -> JobState:
    """Record it; what a close-out lacks is another test's, so all is said of it."""
    if event == "closed":
        all_said("estimator.db", JOB, NOON)
    return record("estimator.db", event, FITTER, NOON)


def refused() -> str:
    with pytest.raises(ProblemsFound) as caught:
        say("closed")
    return str(caught.value)


def come_back(on_site: Desk) -> None:
    Path("back.xlsx").write_bytes(fill(on_site.book, {"Comes back": all_used(on_site.made)}))
    read_returned("estimator.db", Path("back.xlsx"), NOON, write=True)


def still_reserved() -> list[str]:
    engine = db.open_database("estimator.db")
    with db.session(engine, write=False) as work:
        found = [each.item for each in reserved(work)]
    engine.dispose()
    return found


def test_a_job_whose_goods_are_settled_is_closed_and_keeps_what_it_used(on_site: Desk) -> None:
    come_back(on_site)
    used, moves = job_used("estimator.db", JOB), books()[0]
    assert still_reserved()  # what was short, and nobody has picked since
    assert say("closed") == JobState(JOB, "closed", 1, "S. Fitter", NOON, "handed over")
    assert still_reserved() == []
    assert job_used("estimator.db", JOB) == used
    assert used.cost_minor > 0
    assert books() == (moves, books()[1], [])


def test_a_job_with_a_pick_sheet_out_is_not_closed(out: Desk) -> None:
    assert refused() == (
        "job D-101: error H114: pick sheet D-101/1 is out and was not read\n"
        "    estimator stock picked out/D-101-sheet-1.xlsx --write; write 0 for what was not "
        "picked")


def test_a_job_is_not_closed_before_somebody_has_said_what_came_back(on_site: Desk) -> None:
    assert refused() == (
        "job D-101: error H115: nobody has said what came back since the last pick, so what was "
        "used is not known\n"
        "    estimator stock sheet D-101 --back, fill it in, even if nothing came back, and read "
        "it: estimator stock returned FILE --write")


def test_a_second_pick_must_come_back_too(on_site: Desk) -> None:
    come_back(on_site)
    made = issued("estimator.db", Path("out"))
    assert "H114" in refused()
    assert made.file is not None
    later = NOON.replace(hour=15)
    Path("again.xlsx").write_bytes(fill(made.file.read_bytes(), {"Pick": all_picked(made)}))
    read_picked("estimator.db", Path("again.xlsx"), later, write=True)
    assert "H115" in refused()


def test_a_job_that_never_picked_anything_may_be_closed(desk: Path) -> None:
    assert say("closed").state == "closed"


def test_a_closed_job_is_neither_picked_nor_answered_again(desk: Path) -> None:
    say("closed")
    with pytest.raises(ProblemsFound, match="Y202: the job is closed"):
        issued("estimator.db", desk / "out")
    for event in ("accepted", "declined"):
        with pytest.raises(ProblemsFound, match="H102: revision 1 was closed on 2026-11-12"):
            say(event)  # type: ignore[arg-type]
    with pytest.raises(ProblemsFound, match="H113: the job is closed"):
        say("closed")


def test_a_job_that_was_closed_too_early_is_accepted_again(on_site: Desk) -> None:
    come_back(on_site)
    say("closed")
    assert say("reopened").state == "accepted"
    assert still_reserved() == []
    # What turns up in the van afterwards comes back on a sheet of its own.
    made = issued("estimator.db", Path("out"), back=True)
    assert made.file is not None
    Path("late.xlsx").write_bytes(fill(made.file.read_bytes(), {
        "Comes back": {**all_used(made), (key_of(made, SCREW), "Back, good"): 1}}))
    read_returned("estimator.db", Path("late.xlsx"), NOON.replace(hour=16), write=True)
    assert say("closed").state == "closed"
