"""Mistakes about hours, bills and payments, each with its whole message; nothing is changed.

`actuals/NAME.txt` is the whole message; each was gone through by hand.
"""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest
from sqlalchemy import text

from catalogue.db import open_database, session
from tests.actuals.firm import TODAY, line, make_firm, order
from tests.chain.desk import run

TOLD = Path(__file__).parent / "actuals"
# Name of the file with the message -> what is typed after `estimator actuals`.
CASES = {
    "hours": ("hours", "hours.csv", "--write"),
    "hours-columns": ("hours", "hours-columns.csv"),
    "take-back": ("take-back", "7", "--because", "wrong"),
    "take-back-twice": ("take-back", "1", "--because", "wrong"),
    "take-back-why": ("take-back", "1", "--because", " "),
    "paid": ("paid", "D-101", "0", "--what", " ", "--on", "2099-01-01"),
    "list": ("list", "--job", "D-1O1"),
    "bills": ("bills", "bills.csv", "--write"),
    "bills-columns": ("bills", "bills-columns.csv"),
    "bills-no-invoice": ("bills", "bills-no-invoice.xml"),
    "bills-no-lines": ("bills", "bills-no-lines.xml"),
    "bill": ("bill", " ", " ", "0", "--kind", "plant", "--job", "D-1O1", "--on", "2099-01-01",
             "--due", "2026-11-01"),
    "bill-twice": ("bill", "sample hire", "h-1", "90", "--kind", "plant", "--job", "D-101"),
}
CODES = [f"Z{number}" for number in (*range(201, 224), *range(231, 246), 250)]
TABLES = ("time_file", "time_line", "customer_payment", "invoice", "invoice_line")


@pytest.fixture
def desk(starter_template: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    for path in TOLD.glob("*.[cx][sm][vl]"):
        shutil.copy(path, tmp_path)
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ESTIMATOR_DB", raising=False)
    for module in ("actuals", "actuals_bills"):
        monkeypatch.setattr(f"estimator.cli.{module}.day_of",
                            lambda on: on.date() if on else TODAY)
    make_firm(starter_template, tmp_path)
    Path("good.csv").write_text(
        "Person,Day,Job,Task group,Hours\nR. Fitter,2026-11-05,D-101,roof,7:30\n", "utf-8")
    assert run("actuals", "hours", "good.csv", "--write").exit_code == 0
    assert run("actuals", "take-back", "1", "--because", "wrong job").exit_code == 0
    assert run("actuals", "bill", "Sample Hire", "H-1", "90", "--kind", "plant", "--job", "D-101",
               "--on", "2026-11-05").exit_code == 0
    assert order("estimator.db", line(1, "08410-CC", 30, 10, ("D-101", 30))) == 1
    return tmp_path


def books() -> list[int]:
    engine = open_database("estimator.db")
    with session(engine, write=False) as work:
        found = [work.execute(text(f"SELECT COUNT(*) FROM {each}")).scalar_one()
                 for each in TABLES]
    engine.dispose()
    return found


@pytest.mark.parametrize("name", CASES)
def test_mistakes_are_told_in_these_words_and_change_nothing(desk: Path, name: str) -> None:
    before = books()
    result = run("actuals", *CASES[name])
    assert result.exit_code == 1, result.output
    told = result.stderr.replace(str(desk), "FOLDER")
    path = TOLD / f"{name}.txt"
    if os.environ.get("APPROVE"):
        path.write_text(told, encoding="utf-8")
    assert told == path.read_text(encoding="utf-8")
    assert books() == before


def test_every_case_has_its_message_and_every_code_a_case() -> None:
    assert {path.stem for path in TOLD.glob("*.txt")} == {*CASES}
    texts = "".join(path.read_text(encoding="utf-8") for path in TOLD.glob("*.txt"))
    assert [code for code in CODES if f" error {code}: " not in texts] == []
