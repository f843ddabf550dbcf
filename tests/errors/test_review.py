"""Mistakes in what a review is asked, each with its whole message, gone through by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalogue.db import open_database, session
from tests.chain.desk import run
from tests.workflow.finished import ONE_LINE, Finished, write

TOLD = Path(__file__).parent / "review"
# Name of the file with the message -> what is typed after `estimator review`.
CASES = {
    "unknown": ("margin-by-crews", "profit", "--from", "2026-12-31", "--to", "2026-01-01",
                "--wall", "dense brik", "--crew", "A", "--crew", "Z"),
    "reversed": ("margin-by-crew", "--year", "2026", "--compare", "2025-06-02..2025-06-01"),
    "one-period": ("mix", "--year", "2026"),
    "no-period": ("margin-by-crew", "--compare", "last year"),
}


@pytest.mark.parametrize("name", CASES)
def test_mistakes_are_told_in_these_words(
    name: str, database_url: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("ESTIMATOR_DB", database_url)
    with session(open_database(database_url)) as work:
        write(work, Finished("J-1", plan=ONE_LINE))
        work.commit()
    result = run("review", *CASES[name])
    assert result.exit_code == 1, result.output
    assert result.stderr == (TOLD / f"{name}.txt").read_text(encoding="utf-8")


def test_every_code_of_a_review_has_a_case() -> None:
    texts = "".join(path.read_text(encoding="utf-8") for path in TOLD.glob("*.txt"))
    codes = [f"Z40{number}" for number in range(1, 6)]
    assert [code for code in codes if f" error {code}: " not in texts] == []


def test_a_year_beside_days_is_a_mistake_of_usage() -> None:
    assert run("review", "--year", "2026", "--from", "2026-01-01").exit_code == 2
