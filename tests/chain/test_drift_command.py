"""Open quotes run again at newer prices: the same as quoting each again by hand."""

from __future__ import annotations

import csv
import io
import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from sqlalchemy import insert, select, text

from catalogue import db
from catalogue.tables import JOB, REVISION
from tests.chain.dearer import dearer
from tests.chain.desk import DAY, ROOT, run

DEMOS = sorted(path.parent.name for path in (ROOT / "demo_jobs").glob("*/survey.toml"))
THEN, EXPIRED = "2026-11-12", "2026-12-03"
MODULE = "01505-WF"  # 1,450.00 each; the job with storage outside takes three


def survey(name: str) -> str:
    return str(ROOT / "demo_jobs" / name / "survey.toml")


def quoted(name: str, *more: str, on: str = DAY) -> dict[str, Any]:
    result = run("quote", survey(name), "--on", on, "--no-papers", "--json", *more)
    assert result.exit_code in (0, 3), result.output
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def drift(*more: str, on: str = THEN) -> dict[str, Any]:
    result = run("prices", "drift", "--on", on, "--json", *more)
    assert result.exit_code in (0, 3), result.output
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def only(*more: str, on: str = THEN) -> dict[str, Any]:
    found = drift(*more, on=on)
    assert found["not_run"] == []
    (quote,) = found["quotes"]
    return dict(quote)


def edit(estimate_from: str, to: str, **changes: Any) -> None:
    """Keep another revision of the first job with its estimate changed."""
    engine = db.open_database("estimator.db")
    with db.session(engine) as work:
        row = work.execute(select(REVISION).order_by(REVISION.c.number.desc())).mappings().first()
        assert row is not None
        kept = row["estimate_json"].replace(estimate_from, to)
        work.execute(insert(REVISION).values(
            {**row, "number": row["number"] + 1, "estimate_json": kept, **changes}))
        work.commit()
    engine.dispose()


@pytest.mark.parametrize("name", DEMOS)
def test_a_demo_job_drifts_to_what_quoting_it_again_by_hand_gives(desk: Path, name: str) -> None:
    before = quoted(name)
    assert dearer("estimator.db", 7) > 400
    found = only()
    by_hand = quoted(name, on=THEN)
    assert by_hand["revision"] == before["revision"] + 1
    assert found["cost_then"] == before["cost"]["total"]
    assert found["cost_now"] == by_hand["cost"]["total"] > before["cost"]["total"]
    margin = Fraction(before["price"]["net"] - by_hand["cost"]["total"], before["price"]["net"])
    assert abs(Fraction(found["margin_now"]) - margin) <= Fraction(1, 2 * 10**6)
    assert found["net"] == before["price"]["net"]
    assert found["kind_now"] == by_hand["kind"]
    assert sum(each["change"] for each in found["moved"]) == found["change"]


def test_modules_nine_percent_dearer_cost_391_50_more_on_three_at_1450(desk: Path) -> None:
    quoted("storage-outside")
    found = drift("--what-if", "storage +9 %")
    assert found["what_if"] == ["family storage +9 %"]
    (quote,) = found["quotes"]
    assert quote["moved"] == [
        {"item": MODULE, "name": quote["moved"][0]["name"], "change": 39_150}]  # 3 x 130.50
    assert quote["at_stake"] == 13_703  # 0.35 x 391.50 = 137.025
    assert only()["change"] == 0


def test_what_is_imagined_is_what_comes_of_such_a_list(desk: Path) -> None:
    quoted("storage-outside")
    imagined = only("--what-if", f"item:{MODULE} +20 %")
    dearer("estimator.db", {MODULE: 20})
    assert only() == imagined


def test_an_expired_quote_is_listed_apart_and_nobody_is_rung(desk: Path) -> None:
    quoted("storage-outside")
    dearer("estimator.db", 40)
    found = drift(on=EXPIRED)
    assert [each["standing"] for each in found["quotes"]] == ["expired"]
    assert found["quotes"][0]["ring"] is None
    assert found["exposure"] == 0
    told = run("prices", "drift", "--on", EXPIRED)
    assert told.exit_code == 0
    assert "EXPIRED: re-price, do not re-date" in told.stdout
    assert run("prices", "drift", "--on", "2026-12-02").exit_code == 3  # its last day


