"""A line of mixed packs on every paper, with waste beside the measured length."""

import json
from datetime import date
from decimal import Decimal as D

import pytest

from catalogue.items import Offer
from catalogue.money import Money
from estimator.papers.contract import EstimateJson
from estimator.papers.explain import why
from estimator.papers.terminal import summary
from estimator.papers.workbook import bill_workbook
from tests.papers import sample
from tests.papers.reading import formulas, pence, row_of, values

FROM = date(2026, 7, 1)


def offer(code: str, pack: str, minor: int, supplier: str = "North Counter", **fields) -> Offer:
    return Offer(code, supplier, D(pack), Money(minor), FROM, **fields)


def row(code: str, unit: str, need: str, *offers: Offer, waste: str = "0") -> sample.Row:
    return sample.Row(code, f"name of {code}", "containment", unit, need, "0", "0", "a test",
                      held="job", waste=waste, offers=offers)


ROWS = (
    # 200 + 5 % = 210 m: 2 x 80.00 + 25.00
    row("MIX", "m", "200", offer("MIX", "100", 8000),
        offer("MIX", "25", 2500, "South Counter"), waste="0.05"),
    # 110 at 3.45 for 100 in tens, and at least 40: 11 x 10 x 3.45 / 100 = 3.795
    row("PER", "each", "110", offer("PER", "10", 345, per=D(100))),
    row("LEAST", "each", "12", offer("LEAST", "5", 300, least=D(40))),
    # 12.4 m: 13 x 1.10 + 2.50
    row("CUT", "m", "12.4", offer("CUT", "1", 110, cut_charge=Money(250))),
    # 100 m at 0.345 and 30 m cut at 1.115 with 2.005 in all: sums of their own, rounded each
    row("BOTH", "m", "128", offer("BOTH", "100", 3445, per=D(99)),
        offer("BOTH", "1", 30, "South Counter", cut_charge=Money(205))),
)
COSTS = {"MIX": 18500, "PER": 380, "LEAST": 2400, "CUT": 1680}


@pytest.fixture(scope="module")
def made() -> EstimateJson:
    return EstimateJson.of(sample.firm_estimate((*sample.ROWS, *ROWS)), 1)


def line(made: EstimateJson, item: str):
    return next(each for each in made.lines if each.item == item)


def test_the_json_form_names_every_buy_and_what_is_left_over(made):
    mix = json.loads(made.dumps())["lines"][line(made, "MIX").line - 1]
    assert mix["buys"] == [
        {"supplier": "North Counter", "supplier_code": "", "pack": 100, "packs": 2, "per": None,
         "price": 8000, "least": 0, "cuts": 0, "cut_charge": None, "quantity": 200, "cost": 16000},
        {"supplier": "South Counter", "supplier_code": "", "pack": 25, "packs": 1, "per": None,
         "price": 2500, "least": 0, "cuts": 0, "cut_charge": None, "quantity": 25, "cost": 2500},
    ]
    assert (mix["need"], mix["allowance"], mix["left_over"], mix["gap"]) == (200, 10, 15, 0)
    assert (mix["packs"], mix["pack"], mix["offer"]["supplier"]) == (2, 100, "North Counter")
    assert line(made, "CUT").offer.cut_charge == 250
    assert {item: line(made, item).cost for item in COSTS} == COSTS


def test_the_summary_and_the_reason_show_the_mix(made):
    assert "2 x 100 m + 1 x 25 m" in summary(made)
    told = " ".join(why(made, "MIX").split())
    assert ("needed 200 m, from boxes 0, to buy 200 m, waste 10 m, 2 x 100 m + 1 x 25 m, "
            "left over 15 m") in told
    assert "buy 1 x pack of 25 from South Counter, £25.00 for a pack of 25: £25.00" in told
    assert "cost: £185.00, whole packs (3), bought for the job" in told
    assert "£3.45 for 100 in packs of 10" in why(made, "PER")
    assert "£3.00 for a pack of 5, from 40 on" in why(made, "LEAST")
    assert "£1.10 for a pack of 1, cut to measure for £2.50 a length" in " ".join(
        why(made, "CUT").split())


def test_the_bill_shows_the_mix_in_words_and_calculates_it(made):
    book = bill_workbook(made)
    at = row_of(book, "Bill", "D", "MIX")
    written, held = formulas(book), values(book)
    assert held["Bill", f"I{at}"] == "2 x 100 m + 1 x 25 m"
    assert held["Bill", f"K{at}"] == "North Counter + South Counter"
    assert written["Bill", f"N{at}"] == "=ROUND(2*80,2)+ROUND(1*25,2)"
    assert written["Bill", f"H{at}"] == f"=ROUND(2*100+1*25-A{at}-G{at},6)"
    assert (held["Bill", f"E{at}"], held["Bill", f"G{at}"], held["Bill", f"H{at}"]) == (200, 10, 15)
    assert ("Bill", f"L{at}") not in held


def test_a_spreadsheet_calculates_mixes_prices_for_a_hundred_and_cuts_to_the_penny(
    made, recalculated
):
    again = recalculated(bill_workbook(made))
    held = values(again)
    for each in ROWS:
        at = row_of(again, "Bill", "D", each.code)
        told = line(made, each.code)
        assert pence(held["Bill", f"N{at}"]) == told.cost, each.code
        assert held["Bill", f"H{at}"] == pytest.approx(float(told.left_over))
        assert held["Bill", f"M{at}"] == pytest.approx(
            told.unit_cost_ten_thousandths / 10_000, abs=0.0001)
    at = row_of(again, "Bill", "D", "LEAST")
    assert (held["Bill", f"I{at}"], held["Bill", f"H{at}"]) == (8, 28)
