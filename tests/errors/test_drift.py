"""What is said of a job or of prices and cannot be taken, beside the exact words that are told.

`drift/NAME.txt` is the whole message; each was gone through by hand.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from sqlalchemy import insert, select

from catalogue import db
from catalogue.price_book import PriceBook
from catalogue.problems import ProblemsFound
from catalogue.tables import REVISION
from estimator.imagined import changes_from
from estimator.workflow.drift import DriftRequest, drift
from estimator.workflow.job_states import Event, Said, record
from estimator.workflow.quote import QuoteRequest, quote

HERE = Path(__file__).parent
DEMO = HERE.parents[1] / "demo_jobs" / "storage-outside" / "survey.toml"
JOB, ON = "D-101", date(2026, 11, 2)
CHANGES = ("dearer", "storage 9 %", "stroage +9 %", "supplier:Nobody +2 %", "cable -100 %",
           "cable +2000 %")


def say(event: Event, by: str = "R. Owner", at: datetime | None = None) -> None:
    record("estimator.db", event, Said(JOB, by), at or datetime(2026, 11, 12, 12, tzinfo=UTC))


def twice() -> None:
    say("accepted")
    say("declined")


def of_a_closed_job() -> None:
    say("declined")
    drift(DriftRequest(ON, "estimator.db", jobs=(JOB,)), lambda done, of: None)


def keep_as(was: str, now: str) -> None:
    """Keep one more revision with its estimate changed."""
    engine = db.open_database("estimator.db")
    with db.session(engine) as work:
        row = work.execute(select(REVISION)).mappings().one()
        kept = row["estimate_json"].replace(was, now)
        assert kept != row["estimate_json"]
        work.execute(insert(REVISION).values({**row, "number": 2, "estimate_json": kept}))
        work.commit()
    engine.dispose()


def not_run(was: str, now: str) -> None:
    keep_as(was, now)
    (failed,) = drift(DriftRequest(ON, "estimator.db"), lambda done, of: None).not_run
    raise ProblemsFound(failed.problems)


def a_budget() -> None:
    keep_as('"kind": "firm"', '"kind": "budget"')
    say("accepted", at=datetime(2026, 12, 3, 12, tzinfo=UTC))


def closed_while_open() -> None:
    say("closed")


CASES: Mapping[str, Callable[[], None]] = {
    "no-name": lambda: say("accepted", by=" "),
    "answered-twice": twice,
    "open-already": lambda: say("reopened"),
    "budget-and-expired": a_budget,
    "closed": of_a_closed_job,
    "closed-while-open": closed_while_open,
    "another-version": lambda: not_run('"schema_version": "1.', '"schema_version": "0.'),
    "another-currency": lambda: not_run('"currency": "GBP"', '"currency": "EUR"'),
    "for-nothing": lambda: not_run('"net": 937500', '"net": 0'),
}


def message(name: str) -> str:
    return (HERE / "drift" / f"{name}.txt").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", CASES)
def test_what_cannot_be_taken_is_told_in_these_words(
    name: str, tmp_path: Path, starter_template: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "estimator.db").write_bytes(starter_template.read_bytes())
    monkeypatch.chdir(tmp_path)
    quote(QuoteRequest(DEMO, ON, "estimator.db", write_papers=False))
    with pytest.raises(ProblemsFound) as caught:
        CASES[name]()
    assert f"{caught.value}\n" == message(name)


def test_imagined_changes_that_cannot_be_taken_are_told_in_these_words(
    price_book: PriceBook
) -> None:
    with pytest.raises(ProblemsFound) as caught:
        changes_from(CHANGES, price_book)
    assert f"{caught.value}\n" == message("what-if")


def test_every_case_has_its_message_and_every_code_a_case() -> None:
    names = {path.stem for path in (HERE / "drift").glob("*.txt")}
    assert names == {*CASES, "what-if"}
    texts = "".join(message(name) for name in names)
    assert [f"H{number}" for number in range(101, 114) if f" error H{number}: " not in texts] == []
