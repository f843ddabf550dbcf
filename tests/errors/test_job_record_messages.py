"""Mistakes about what happens on a job, each with its whole message, all told at once.

`job_record/NAME.txt` is the whole message; each was gone through by hand. Nothing is recorded.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import func, select

from catalogue import db
from catalogue.problems import ProblemsFound
from catalogue.tables import JOB_DAY, JOB_EVENT, REVISION, VARIATION, VARIATION_EVENT
from estimator.difference.inputs import Maker
from estimator.workflow.agreeing import VariationAnswered, answer_variation
from estimator.workflow.job_days import DaySaid, record_day
from estimator.workflow.job_states import Said, record
from estimator.workflow.quote import QuoteRequest, quote
from estimator.workflow.varying import VariationAsked, _priced, vary
from tests.chain.desk import SURVEY

TOLD = Path(__file__).parent / "job_record"
JOB, PLACE = "D-101", "estimator.db"
MAKER = Maker()  # it holds the rules of these quotes compiled
AT = datetime(2026, 11, 30, 12, tzinfo=UTC)
ACCEPTED = datetime(2026, 11, 12, 12, tzinfo=UTC)


def day(what: str, on: str, crew: str = "", by: str = "B. Office", chance: int | None = None
        ) -> Callable[[], object]:
    said = DaySaid(JOB, what, date.fromisoformat(on), by, "", crew, chance)  # type: ignore[arg-type]
    return lambda: record_day(PLACE, said, AT)


def answered(event: str) -> Callable[[], object]:
    said = Said(JOB, "R. Owner")
    return lambda: record(PLACE, event, said, ACCEPTED)  # type: ignore[arg-type]


def found(*changes: str, words: str = "block behind plaster", by: str = "S. Fitter"
          ) -> Callable[[], object]:
    asked = VariationAsked(JOB, changes, words, "hidden", by)
    return lambda: vary(PLACE, asked, AT)


def of_variation(
    number: int, answer: str, writing: str = "e-mail of 29 Nov", on: str = "2026-11-29",
    by: str = "B. Office",
) -> Callable[[], object]:
    said = VariationAnswered(JOB, number, answer, date.fromisoformat(on), by,  # type: ignore[arg-type]
                             writing)
    return lambda: answer_variation(PLACE, said, AT)


def meanwhile() -> object:
    """Another desk reopens the job while the variation is being priced."""
    with pytest.MonkeyPatch.context() as patched:
        def priced(*given: Any) -> Any:
            answered("reopened")()
            return _priced(*given)

        patched.setattr("estimator.workflow.varying._priced", priced)
        return found(WALL)()


TAKEN = answered("accepted")
WALL, METER = "storage.wall=light block", "metering.route_m=22"
VARIED = (TAKEN, found(WALL))
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
    "vary-open": ((), found("storage wall", "storage.wal=stone", "plane.garage.covering=slate",
                            "leg.length_m=9", "storage.wall=wood", METER, METER,
                            "storage.wall=dense brick", words=" ", by="")),
    "vary-declined": ((answered("declined"),), found(WALL)),
    "vary-again": (VARIED, found(WALL)),
    "vary-meanwhile": ((TAKEN,), meanwhile),
    "agree-none": ((TAKEN,), of_variation(1, "agreed")),
    "agree-other": (VARIED, of_variation(2, "agreed")),
    "agree-unwritten": (VARIED, of_variation(1, "agreed", " ", "2026-12-01", "")),
    "agree-early": (VARIED, of_variation(1, "refused", "", "2026-11-01")),
    "agree-twice": ((*VARIED, of_variation(1, "agreed")), of_variation(1, "refused")),
    "agree-stale": ((*VARIED, found(METER), of_variation(1, "agreed")), of_variation(2, "agreed")),
    "agree-stop": ((TAKEN, found("storage.place=bedroom")), of_variation(1, "agreed")),
    "agree-reopened": ((*VARIED, answered("reopened")), of_variation(1, "agreed")),
    "planned-late": (BEGUN, day("planned", "2026-12-20", "North")),
}


@pytest.fixture(scope="module")
def quoted_template(tmp_path_factory: pytest.TempPathFactory, starter_template: Path) -> Path:
    """Return a database in which the job is quoted."""
    place = tmp_path_factory.mktemp("quoted") / "estimator.db"
    shutil.copy(starter_template, place)
    quote(QuoteRequest(SURVEY, date(2026, 11, 2), str(place), write_papers=False))
    return place


@pytest.fixture
def quoted(quoted_template: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    shutil.copy(quoted_template, tmp_path / PLACE)
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ESTIMATOR_DB", raising=False)
    monkeypatch.setattr("estimator.workflow.varying.Maker", lambda: MAKER)
    return tmp_path


def rows() -> tuple[int, ...]:
    engine = db.open_database(PLACE)
    with db.session(engine, write=False) as work:
        found = tuple(work.scalar(select(func.count()).select_from(table)) or 0
                      for table in (JOB_DAY, JOB_EVENT, REVISION, VARIATION, VARIATION_EVENT))
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
    others = 1 if name == "vary-meanwhile" else 0  # the answer of the other desk
    assert rows() == (there[0], there[1] + others, *there[2:])


def test_every_case_has_its_message_and_every_code_a_case() -> None:
    assert {path.stem for path in TOLD.glob("*.txt")} == set(CASES)
    texts = "".join(path.read_text(encoding="utf-8") for path in TOLD.glob("*.txt"))
    codes = [f"Z{number}" for number in (*range(101, 110), *range(111, 120), *range(121, 126))]
    assert [code for code in codes if f" error {code}: " not in texts] == []
