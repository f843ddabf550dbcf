"""Trying a substitute on a quoted job, then quoting it.

Figures by hand, as in test_swapped_job: 14.1 m and 5 % waste of cable at 1.28 or 1.84 a metre.
"""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from tests.chain.desk import DAY, ROOT, quote, run

JOB, CABLE = "D-101", ("03040-TE", "03060-TE")
BY = ("--reason", "out of stock", "--name", "A. B.")


@pytest.fixture
def quoted(desk: Path) -> Path:
    assert quote("--no-papers").exit_code == 0
    return desk


def tried(*more: str, job: str = JOB, pair: tuple[str, str] = CABLE) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(run("jobs", "swap", job, *pair, "--json", *more).stdout)
    return found


def kept(revision: int | None = None) -> dict[str, Any]:
    more = () if revision is None else ("--revision", str(revision))
    found: dict[str, Any] = json.loads(run("jobs", "show", JOB, "--json", *more).stdout)
    return found


def test_trying_shows_lines_checks_and_price_with_and_without(quoted: Path) -> None:
    found = tried()
    assert [(each["item"], each["change"]) for each in found["lines"]] == [
        ("03040-TE", -(1805 + 90)), ("03060-TE", 2594 + 130)]
    assert found["with"]["cost"] - found["without"]["cost"] == 829
    drop = next(each for each in found["checks"] if each["code"] == "volt-drop")
    assert (drop["without"]["value"], drop["with"]["value"]) == ("2.112", "1.402")
    assert found["hours"] == []
    assert {each["field"] for each in found["fields"] if each["verdict"] == "better"} == {
        "size_mm2", "clipped_a", "mv_per_a_m"}


def test_trying_keeps_nothing(quoted: Path) -> None:
    before = (quoted / "estimator.db").read_bytes()
    tried()
    assert (quoted / "estimator.db").read_bytes() == before
    assert kept()["revision"] == 1


def test_without_the_substitute_it_is_the_revision_as_it_was(quoted: Path) -> None:
    found, was = tried(), kept()
    assert found["without"]["net"] == was["price"]["net"]
    assert found["without"]["cost"] == was["cost"]["total"]
    assert found["on"] == DAY


def test_what_is_tried_is_what_is_quoted(quoted: Path) -> None:
    found = tried()
    assert quote("--no-papers", "--substitute", "=".join(CABLE), *BY).exit_code == 0
    new = kept()
    assert new["revision"] == 2
    assert new["price"]["net"] == found["with"]["net"]
    assert [(each["original"], each["substitute"], each["why"], each["by"])
            for each in new["swaps"]] == [(*CABLE, "out of stock", "A. B.")]
    assert kept(1)["swaps"] == []


def test_the_same_swap_quoted_again_is_the_same_revision(quoted: Path) -> None:
    typed = ("--no-papers", "--substitute", "=".join(CABLE), *BY)
    assert quote(*typed).exit_code == quote(*typed).exit_code == 0
    assert kept()["revision"] == 2


def test_the_summary_and_the_workbook_say_what_stands_in_for_what(quoted: Path) -> None:
    from openpyxl import load_workbook

    result = quote("--substitute", "=".join(CABLE), *BY)
    said = " ".join(result.stdout.split())
    assert "(03060-TE) stands in for Flat twin and earth 4 mm², grey, drum 100 m (03040-TE): " \
        "out of stock; A. B." in said
    book = load_workbook(next((quoted / "out").glob("*-bill.xlsx")))
    cells = [str(cell.value) for row in book["To settle"].iter_rows() for cell in row]
    assert any("(03060-TE) stands in for" in cell for cell in cells)


def test_a_reason_that_begins_like_a_formula_stays_text_in_the_workbook(quoted: Path) -> None:
    from openpyxl import load_workbook

    quote("--substitute", "=".join(CABLE), "--reason", "=1+1", "--name", "@me")
    book = load_workbook(next((quoted / "out").glob("*-bill.xlsx")))
    found = [cell for row in book["To settle"].iter_rows() for cell in row
             if cell.value in ("=1+1", "@me")]
    assert [cell.data_type for cell in found] == ["s", "s"]


