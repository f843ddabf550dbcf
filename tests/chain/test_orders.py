"""`estimator orders split`: the goods of the storage job over the starter catalogue's suppliers.

Four lines are bought for the job: sub-board, converter, three modules, a power lead. By hand, from
the starter catalogue's invented prices, in pence:

    cheapest line by line     38.00 from Counter North, 7.50 carriage
                              980.00 + 4,350.00 + 58.00 from Storage Depot, 48.00 for the pallet;
                              the order itself is free from 2,500.00 on
                              = 45.50 + 5,436.00 = 5,481.50, the last on 9 November
    General Wholesale alone   38.80 + 997.60 + 4,419.60 + 59.20 = 5,515.20, no carriage from
                              4,000.00 on, all on 5 November
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests.chain.desk import DAY, codes, quote, run

pytestmark = pytest.mark.usefixtures("quoted")


@pytest.fixture
def quoted(desk: Path) -> Path:
    assert quote().exit_code == 0
    return desk


def split(*more: str) -> dict[str, Any]:
    result = run("orders", "split", "D-101", "--on", DAY, "--json", *more)
    assert result.exit_code == 0, result.output
    data: dict[str, Any] = json.loads(result.stdout)
    return data


def brings(data: dict[str, Any]) -> dict[str, list[str]]:
    return {each["supplier"]: [line["item"] for line in each["lines"]] for each in data["orders"]}


def test_the_cheapest_split_is_found_and_held_against_the_simple_ways() -> None:
    data = split()
    assert brings(data) == {
        "Counter North": ["07105-SB"], "Storage Depot": ["01136-OU", "01505-WF", "03551-SE"]}
    assert [(each["goods"], each["carriage"], each["cost"], each["arrives"])
            for each in data["orders"]] == [
        (3_800, 750, 4_550, "2026-11-03"), (538_800, 4_800, 543_600, "2026-11-09")]
    assert (data["total"], data["bound"], data["gap"]) == (548_150, 548_150, 0)
    assert data["line_by_line"]["saved"] == 0
    assert data["single"] == {"supplier": "General Wholesale", "total": 551_520, "saved": 3_370}


def test_a_day_needed_is_worth_dearer_goods() -> None:
    data = split("--needed", "2026-11-05", "--late-per-day", "100")
    # the cheapest goods come four days late: 5,481.50 + 400.00
    assert brings(data) == {
        "General Wholesale": ["01136-OU", "01505-WF", "03551-SE", "07105-SB"]}
    assert (data["total"], data["lateness"], data["days_late"]) == (551_520, 0, 0)
    assert data["line_by_line"]["saved"] == 588_150 - 551_520
    assert split("--needed", "2026-11-05", "--late-per-day", "8")["total"] == 548_150 + 4 * 800
    assert split("--needed", "2026-11-05", "--hard")["total"] == 551_520
    assert split("--needed", "2026-11-05")["late_per_day"] == 25_000  # the firm's setting


def test_a_lock_and_a_supplier_left_out_are_kept_to() -> None:
    # by hand: modules and lead from the depot 4,350.00 + 58.00 + 48.00; converter and board from
    # the wholesaler 997.60 + 38.80 + 15.00; 5,507.40. The board from the counter makes it 5,514.10,
    # the lead from the wholesaler 5,508.60.
    locked = split("--lock", "01136-OU=General Wholesale")
    assert locked["total"] == 550_740
    assert [line["locked"] for each in locked["orders"] for line in each["lines"]
            if line["item"] == "01136-OU"] == [True]
    left_out = ("--without", "General Wholesale", "--without", "Sign Workshop")
    assert brings(split(*left_out)) == brings(split())
    # without the counter the wholesaler brings the board, and the lead with it: 38.80 + 59.20 +
    # 15.00 and 5,330.00 + 48.00 = 5,491.00
    assert split("--without", "Counter North")["total"] == 549_100
    # with the lead locked to the depot the board alone is under the least order of 50.00, so that
    # goods for 11.20 more are bought: 50.00 + 15.00 + 5,436.00
    alone = split("--without", "Counter North", "--lock", "03551-SE=Storage Depot")
    assert alone["total"] == 550_100
    assert [(each["surplus"], each["surplus_cost"]) for each in alone["orders"]] == [
        (1_120, 1_120), (0, 0)]


def test_what_the_shelf_gives_is_ordered_on_wish() -> None:
    items = {line for each in brings(split("--with-stock")).values() for line in each}
    assert {"01136-OU", "01505-WF", "03551-SE", "07105-SB"} < items
    assert len(items) > 20


def test_the_split_is_told_to_people() -> None:
    result = run("orders", "split", "D-101", "--on", DAY, "--needed", "2026-11-05",
                 "--late-per-day", "8")
    for words in (
        "Orders for job D-101, revision 1",
        "needed by 5 November 2026, each day later costs £8.00",
        "STORAGE DEPOT: all there on 9 November 2026, 4 days late",
        "3  01505-WF  Storage module 5 kWh, wall or floor, hung on bracket",
        "£48.00  carriage",
        "£32.00  waiting 4 days for the last goods",
        "£5,513.50  in all",
        "No split costs less: every other split was ruled out.",
        "against General Wholesale alone, the cheapest who can bring all (£5,515.20)",
    ):
        assert words in " ".join(result.stdout.replace("\n", " ").split(" ")), words


def test_the_same_split_comes_out_every_time() -> None:
    assert split("--with-stock") == split("--with-stock")


@pytest.mark.parametrize("typed", [
    ("--lock", "01136-OU"), ("--lock", "=Storage Depot"), ("--late-per-day", "ten"),
    ("--late-per-day", "10"), ("--hard",),
    ("--needed", DAY, "--hard", "--late-per-day", "10"), ("--needed", DAY, "--late-per-day", "-1"),
])
def test_what_cannot_be_read_is_wrong_use(typed: tuple[str, ...]) -> None:
    assert run("orders", "split", "D-101", *typed).exit_code == 2


def test_a_job_that_is_not_there_is_told() -> None:
    result = run("orders", "split", "D-999", "--json")
    assert (result.exit_code, codes(result)) == (1, {"J001"})
