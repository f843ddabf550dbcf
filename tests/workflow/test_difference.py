"""What changed between two kept revisions: one cause for one change, and sums to the penny.

Amounts come from a hand: prices, minutes, rates and waste stand in the starter catalogue, the
norms and the default settings, all invented. What a cost of C is quoted at is worked out beside it.
"""

from __future__ import annotations

import json
import sqlite3
from datetime import date
from fractions import Fraction as F
from math import ceil
from pathlib import Path

import pytest
from click.testing import CliRunner

from estimator.buying.swaps import Swap
from estimator.cli import main
from estimator.difference.inputs import Totals
from estimator.difference.steps import NOTHING, Step
from estimator.papers.contract import EstimateJson
from estimator.workflow.difference import Difference, kept_totals
from tests.workflow.revisions import Firm

NORM = """
source = "timed on ten jobs"
from = 2026-01-01
[[norm]]
id = "office-pack"
name = "design pack, network form, certificates"
per = "job"
low = 60
likely = 165
high = 210
crew = 1
group = "office"
on_site = false
"""
RISK = """
[[risk]]
id = "own"
for = "job"
when = "job.storage"
chance = "0.5"
cost = "{cost}"
because = "the firm's own"
"""
SHEETS = """
[[value]]
name = "dust_sheets"
value = "{count}"
unit = "each"
meaning = "dust sheets for a job indoors"
source = "the firm"
standing = "common practice"
from = 2012-01-01
decides = "estimator"
"""


@pytest.fixture
def firm(tmp_path: Path, starter_template: Path, monkeypatch: pytest.MonkeyPatch) -> Firm:
    return Firm(tmp_path / "firm", starter_template, monkeypatch)


def quoted_at(cost_minor: int, margin: str = "0.15") -> int:
    """C / (1 - m) raised to the next 5.00, in pence."""
    return ceil(F(cost_minor) / (1 - F(margin)) / 500) * 500


def check_sum(found: Difference) -> Totals:
    """The shares add up to what the kept papers differ by."""
    change = kept_totals(found.now) - kept_totals(found.was)
    assert sum((step.share for step in found.steps), NOTHING) == change
    return change


def only_step(found: Difference) -> Step:
    check_sum(found)
    (step,) = found.steps
    (_,) = step.changes
    return step


def told(step: Step) -> tuple[str, str, str, str]:
    (change,) = step.changes
    return change.cause, change.what, change.was, change.now


def check_cost(step: Step, first: EstimateJson, more: int) -> None:
    """The cost grew by so much, and the price followed it; the job is taxed at 0 %."""
    cost = first.cost.total
    price = quoted_at(cost + more) - quoted_at(cost)
    assert step.share == Totals(more, price, price)


def test_a_dearer_item_is_one_cause_and_moves_the_cost_by_its_price(firm: Firm) -> None:
    first = firm.quote()
    firm.price("07105-SB", 10_00)  # bought for the job, one, no waste
    firm.quote()
    step = only_step(firm.diff())
    assert told(step) == ("price", "07105-SB Sub-board 5 ways, metal, 63 A switch, one phase",
                          "£38.00, Counter North and 1 more", "£48.00, Counter North and 1 more")
    check_cost(step, first, 10_00)


def test_a_norm_moves_the_cost_by_its_mean_hours_at_both_rates(firm: Firm) -> None:
    """(60 + 4 x 90 + 150) / 6 = 95 min; (60 + 4 x 165 + 210) / 6 = 155: an hour more."""
    first = firm.quote()
    firm.own("norms/own.toml", NORM)
    firm.quote()
    step = only_step(firm.diff())
    assert told(step) == ("norm", "office-pack", "60/90/150 min, crew 1, office, off site",
                          "60/165/210 min, crew 1, office, off site")
    check_cost(step, first, 43_98 + 23_85)


def test_a_rule_that_is_added_and_one_that_is_changed_and_taken_away(firm: Firm) -> None:
    first = firm.quote()
    firm.own("rules/own.toml", RISK.format(cost="10.00"))
    firm.quote()
    firm.own("rules/own.toml", "# a remark moves every line of the file\n\n"
             + RISK.format(cost="30.00"))
    firm.quote()
    added, changed = only_step(firm.diff(1, 2)), only_step(firm.diff(2, 3))
    taken = only_step(firm.diff(3, 1))
    assert told(added) == ("rule", "own", "", "added")
    assert told(changed) == ("rule", "own", "cost 10.00", "cost 30.00")
    assert told(taken) == ("rule", "own", "there", "taken away")
    check_cost(added, first, 5_00)  # half of 10.00
    assert (changed.share.cost, taken.share.cost) == (10_00, -15_00)


def test_a_practice_value_is_one_cause(firm: Firm) -> None:
    """Three dust sheets instead of two, at 18.00 for ten."""
    first = firm.quote()
    firm.own("practice/own.toml", SHEETS.format(count=3))
    firm.quote()
    step = only_step(firm.diff())
    assert told(step)[:2] == ("practice value", "dust_sheets")
    check_cost(step, first, 1_80)