def test_the_substitutes_and_the_discount_of_the_revision_are_kept_while_trying(
    quoted: Path
) -> None:
    quote("--no-papers", "--substitute", "11503-HB=11502-HR", "--discount", "100", *BY)
    found, was = tried(), kept()
    assert was["price"]["discount"]["amount"] == 10000
    assert found["without"]["net"] == was["price"]["net"]
    assert found["with"]["cost"] - found["without"]["cost"] == 829
    assert "11502-HR" not in {each["item"] for each in found["lines"]}
    text = run("jobs", "swap", JOB, *CABLE).stdout
    assert "--substitute 11503-HB=11502-HR --substitute 03040-TE=03060-TE" in " ".join(text.split())


def test_a_substitute_may_be_replaced_by_another(quoted: Path) -> None:
    quote("--no-papers", "--substitute", "=".join(CABLE), *BY)
    found = tried(pair=("03060-TE", "03100-TE"))
    assert [each["item"] for each in found["lines"]] == ["03060-TE", "03100-TE"]
    assert quote("--no-papers", "--substitute", "03040-TE=03100-TE", *BY).exit_code == 0
    assert kept()["price"]["net"] == found["with"]["net"]


def test_a_stop_that_was_let_pass_stays_so_and_any_other_gives_status_3(
    desk: Path
) -> None:
    shutil.copy(ROOT / "demo_jobs" / "mostly-unknown" / "survey.toml", desk / "survey.toml")
    quote("--no-papers")
    job = json.loads(run("jobs", "list", "--json").stdout)[0]["job"]
    made = json.loads(run("jobs", "show", job, "--json").stdout)
    item = next(each["item"] for each in made["lines"] if each["item"] == "15040")
    assert run("jobs", "swap", job, item, "15042").exit_code == 3
    stops = [each["code"] for each in made["findings"] if each["level"] == "stop"]
    passes = [part for code in stops for part in ("--let-pass", code)]
    assert quote("--no-papers", *passes, *BY).exit_code == 0
    assert run("jobs", "swap", job, item, "15042").exit_code == 0


def test_the_customer_must_agree_to_what_the_quote_names_and_papers_are_named(desk: Path) -> None:
    shutil.copy(ROOT / "demo_jobs" / "panels-and-storage" / "survey.toml", desk / "survey.toml")
    quote("--no-papers")
    panel = tried(job="D-102", pair=("00440-BK", "00450-BK"))
    assert panel["customer_must_agree"] is True
    assert {"roof layout", "electrical certificate"} <= set(panel["papers"])
    hook = tried(job="D-102", pair=("02110-ZN", "02110-SS"))
    assert hook["customer_must_agree"] is False
    text = " ".join(run("jobs", "swap", "D-102", "00440-BK", "00450-BK").stdout.split())
    assert "the customer must agree to the substitute, in writing, before it is ordered" in text
    assert "An estimate, not a design" in text


def test_boxes_and_hours_are_told_where_they_change(desk: Path) -> None:
    shutil.copy(ROOT / "demo_jobs" / "panels-and-storage" / "survey.toml", desk / "survey.toml")
    quote("--no-papers")
    found = tried(job="D-102", pair=("01150-IN", "01150-OU"))
    assert found["comes_back"] == [
        {"item": "09010", "without": 8, "with": 4}, {"item": "09011", "without": 0, "with": 4}]


def test_a_refused_substitute_and_an_unknown_job_are_told_without_a_traceback(
    quoted: Path
) -> None:
    refused = run("jobs", "swap", JOB, "03040-TE", "03025-TE")
    assert (refused.exit_code, "error E305" in refused.stderr) == (1, True)
    nobody = run("jobs", "swap", "D-999", *CABLE)
    assert (nobody.exit_code, "error J001" in nobody.stderr) == (1, True)
    other = run("jobs", "swap", JOB, *CABLE, "--revision", "7")
    assert (other.exit_code, "error J002" in other.stderr) == (1, True)


def test_what_is_no_pair_of_codes_is_a_mistake_of_usage(quoted: Path) -> None:
    for typed in ("03040-TE", "=03060-TE", "03040-TE="):
        assert quote("--substitute", typed).exit_code == 2