def test_a_binding_quote_under_the_minimum_gives_status_3(desk: Path) -> None:
    quoted("storage-outside")  # 9,375 net at 7,966.65: 10 % is left at 8,437.50, 470.85 more
    assert run("prices", "drift", "--on", THEN, "--what-if", "storage +10 %").exit_code == 0  # 435
    told = run("prices", "drift", "--on", THEN, "--what-if", "storage +11 %")  # 478.50
    assert told.exit_code == 3
    assert "under minimum" in told.stdout


def test_a_discount_stays_off_the_price(desk: Path) -> None:
    before = quoted("storage-outside", "--discount", "5%", "--reason", "r", "--name", "n")
    found = only("--what-if", "storage +9 %")
    assert found["net"] == before["price"]["net"] == 937_500 - 46_875
    assert found["verdict"] == "under minimum"  # (8,906.25 - 8,358.15) / 8,906.25 = 6.2 %
    assert found["margin_now"] == "0.061541"


def test_a_stop_that_was_let_pass_stays_so_while_it_is_one(desk: Path) -> None:
    passed = ("--let-pass", "place-flammables", "--reason", "moved out", "--name", "R. Owner")
    assert quoted("in-roof", *passed)["kind"] == "firm"
    found = only()
    assert (found["kind"], found["kind_now"], found["standing"]) == ("firm", "firm", "binds")


def test_a_substitute_goes_on_standing_in(desk: Path) -> None:
    swap = ("--substitute", "03040-TE=03060-TE", "--reason", "out of stock", "--name", "A. B.")
    quoted("storage-outside", *swap)
    dearer("estimator.db", 7)
    found = only()
    by_hand = quoted("storage-outside", *swap, on=THEN)
    assert [each["substitute"] for each in by_hand["swaps"]] == ["03060-TE"]
    assert found["cost_now"] == by_hand["cost"]["total"]
    assert found["cost_now"] != quoted("storage-outside", on=THEN)["cost"]["total"]


def test_a_pass_for_what_is_no_stop_any_more_is_no_mistake(desk: Path) -> None:
    quoted("storage-outside")
    blank = '"let_pass_by": "",\n      "let_pass_because": ""'
    edit(blank, '"let_pass_by": "R. Owner",\n      "let_pass_because": "seen to"')
    assert only()["change"] == 0


def test_the_newest_revision_of_an_open_job_counts(desk: Path) -> None:
    quoted("storage-outside")
    quoted("storage-outside", "--discount", "100", "--reason", "r", "--name", "n")
    quoted("panels-and-storage")
    assert [(each["job"], each["revision"]) for each in drift()["quotes"]] == [
        ("D-101", 2), ("D-102", 1)]
    run("jobs", "decline", "D-101", "--name", "R. Owner")
    assert [each["job"] for each in drift()["quotes"]] == ["D-102"]
    assert [each["job"] for each in drift("--job", "D-102")["quotes"]] == ["D-102"]
    refused = run("prices", "drift", "--job", "D-101", "--job", "D-102", "--json")
    assert refused.exit_code == 1
    assert "H109" in refused.stdout


def test_one_that_cannot_be_run_is_named_and_does_not_stop_the_others(desk: Path) -> None:
    quoted("storage-outside")
    edit("", "", survey_text="[job]\nid = 'D-101'\nparts = ['storage']\n\n[storage]\nmodulse = 3\n")
    quoted("panels-and-storage")
    found = drift()
    assert [each["job"] for each in found["quotes"]] == ["D-102"]
    (failed,) = found["not_run"]
    assert (failed["job"], failed["revision"]) == ("D-101", 2)
    assert [each["code"] for each in failed["problems"]] == ["S001"]
    assert failed["problems"][0]["place"].startswith("job D-101, revision 2:6")
    told = run("prices", "drift", "--on", THEN)
    assert told.exit_code == 3
    assert "did you mean 'modules'?" in told.stdout


@pytest.mark.parametrize(("change", "code"), [
    (('"schema_version": "1.', '"schema_version": "0.'), "H110"),
    (('"currency": "GBP"', '"currency": "EUR"'), "H111"),
    (('"net": 937500', '"net": 0'), "H112"),
])
def test_a_quote_that_cannot_be_compared_is_named(
    desk: Path, change: tuple[str, str], code: str
) -> None:
    quoted("storage-outside")
    edit(*change)
    (failed,) = drift()["not_run"]
    assert [each["code"] for each in failed["problems"]] == [code]


