"""The commands as they are typed: what they print, their JSON, and when they leave with 1."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests.actuals.firm import TODAY, asked, come, line, order
from tests.chain.desk import run

WEEK = "Person,Day,Job,Task group,Hours\nR. Fitter,2026-11-05,D-101,roof,7:30\n"


@pytest.fixture(autouse=True)
def _today(monkeypatch: pytest.MonkeyPatch) -> None:
    for module in ("actuals", "actuals_bills"):
        monkeypatch.setattr(f"estimator.cli.{module}.day_of",
                            lambda on: on.date() if on else TODAY)


def data(*typed: str) -> Any:
    result = run("actuals", *typed, "--json")
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def test_hours_are_shown_then_booked_then_known(firm: str) -> None:
    Path("week.csv").write_text(WEEK, "utf-8")
    shown = run("actuals", "hours", "week.csv")
    assert shown.exit_code == 0
    assert "Columns guessed from the header" in shown.output
    assert "1 row with 7 h 30 min: £329.85, and £178.88 of overhead" in shown.output
    assert "Nothing is booked yet." in shown.output
    assert "Add --write" in shown.output
    booked = data("hours", "week.csv", "--write")
    assert (booked["written"], booked["amount_minor"], booked["rows"][0]["minutes"]) == (
        True, 32_985, 450)
    again = run("actuals", "hours", "week.csv", "--write")
    assert again.exit_code == 0
    assert "nothing of it is booked twice" in again.output
    Path("week.csv").write_text(WEEK + "R. Fitter,2026-11-06,D-101,roof,all day\n", "utf-8")
    assert run("actuals", "hours", "week.csv").exit_code == 1
    some = run("actuals", "hours", "week.csv", "--write", "--skip-refused")
    assert some.exit_code == 1  # the sound row is booked already, so nothing was
    assert "1 booked already, 1 refused" in some.output


def test_a_column_map_says_what_a_header_does_not(firm: str) -> None:
    Path("week.csv").write_text("a;b;c;d;e\nR. Fitter;05/11/2026;D-101;roof;7,5\n", "utf-8")
    assert run("actuals", "hours", "week.csv").exit_code == 1
    Path("map.toml").write_text(
        'currency = "GBP"\ndate_order = "day month year"\n[columns]\nperson = "a"\nday = "b"\n'
        'job = "c"\ngroup = "d"\nhours = "e"\n', "utf-8")
    said = data("hours", "week.csv", "--columns", "map.toml")
    pairs = [each for pair in ("person=a", "day=b", "job=c", "group=d", "hours=e")
             for each in ("--columns", pair)]
    assert said["rows"] == data("hours", "week.csv", *pairs, "--dates", "day month year")["rows"]
    assert (said["rows"][0]["minutes"], said["rows"][0]["on"]) == (450, "2026-11-05")
    Path("map.toml").write_text('currency = "GBP"\n[columns]\nperson = "a"\nprice = "b"\n', "utf-8")
    wrong = run("actuals", "hours", "week.csv", "--columns", "map.toml")
    assert "A001" in wrong.output  # a field of price lists is none of a timesheet


def test_bills_are_booked_by_file_and_by_hand_settled_and_listed(firm: str) -> None:
    number = order(firm, line(1, "08410-CC", 30, 10, ("D-101", 30)))
    come(firm, number, (1, 20))
    Path("bills.csv").write_text(
        "Supplier,Invoice no,Date,Order,Order line,Kind,Qty,Net\n"
        f"Storage Depot,A-1,2026-11-10,{number},1,goods,30,3.60\n", "utf-8")
    shown = run("actuals", "bills", "bills.csv")
    assert "caution Z246" in shown.output
    assert "1 bill over £3.60 net; £0.40 of it is a cost" in shown.output
    assert data("bills", "bills.csv", "--write")["cost_minor"] == 40
    by_hand = run("actuals", "bill", "Sample Scaffolders", "S-77", "640", "--kind", "subcontract",
                  "--head", "scaffold", "--job", "D-101", "--tax", "128", "--on", "2026-11-05")
    assert by_hand.exit_code == 0, by_hand.output
    assert "Booked." in by_hand.output
    data("bill", "Sample Scaffolders", "C-1", "40", "--kind", "subcontract", "--head", "scaffold",
         "--job", "D-101", "--credit")
    come(firm, number, (1, 10))
    assert "Nothing is booked yet" in run("actuals", "settle").output
    assert [each["cost_minor"] for each in data("settle", "--write")["settled"]] == [20]
    assert "Nothing is to be settled." in run("actuals", "settle").output
    data("paid", "D-101", "2000", "--what", "deposit", "--on", "2026-11-05")
    assert data("paid", "D-101", "50", "--what", "deposit", "--back")["in_all_minor"] == 195_000
    listed = data("list", "--job", "D-101")
    assert {(each["kind"], each["head"]): each["amount_minor"] for each in listed["sums"]} == {
        ("goods", "cable"): 60, ("bought in", "scaffold"): 60_000}
    assert sum(each["cost_minor"] for each in listed["bills"]) == asked(
        firm, "SELECT SUM(cost_minor) FROM invoice_line WHERE job_id = 'D-101'")[0][0] == 60_060
    text = run("actuals", "list", "--job", "D-101", "--lines").output
    for words in ("cost so far", "£600.60", "paid by the customer", "£1,950.00",
                  "Sample Scaffolders C-1"):
        assert words in text
