"""`estimator stock short` and `stock shelf`: what to order by when, joint cuts, the shelf."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest

from estimator.workflow.job_states import Said, record
from tests.chain.desk import ROOT, codes, quote, run

NOON = datetime(2026, 11, 12, 12, tzinfo=UTC)
FIRST, SECOND = "D-102", "D-902"
PANEL, TRUNKING, TIE, BRACKET = "00440-BK", "08125-TR", "15040", "02016-AT"


def told(*typed: str) -> Any:
    result = run("stock", *typed, "--json")
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def accept(job: str, needed_on: date) -> None:
    record("estimator.db", "accepted", Said(job, "R. Owner", needed_on=needed_on), NOON)


@pytest.fixture
def two_jobs(desk: Path) -> Path:
    """Two accepted jobs alike, but that the second has 1.1 m of trunking where the first has 4.5.

    They need their goods on 4 and 9 December 2026.
    """
    text = (ROOT / "demo_jobs" / "panels-and-storage" / "survey.toml").read_text(encoding="utf-8")
    (desk / "first.toml").write_text(text, encoding="utf-8")
    second = text.replace(f'id = "{FIRST}"', f'id = "{SECOND}"').replace(
        "length_m = { value = 4.5,", "length_m = { value = 1.1,")
    assert second.count("value = 1.1,") == 1
    (desk / "second.toml").write_text(second, encoding="utf-8")
    for name in ("first.toml", "second.toml"):
        assert quote("--no-papers", survey=name).exit_code == 0
    accept(FIRST, date(2026, 12, 4))
    accept(SECOND, date(2026, 12, 9))
    told("places", "--add", "store", "--kind", "store")
    return desk


def short(item: str, *more: str, on: str = "2026-11-27", until: str = "2026-12-31") -> list[Any]:
    found = told("short", "--until", until, "--on", on, *more)
    return [(each["quantity"], each["needed_on"], each["order_by"], each["jobs"], each["late"])
            for each in found["shortages"] if each["item"] == item]


def test_what_accepted_jobs_lack_is_ordered_its_lead_time_before_they_need_it(
    two_jobs: Path
) -> None:
    serials = [word for n in range(5) for word in ("--serial", f"P{n}")]
    told("receive", PANEL, "5", "--into", "store", "--cost", "285", *serials)
    # By hand: 12 panels each; the 5 that lie there are the first job's. General Wholesale has them
    # in 3 days, Roof Merchant in 7.
    assert short(PANEL) == [
        ("7", "2026-12-04", "2026-12-01", [FIRST], False),
        ("12", "2026-12-09", "2026-12-06", [SECOND], False)]
    assert short(PANEL, on="2026-12-02") == [
        ("7", "2026-12-04", "2026-12-01", [FIRST], True),
        ("12", "2026-12-09", "2026-12-06", [SECOND], False)]
    assert short(PANEL, until="2026-12-08") == [
        ("7", "2026-12-04", "2026-12-01", [FIRST], False)]
    text = run("stock", "short", "--until", "2026-12-31", "--on", "2026-12-02").output
    assert "General Wholesale, 3 days, LATE" in text
    assert "cannot come in time any more" in text


def test_jobs_that_need_it_on_one_day_share_an_order(two_jobs: Path) -> None:
    told("reserve", SECOND, "--on", "2026-12-04")
    assert short(PANEL) == [("24", "2026-12-04", "2026-12-01", [FIRST, SECOND], False)]


def test_what_is_short_becomes_orders_and_is_then_on_its_way_or_too_late(two_jobs: Path) -> None:
    typed = ("orders", "place", "--until", "2026-12-31", "--on", "2026-11-30", "--json")
    made = json.loads(run(*typed, "--write").stdout)
    panels = [line for order in made["orders"] for line in order["lines"] if line["item"] == PANEL]
    assert [(line["quantity"], line["needed_on"], line["jobs"]) for line in panels] == [
        ("24", "2026-12-04", [{"job": FIRST, "quantity": "12"}, {"job": SECOND, "quantity": "12"}])]
    found = told("short", "--until", "2026-12-31", "--on", "2026-11-30")
    assert found["shortages"] == []
    # Bollards take the trade ten days from 30 November: too late for both jobs, and not short.
    assert [(each["job"], each["needed_on"], each["comes_on"]) for each in found["late"]
            if each["item"] == "02910-BL"] == [
        (FIRST, "2026-12-04", "2026-12-10"), (SECOND, "2026-12-09", "2026-12-10")]
    text = run("stock", "short", "--until", "2026-12-31", "--on", "2026-11-30").output
    assert "ORDERED, AND COMES TOO LATE" in text
    again = run(*typed)
    assert codes(again) == {"E207"}
    assert "nothing is short until then" in again.stdout
    assert run("orders", "place", FIRST, "--until", "2026-12-31").exit_code == 2


def test_the_offcut_of_one_job_serves_the_next(two_jobs: Path) -> None:
    # By hand, with 5 % over and 3 mm for the saw: 3000 + 1725 mm, and 1155 mm: three bars job by
    # job; 1725 + 3 + 1155 = 2883 mm come out of one. A bar of 3 m costs 4.20.
    def trunking() -> Any:
        found = told("short", "--until", "2026-12-31", "--on", "2026-11-27")
        (cut,) = [each for each in found["cuts"] if TRUNKING in each["alone"]]
        return cut

    cut = trunking()
    assert (cut["jobs"], cut["alone"], cut["together"]) == (
        [FIRST, SECOND], {TRUNKING: 3}, {TRUNKING: 2})
    assert (cut["bars_saved"], cut["saved_minor"], cut["saved_on_hand_minor"]) == (1, 420, 0)
    text = run("stock", "short", "--until", "2026-12-31", "--on", "2026-11-27").output
    assert f"1725 {FIRST}: board to converter, piece 2 of 2; 1155 {SECOND}: " in text
    # A piece of 2.9 m that lies there holds both.
    told("receive", TRUNKING, "2.9", "--into", "store", "--cost", "4.06", "--length", "2.9")
    cut = trunking()
    assert (cut["bought"], cut["bars_saved"]) == ({TRUNKING: 1}, 2)
    assert (cut["saved_minor"], cut["saved_on_hand_minor"]) == (420, 420)
    assert told("short", "--until", "2026-12-31", "--on", "2026-11-27", "--cuts", "8")[
        "cuts"] != []
    assert told("short", "--until", "2026-12-31", "--on", "2026-11-27", "--cuts", "3")[
        "cuts"] == []


def test_the_shelf_is_filled_up_by_its_rule(two_jobs: Path) -> None:
    told("receive", TIE, "300", "--into", "store", "--cost", "6.00")
    (line,) = told("shelf", TIE, "--least", "250", "--order", "500", "--why", "runs out")
    # Each job takes 28 ties, as its bill says: 300 - 56 = 244 are free.
    assert (line["free"], line["to_order"]) == ("244", True)
    assert short(TIE) == [("500", "2026-11-28", "2026-11-27", [], False)]
    told("shelf", TIE, "--least", "200", "--order", "500")
    assert short(TIE) == []
    told("shelf", TIE, "--least", "0", "--order", "0")
    assert told("shelf") == []
    assert "No shelf has a reorder point yet" in run("stock", "shelf").output


def test_what_a_shelf_costs_least_is_proposed(two_jobs: Path) -> None:
    # Demand 5,000 a year, 30 an order, holding 50 a unit: 77.46, in whole units 77, of which orders
    # cost 1,948.05 and holding 1,925.00 a year (questions and answers on the economic order
    # quantity; order and holding cost worked back from the printed totals). Here the item costs
    # 12.50, so that 4 times its worth is 50. Lead 7 days: by hand 5000 / 365 * 7 = 95.9, raised.
    typed = ("shelf", BRACKET, "--order-cost", "30", "--holding", "4", "--demand", "5000")
    made = told(*typed)
    assert abs(made["economic"] - 77.46) < 0.005
    assert made["rule"] == {"least": "96", "order": "77"}
    assert made["a_year_minor"] == 194_805 + 192_500
    assert (made["supplier"], made["lead_days"]) == ("Storage Depot", 7)
    text = run("stock", *typed).output
    assert "least together at 77.5 an order; in whole packs 77, at £3,873.05 a year" in text
    assert told(*typed, "--safety", "4")["rule"]["least"] == "100"


def test_a_proposal_says_what_it_lacks(two_jobs: Path) -> None:
    proposal = ("stock", "shelf", TIE, "--order-cost", "15", "--holding", "0.2", "--json")
    assert codes(run(*proposal)) == {"Y119"}
    assert codes(run("stock", "shelf", "15041", *proposal[3:])) == {"Y103"}
    assert codes(run("stock", "shelf", TIE, "--order-cost", "15", "--holding", "0", "--demand",
                     "9", "--json")) == {"Y119"}


@pytest.mark.parametrize("typed", [
    ("--least", "1"), (TIE,), (TIE, "--least", "1"), (TIE, "--order-cost", "1"),
    (TIE, "--least", "1", "--order", "2", "--order-cost", "1", "--holding", "1")])
def test_a_command_line_that_asks_for_no_one_thing_ends_with_status_two(
    desk: Path, typed: tuple[str, ...]
) -> None:
    assert run("stock", "shelf", *typed).exit_code == 2


def test_nothing_short_is_said_plainly(desk: Path) -> None:
    assert "Nothing is short until 2026-12-31." in run(
        "stock", "short", "--until", "2026-12-31").output
