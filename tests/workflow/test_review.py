"""`estimator review` as it is typed, over a small firm in the database."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from catalogue.db import open_database, session
from estimator.cli.review import review as command
from estimator.workflow.review import period_of
from estimator.workflow.review_reports import REPORTS, usual_reports
from tests.chain.desk import run
from tests.workflow.finished import ONE_LINE, Finished, write


@pytest.fixture
def firm(database_url: str, monkeypatch: pytest.MonkeyPatch) -> str:
    """Three jobs of 2026 and one of 2025, each sold for 10,000.00 and costing 8,000.00 in goods."""
    monkeypatch.setenv("ESTIMATOR_DB", database_url)
    with session(open_database(database_url)) as work:
        write(work, *(Finished(
            f"J-{at}", on=on, crew=crew, plan=ONE_LINE,
            bills=(("goods", "storage", "Counter North", 800_000, 800_000),))
            for at, (on, crew) in enumerate([
                (date(2026, 1, 1), "A"), (date(2026, 6, 1), "B"), (date(2026, 12, 31), "A"),
                (date(2025, 6, 1), "A")])))
        work.commit()
    return database_url


def test_a_review_says_which_jobs_it_holds(firm: str) -> None:
    told = run("review", "margin-by-crew", "--year", "2026", "--compare", "2025", "--json")
    assert told.exit_code == 0, told.output
    found = json.loads(told.stdout)
    assert found["reports"][0]["answer"][0] == (
        "3 jobs made 6,000.00 GBP on 30,000.00 GBP: 20.0 %, and 15.0 % was reckoned with.")
    assert found["compared"]["reports"][0]["answer"][0].startswith("1 job made 2,000.00 GBP on ")
    assert run("review", "margin-by-crew", "--year", "2026", "--crew", "B").stdout.count(
        "1 job made 2,000.00 GBP") == 1


def test_all_reports_are_told_and_written_where_they_are_asked_for(
    firm: str, tmp_path: Path
) -> None:
    book, page = tmp_path / "review.xlsx", tmp_path / "review.html"
    typed = ("review", "--year", "2026", "--compare", "2025", "--on", "2026-12-31",
             "--workbook", str(book), "--page", str(page))
    told = run(*typed, "--json")
    assert told.exit_code == 0, told.output
    found = json.loads(told.stdout)
    assert [each["name"] for each in found["reports"]] == [*usual_reports(), "mix"]
    # Who reads it on paper sees the margin as it is above: 6,000.00 of 30,000.00.
    assert "6,000.00" in page.read_text(encoding="utf-8")
    assert book.read_bytes()[:2] == b"PK"
    assert run(*typed).exit_code == 1  # they are there already
    assert run("review", "--page", "review.xlsx").exit_code == 2


def test_all_reports_are_named_in_the_help() -> None:
    names = (command.help or "").split("Reports:")[1].split("Example:")[0].split()
    assert [name for name in names if name != "\b"] == list(REPORTS)


@pytest.mark.parametrize(("typed", "first", "last"), [
    ("2026", date(2026, 1, 1), date(2026, 12, 31)),
    ("2026-Q2", date(2026, 4, 1), date(2026, 6, 30)),
    ("2028-02", date(2028, 2, 1), date(2028, 2, 29)),  # a leap year
    ("2026-04-01..2026-09-30", date(2026, 4, 1), date(2026, 9, 30)),
])
def test_a_period_is_read(typed: str, first: date, last: date) -> None:
    assert period_of(typed) == (first, last)


def test_a_report_says_by_which_filters_it_is_not_narrowed(firm: str) -> None:
    told = run("review", "--year", "2026", "--crew", "A", "--on", "2026-12-31", "--json")
    assert told.exit_code == 0, told.output
    said = {each["name"]: each["cautions"] for each in json.loads(told.stdout)["reports"]}
    whole = {name for name, cautions in said.items() if "It is not narrowed by crew." in cautions}
    assert whole == {
        "suppliers", "supplier-truth", "win-rate", "aged-quotes", "call-list", "backlog", "cash"}
