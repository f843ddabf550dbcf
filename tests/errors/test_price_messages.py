"""Every mistake with price lists beside the exact words that the user reads; nothing is changed.

The broken files lie under `tests/errors/prices`; `NAME.txt` is the whole message of the case NAME,
gone through by hand.
"""

from __future__ import annotations

import re
from pathlib import Path
from shutil import copy

import pytest
from click.testing import CliRunner

from estimator.cli import main
from tests.prices.conftest import DAY, NEXT, SUPPLIER, Desk, fill

HERE = Path(__file__).parent / "prices"
COLUMNS = ["--columns", "code=Part no", "--columns", "name=Description", "--columns", "pack=Pack",
           "--columns", "price=Net", "--columns", "price_per=pack"]
FROM = ["--supplier", SUPPLIER, "--from", DAY]
# Name of the message -> the command as typed after `estimator prices`.
CASES: dict[str, list[str]] = {
    "fit": ["import", "fit.csv", *FROM, *COLUMNS, "--columns", "unit=Unit"],
    "twice": ["import", "twice.csv", *FROM, *COLUMNS],
    "missing-and-refused": ["import", "twice.csv", *FROM, *COLUMNS, "--expire-missing", "--write"],
    "no-pair": ["import", "twice.csv", *FROM, "--columns", "code=Part no", "--columns", "Net"],
    "header": ["import", "header.csv", *FROM],
    "supplier": ["import", "twice.csv", "--supplier", "Counter Nord", "--from", DAY],
    "supplier-again": ["import", "twice.csv", *FROM, *COLUMNS, "--new-supplier", "9"],
    "ended": ["import", "ended.xml", *FROM],
    "links": ["link", "links.csv", "--supplier", SUPPLIER],
    "no-columns": ["link", "no-columns.csv", "--supplier", SUPPLIER],
    "no-reason": ["expire", "--supplier", SUPPLIER, "--from", NEXT, "--reason", " "],
    "no-price": ["expire", "--supplier", SUPPLIER, "--from", NEXT, "--reason", "gone", "--item",
                 "I3", "--write"],
    "no-item": ["compare", "I11"],
}


def told(name: str, folder: Path, empty: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    desk = Desk(folder)
    copy(empty, desk.database)
    fill(desk)
    desk.change("INSERT INTO supplier_item VALUES (?, ?, ?)", [(SUPPLIER, "B1", "I1")])
    for file in HERE.iterdir():
        if file.suffix != ".txt":
            copy(file, folder / file.name)
    monkeypatch.chdir(folder)
    before = desk.everything()
    result = CliRunner().invoke(main, ["prices", *CASES[name], "--db", "estimator.db"])
    assert result.exit_code == 1, result.output
    assert "Traceback" not in result.output
    assert desk.everything() == before
    return result.output


@pytest.mark.parametrize("name", CASES)
def test_a_mistake_with_prices_is_told_in_these_words(
    name: str, tmp_path: Path, empty_template: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    expected = (HERE / f"{name}.txt").read_text(encoding="utf-8")
    assert told(name, tmp_path, empty_template, monkeypatch) == expected


def test_there_is_a_case_for_every_code_and_no_stray_message() -> None:
    assert {path.stem for path in HERE.glob("*.txt")} == set(CASES)
    texts = "".join(path.read_text(encoding="utf-8") for path in HERE.glob("*.txt"))
    codes = ("A201", "A202", "A203", "A204", "A210", "A211", "A212", "A213", "A214", "A215",
             "A220", "A221", "A222", "A230", "A231")
    assert set(codes) <= set(re.findall(r" error ([A-Z][0-9]{3}): ", texts))