def test_a_setting_moves_the_price_and_not_the_cost(firm: Firm) -> None:
    first = firm.quote()
    firm.own("firm.toml", "[pricing]\nmargin_target = 0.20\n")
    firm.quote()
    step = only_step(firm.diff())
    assert told(step) == ("setting", "pricing.margin_target", "0.15", "0.2")
    more = quoted_at(first.cost.total, "0.20") - quoted_at(first.cost.total)
    assert step.share == Totals(0, more, more)


def test_a_data_sheet_is_as_it_was_when_the_revision_was_made(firm: Firm) -> None:
    """14.1 m of cable at 1.28: 5 % of it is 0.90, 20 % is 3.61."""
    first = firm.quote()
    firm.waste("03040-TE", "0.2")
    firm.quote()
    step = only_step(firm.diff())
    assert (told(step)[0], told(step)[2:]) == ("data sheet", ("waste 0.05", "waste 0.2"))
    check_cost(step, first, 3_61 - 90)


def test_a_discount_moves_the_price_alone(firm: Firm) -> None:
    firm.quote()
    firm.quote(discount="50")
    step = only_step(firm.diff())
    assert told(step) == ("discount", "money off", "none", "£50.00 (a neighbour's job)")
    assert step.share == Totals(0, -50_00, -50_00)


def test_a_substitute_is_one_cause(firm: Firm) -> None:
    """6 mm² for 4 mm² cable, 1.84 for 1.28 a metre: 14.1 m, each with 5 % for waste.

    14.1 x 1.28 = 18.05 and 0.90; 14.1 x 1.84 = 25.94 and 1.30; all rounded to a penny.
    """
    first = firm.quote()
    firm.quote(swaps=(Swap("03040-TE", "03060-TE", "out of stock", "A. B."),))
    step = only_step(firm.diff())
    assert told(step) == ("substitute", "03040-TE", "03040-TE", "03060-TE")
    check_cost(step, first, 25_94 + 1_30 - 18_05 - 90)


def test_another_day_alone_moves_nothing(firm: Firm) -> None:
    firm.quote()
    firm.quote(on=date(2026, 11, 3))
    step = only_step(firm.diff())
    assert told(step)[0] == "day"
    assert step.share == NOTHING


THREE = 'modules = { value = 3, evidence = "customer said", words = "3 mods" }'


def test_a_fact_is_valued_at_the_old_price_and_the_price_at_the_new_fact(firm: Firm) -> None:
    """A fourth module, and each dearer by 10.00: 40.00 is of the price in the stated order,
    30.00 in the opposite one, 35.00 in the mean of both."""
    firm.quote()
    firm.fact(THREE, "modules = 4")
    firm.price("01505-WF", 10_00)
    firm.quote()
    change = check_sum(firm.diff())
    fact, price = firm.diff().steps
    assert told(fact) == ("fact", "storage.modules", "3", "4")
    assert (told(price)[0], price.share.cost) == ("price", 40_00)
    mean = firm.diff(both_ways=True)
    assert check_sum(mean) == change
    assert [step.share.cost for step in mean.steps] == [change.cost - 35_00, 35_00]


def test_facts_that_contradict_each_other_half_way_are_taken_together(firm: Firm) -> None:
    """Paint 1.2 m off is within two metres: neither fact can stand with the other's old value."""
    firm.fact("flammables_within_2m = false", "flammables_within_2m = false\nflammables_m = 3")
    firm.quote()
    firm.fact("flammables_within_2m = false\nflammables_m = 3",
              "flammables_within_2m = true\nflammables_m = 1.2")
    firm.quote()
    found = firm.diff()
    check_sum(found)
    (step,) = found.steps
    assert {change.what for change in step.changes} == {
        "storage.flammables_within_2m", "storage.flammables_m"}


def test_everything_at_once_adds_up_both_ways_and_backwards(firm: Firm) -> None:
    firm.quote()
    firm.fact(THREE, "modules = 4")
    firm.price("08410-CC", 1_00)
    firm.price("01505-WF", -7_77)
    firm.own("norms/own.toml", NORM)
    firm.own("rules/own.toml", RISK.format(cost="33.33"))
    firm.own("practice/own.toml", SHEETS.format(count=5))
    firm.waste("03040-TE", "0.13")
    firm.quote(discount="3%")
    there, back = firm.diff(1, 2, both_ways=True), firm.diff(2, 1)
    assert check_sum(there) == NOTHING - check_sum(back)
    causes = [change.cause for step in there.steps for change in step.changes]
    assert causes == ["fact", "practice value", "norm", "rule", "data sheet", "price", "price",
                      "discount"]