def test_what_nobody_sells_any_more_makes_no_quote_cheaper(desk: Path) -> None:
    quoted("storage-outside")
    engine = db.open_database("estimator.db")
    with db.session(engine) as work:
        work.execute(text(
            "UPDATE offer SET withdrawn_at = entered_at WHERE item_code = :item"), {"item": MODULE})
        work.commit()
    engine.dispose()
    told = run("prices", "drift", "--on", THEN, "--json")
    (found,) = json.loads(told.stdout)["quotes"]
    assert told.exit_code == 3
    assert found["verdict"] == "not all priced"
    assert found["kind_now"] == "budget"
    assert any(MODULE in each for each in found["unpriced"])
    assert "cannot be bought: " in run("prices", "drift", "--on", THEN).stdout


def test_nothing_is_written_to_the_database(desk: Path) -> None:
    quoted("storage-outside")
    before = dump()
    drift("--what-if", "storage +9 %", "--out", "drift.csv")
    assert dump() == before


def dump() -> list[tuple[str, list[tuple[Any, ...]]]]:
    """Return every row of every table."""
    engine = db.open_database("estimator.db")
    with db.session(engine, write=False) as work:
        names = [row[0] for row in work.execute(text(
            "SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name"))]
        found = [(name, [tuple(row) for row in work.execute(text(f'SELECT * FROM "{name}"'))])
                 for name in names]
    engine.dispose()
    return found


def test_the_table_goes_out_as_csv_and_as_a_workbook_alike(desk: Path) -> None:
    quoted("storage-outside")
    engine = db.open_database("estimator.db")
    with db.session(engine) as work:
        row = work.execute(select(REVISION)).mappings().one()
        work.execute(insert(JOB).values(id="E-1", title="x", created_at=row["made_at"]))
        kept = row["estimate_json"].replace('"id": "D-101"', '"id": "E-1"').replace(
            '"title": "Storage', '"title": "=1+1 Storage')
        work.execute(insert(REVISION).values({**row, "job_id": "E-1", "estimate_json": kept}))
        work.commit()
    engine.dispose()
    for name in ("drift.csv", "drift.xlsx"):
        drift("--what-if", "storage +9 %", "--out", name)
    lines = list(csv.reader(io.StringIO(Path("drift.csv").read_text(encoding="utf-8"))))
    sheet = openpyxl.load_workbook("drift.xlsx")["Drift"]
    head, *cells = list(sheet.iter_rows(min_row=3, values_only=True))
    assert lines[0] == list(head)
    column = {name: at for at, name in enumerate(lines[0])}
    for line, row in zip(lines[1:3], cells, strict=False):
        for name in ("net", "cost then", "cost now", "change", "at stake"):
            assert float(line[column[name]]) == row[column[name]]
        assert line[column["margin now %"]] == f"{float(row[column['margin now %']]) * 100:.2f}"
    assert [line[column["title"]][:3] for line in lines[1:3]] == ["Sto", "'=1"]
    assert sheet.cell(5, column["title"] + 1).data_type == "s"
    assert str(sheet.cell(5, column["title"] + 1).value).startswith("=1+1")


def test_the_same_quotes_and_prices_give_the_same_bytes(desk: Path) -> None:
    quoted("storage-outside")
    drift("--out", "a.xlsx")
    drift("--out", "b.xlsx")
    assert Path("a.xlsx").read_bytes() == Path("b.xlsx").read_bytes()


def test_a_file_is_not_lost_and_has_an_ending_that_can_be_written(desk: Path) -> None:
    quoted("storage-outside")
    Path("there.csv").write_text("mine", encoding="utf-8")
    assert run("prices", "drift", "--out", "there.csv").exit_code == 1
    assert Path("there.csv").read_text(encoding="utf-8") == "mine"
    assert run("prices", "drift", "--out", "there.csv", "--replace").exit_code == 0
    assert "F007" in run("prices", "drift", "--out", "drift.pdf", "--json").stdout


def test_without_open_quotes_there_is_nothing_to_say(desk: Path) -> None:
    assert run("prices", "drift").stdout == "No quote is open.\n"
