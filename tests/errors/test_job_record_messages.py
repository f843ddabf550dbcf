"""Mistakes about what happens on a job, each with its whole message, all told at once.

`job_record/NAME.txt` is the whole message; each was gone through by hand. Nothing is recorded.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from sqlalchemy import func, select

from catalogue import db
from catalogue.problems import ProblemsFound
from catalogue.tables import JOB_DAY
from estimator.workflow.job_days import DaySaid, record_day
from estimator.workflow.job_states import Said, record
from tests.chain.desk import SURVEY, quote

TOLD = Path(__file__).parent / "job_record"
JOB, PLACE = "D-101", "estimator.db"
AT = datetime(2026, 11, 30, 12, tzinfo=UTC)
ACCEPTED = datetime(2026, 11, 12, 12, tzinfo=UTC)


def day(what: str, on: str, crew: str = "", by: str = "B. Office", chance: int | None = None
        ) -> Callable[[], object]:
    said = DaySaid(JOB, what, date.fromisoformat(on), by, "", crew, chance)  # type: ignore[arg-type]
    return lambda: record_day(PLACE, said, AT)


def answered(event: str) -> Callable[[], object]:
    said = Said(JOB, "R. Owner")
    return lambda: record(PLACE, event, said, ACCEPTED)  # type: ignore[arg-type]


TAKEN = answered("accepted")
BEGUN = (TAKEN, day("begun", "2026-11-20", "North"))
Case = tuple[tuple[Callable[[], object], ...], Callable[[], object]]
# Name of the file with the message -> what went before, and what is wrong.
CASES: dict[str, Case] = {
    "begun-too-soon": ((), day("begun", "2026-12-01", by=" ")),
    "contacted-early": ((), day("contacted", "2026-11-01", chance=101)),
    "contacted-late": ((TAKEN,), day("contacted", "2026-11-13")),
    "never-begun": ((TAKEN,), day("commissioned", "2026-11-20")),
    "commissioned-before": (BEGUN, day("commissioned", "2026-11-19")),
    "begun-after": ((*BEGUN, day("commissioned", "2026-11-21")), day("begun", "2026-11-22")),
    "planned-late": (BEGUN, day("planned", "2026-12-20", "North")),
}


@pytest.fixture
def quoted(tmp_path: Path, starter_template: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    shutil.copy(starter_template, tmp_path / "estimator.db")
    shutil.copy(SURVEY, tmp_path / "survey.toml")
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ESTIMATOR_DB", raising=False)
    assert quote("--no-papers").exit_code == 0
    return tmp_path


def rows() -> tuple[int | None, ...]:
    engine = db.open_database(PLACE)
    with db.session(engine, write=False) as work:
        found = tuple(work.scalar(select(func.count()).select_from(table))
                      for table in (JOB_DAY,))
    engine.dispose()
    return found


@pytest.mark.parametrize("name", CASES)
def test_mistakes_are_told_in_these_words_and_change_nothing(quoted: Path, name: str) -> None:
    before, wrong = CASES[name]
    for step in before:
        step()
    there = rows()
    with pytest.raises(ProblemsFound) as caught:
        wrong()
    told = "".join(f"{each}\n" for each in caught.value.problems)
    assert told == (TOLD / f"{name}.txt").read_text(encoding="utf-8")
    assert rows() == there


def test_every_case_has_its_message_and_every_code_a_case() -> None:
    assert {path.stem for path in TOLD.glob("*.txt")} == set(CASES)
    texts = "".join(path.read_text(encoding="utf-8") for path in TOLD.glob("*.txt"))
    codes = [f"Z{number}" for number in range(101, 110)]
    assert [code for code in codes if f" error {code}: " not in texts] == []