def test_a_revision_that_was_kept_without_its_rules_says_so(firm: Firm) -> None:
    """The hour more of the norm cannot be told from anything else, so it is told as not kept."""
    first = firm.quote()
    firm.own("norms/own.toml", NORM)
    firm.quote()
    with sqlite3.connect(firm.database) as work:
        work.execute("DELETE FROM revision_basis WHERE number = 1")
    found = firm.diff()
    step = only_step(found)
    assert told(step)[0] == "not kept"
    assert told(step)[1].startswith("revision 1: labour, overhead")
    check_cost(step, first, 43_98 + 23_85)
    assert found.notes == (
        "revision 1 was kept without the rules, norms, practice values and settings that it was "
        "made with: those of the other revision, or else of today, are taken, and what that moves "
        "is told as 'not kept'",)


def test_without_any_basis_both_are_made_with_what_holds_today(firm: Firm) -> None:
    firm.quote()
    firm.price("07105-SB", 10_00)
    firm.quote()
    with sqlite3.connect(firm.database) as work:
        work.execute("DELETE FROM revision_basis")
    found = firm.diff()
    assert told(only_step(found))[0] == "price"
    assert len(found.notes) == 2


def test_rules_of_another_program_are_not_guessed(firm: Firm) -> None:
    firm.quote()
    firm.price("07105-SB", 10_00)
    firm.quote()
    with sqlite3.connect(firm.database) as work:
        work.execute("INSERT INTO kept_text VALUES ('x', ?)",
                     (json.dumps({"rules/own.toml": "[[milk]]\nid = \"a\"\n"}),))
        work.execute("UPDATE revision_basis SET digest = 'x' WHERE number = 1 AND kind = 'rules'")
    found = firm.diff()
    assert told(only_step(found))[0] == "price"
    assert "cannot use any more (a rule file has no tables called 'milk')" in found.notes[0]


def test_what_another_program_made_of_the_same_is_shown_and_not_hidden(firm: Firm) -> None:
    """Revision 1 as an older program might have kept it: 12.34 less cost, 15.00 less price."""
    kept = firm.quote()
    firm.quote(discount="50")
    older = json.loads(kept.dumps())
    older["cost"]["total"] -= 12_34
    older["cost"]["labour"] -= 12_34
    older["price"]["net"] -= 15_00
    older["price"]["gross"] -= 15_00
    with sqlite3.connect(firm.database) as work:
        work.execute("UPDATE revision SET estimate_json = ? WHERE number = 1",
                     (json.dumps(older),))
    found = firm.diff()
    check_sum(found)
    again, discount = found.steps
    assert told(again) == ("catalogue and program", "revision 1: labour", "as kept", "made again")
    assert again.share == Totals(12_34, 15_00, 15_00)
    assert told(discount)[0] == "discount"


@pytest.fixture
def two_quotes(firm: Firm) -> Firm:
    firm.quote()
    firm.price("07105-SB", 10_00)
    firm.fact('flood_risk = { value = false, evidence = "customer said" }', "flood_risk = true")
    firm.quote()
    return firm


def test_the_command_prints_causes_steps_lines_and_findings(two_quotes: Firm) -> None:
    result = CliRunner().invoke(main, ["diff", "D-101", "1", "2"])
    assert result.exit_code == 0, result.output
    said = " ".join(result.stdout.split())
    headings = ("BY CAUSE", "STEP BY STEP", "LINES OF THE BILL", "FINDINGS")
    assert [heading for heading in headings if heading not in said] == []
    assert "price 07105-SB Sub-board 5 ways, metal, 63 A swit... +£10.00" in said
    assert "£38.00, Counter North and 1 more -> £48.00, Counter North and 1 more" in said
    assert "FINDINGS new CAUTION storage: the place can flood" in said
    assert max(map(len, result.stdout.splitlines())) <= 100


def test_changes_that_move_no_money_are_counted_and_listed_when_asked_for(
    two_quotes: Firm,
) -> None:
    short = CliRunner().invoke(main, ["diff", "D-101", "1", "2"]).stdout
    whole = CliRunner().invoke(main, ["diff", "D-101", "1", "2", "--all"]).stdout
    assert "1 more change moves no money (--all lists them)" in short
    assert "storage.flood_risk" not in short
    assert "fact storage.flood_risk £0.00" in " ".join(whole.split())
    assert "no -> yes" in whole


def test_the_same_for_machines_adds_up_too(two_quotes: Firm) -> None:
    result = CliRunner().invoke(main, ["diff", "D-101", "1", "2", "--json", "--both-ways"])
    found = json.loads(result.stdout)
    for name in ("cost", "net", "gross"):
        change = found["now"][name] - found["was"][name]
        assert found["change"][name] == change
        assert sum(step[name] for step in found["steps"]) == change
        assert sum(cause[name] for cause in found["causes"]) == change
    assert found["order"][:2] == ["day", "fact"]
    assert [line["item"] for line in found["lines"]] == ["07105-SB"]
    assert found["lines"][0]["change"] == 10_00


def test_two_revisions_without_any_difference_say_so(firm: Firm) -> None:
    firm.quote()
    firm.fact("M. Thistlewood", "M. and N. Thistlewood")
    firm.quote()
    said = CliRunner().invoke(main, ["diff", "D-101", "1", "2"]).stdout
    assert "Nothing that decides a price differs." in said
