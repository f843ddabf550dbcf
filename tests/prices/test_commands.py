"""History, comparison, ending and the list of lists: what a person sees and what is kept."""

from __future__ import annotations

import click
import pytest

from estimator.cli.prices import prices
from tests.prices.conftest import DAY, HEADER, NEXT, OTHER, STATEMENT, SUPPLIER, Desk

ENDING = ("expire", "--supplier", SUPPLIER, "--from", NEXT, "--reason", "no longer made")


@pytest.mark.parametrize("name", list(prices.commands))
def test_every_command_has_help_with_an_example_and_speaks_json(name: str) -> None:
    command: click.Command = prices.commands[name]
    assert f"estimator prices {name}" in str(command.help)
    assert "as_json" in [parameter.name for parameter in command.params]


def test_history_shows_every_price_with_state_end_list_and_change(desk: Desk) -> None:
    desk.read_in(HEADER + "A1,Gland,1,11.00\n", "--write")
    desk.read_in(HEADER + "A1,Gland,1,10.50\n", "--write", name="corrected.csv")
    shown = desk.data("history", "I1", "--on", DAY)
    assert [(offer["state"], offer["price"]["minor"], offer["to_date"], offer["price_list"],
             offer["change"]) for offer in shown["offers"]] == [
        ("in force", 1050, None, "corrected.csv", "0.050000"),  # 10.00 -> 10.50
        ("withdrawn", 1100, None, "list.csv", None),
        ("past", 1000, "2026-11-01", "", None)]
    told = desk.run("history", "I1", "--on", DAY).stdout
    for part in ("in force", "£10.50", "+5.0 %", "price list corrected.csv", "withdrawn",
                 "by hand"):
        assert part in told


def test_compare_ranks_all_suppliers_by_the_price_of_a_unit(desk: Desk) -> None:
    # 10.00 each against 85.00 for a pack of ten
    desk.change(STATEMENT.replace(" 1000, ?,", " 10000, ?,"), [("I1", OTHER, "R1", 8500, 1)])
    lines = desk.data("compare", "I1", "--on", DAY)
    assert [(line["rank"], line["offer"]["supplier"], line["offer"]["unit_price_minor"])
            for line in lines] == [(1, OTHER, "850.000000"), (2, SUPPLIER, "1000.000000")]
    assert "£8.50" in desk.run("compare", "I1", "--on", DAY).stdout


def test_compare_of_a_supplier_shows_all_that_is_offered_for_his_items(desk: Desk) -> None:
    desk.change(STATEMENT, [("I1", OTHER, "R1", 900, 1), ("I3", OTHER, "R3", 100, 1)])
    lines = desk.data("compare", SUPPLIER, "--on", DAY)
    assert [(line["item"], line["offer"]["supplier"]) for line in lines] == [
        ("I1", OTHER), ("I1", SUPPLIER), ("I2", SUPPLIER), ("I5", SUPPLIER)]


def test_compare_of_two_days_shows_the_change(desk: Desk) -> None:
    desk.read_in(HEADER + "A1,Gland,1,11.00\nA3,Cable,50,30.00\n", "--write")
    lines = desk.data("compare", "I1", "I3", "--on", "2026-11-01", "--to", DAY)
    assert [(line["item"], line["change"], line["offer"] is None) for line in lines] == [
        ("I1", "0.100000", False), ("I3", None, True)]
    told = desk.run("compare", "I1", "I3", "--on", "2026-11-01", "--to", DAY).stdout
    assert "+10.0 %" in told
    assert "£0.60" in told  # 30.00 for 50 m


def test_expire_is_a_dry_run_first(desk: Desk) -> None:
    before = desk.everything()
    told = desk.run(*ENDING).stdout
    assert "3 prices of Counter North end before 2026-12-01" in told
    assert desk.everything() == before


def test_an_ended_price_is_withdrawn_and_added_again_with_its_last_day(desk: Desk) -> None:
    done = desk.data(*ENDING, "--item", "I1", "--write")
    assert done["written"] is True
    assert [(row[3], row[4], row[5], row[6]) for row in desk.rows() if row[0] == "I1"] == [
        (1000, "2026-09-01", None, 1), (1000, "2026-09-01", "2026-11-30", 0)]
    assert [row[6] for row in desk.rows() if row[0] != "I1"] == [0, 0]
    (now, _) = desk.data("history", "I1", "--on", NEXT)["offers"]
    assert (now["state"], now["entered_from"]) == ("past", "ended: no longer made")
    assert desk.data("compare", "I1", "--on", "2026-11-30")[0]["rank"] == 1
    assert desk.data("compare", "I1", "--on", NEXT) == []


def test_a_price_to_come_is_withdrawn_when_all_ends_before_it(desk: Desk) -> None:
    desk.read_in(HEADER + "A1,Gland,1,11.00\n", "--write", "--from", "2027-01-01")
    desk.data(*ENDING, "--item", "I1", "--write")
    assert [(row[3], row[5]) for row in desk.rows() if row[0] == "I1" and not row[6]] == [
        (1000, "2026-11-30")]


def test_the_lists_read_in_are_listed_newest_first(desk: Desk) -> None:
    desk.read_in(HEADER + "A1,Gland,1,11.00\n", "--write")
    desk.read_in(HEADER + "A1,Gland,1,12.00\n", "--write", "--from", NEXT, name="next.csv")
    assert [(each["file"], each["from_date"], each["changed"]) for each in desk.data(
        "lists", "--supplier", SUPPLIER)] == [("next.csv", NEXT, 1), ("list.csv", DAY, 1)]
    assert "No price list was read in yet." in desk.run("lists", "--supplier", OTHER).stdout
