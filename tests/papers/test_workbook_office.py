"""A spreadsheet program calculates every formula again and must come to the engine's figures."""

from dataclasses import replace
from decimal import Decimal as D

import pytest

from catalogue.money import Money
from estimator.papers.contract import EstimateJson
from estimator.papers.workbook import bill_workbook
from tests.papers import sample
from tests.papers.reading import firm_json, formulas, money_cells, pence, row_of, values

pytestmark = pytest.mark.office

@pytest.mark.parametrize("estimate", [sample.firm_estimate(), sample.budget_estimate()],
                         ids=["firm", "budget"])
def test_every_amount_calculated_again_is_the_engines_to_the_penny(recalculated, estimate):
    made = EstimateJson.of(estimate, 1)
    book = bill_workbook(made)
    again = recalculated(book)
    before, after = money_cells(book), money_cells(again)
    assert len(before) > 40
    assert after == before
    held = values(again)
    row = row_of(again, "Price build-up", "B", "PRICE with VAT")
    assert pence(held["Price build-up", f"A{row}"]) == made.price.gross
    row = row_of(again, "Bill", "C", "THE BILL, with waste")
    cost = made.cost
    assert pence(held["Bill", f"N{row}"]) == cost.materials + cost.bought_in + cost.waste


def test_quantities_hours_and_shares_calculated_again_are_the_engines(recalculated):
    book = bill_workbook(firm_json())
    before, after = values(book), values(recalculated(book))
    formula_cells = [at for at, text in formulas(book).items() if str(text).startswith("=")]
    assert len(formula_cells) > 80
    for at in formula_cells:
        # Hours and shares are cached with four and six places.
        assert after[at] == pytest.approx(before[at], abs=0.0001), at


def test_half_pennies_go_up_in_the_spreadsheet_as_in_the_engine(recalculated):
    # Each line is a tie by hand: need x price / pack ends in half a penny.
    ties = (("3", "0.35", "2"), ("18.7", "0.50", "10"), ("0.5", "2.01", "1"), ("1.5", "0.67", "1"),
            ("2.5", "4.35", "5"), ("0.1", "10.25", "1"), ("4.35", "1.10", "1"), ("33", "1.35", "6"),
            ("1.005", "1", "1"), ("2.675", "1", "1"), ("8.325", "1", "1"), ("1.115", "1", "1"))
    rows = [
        sample.Row(f"TIE-{n}", f"tie {n}", "cable", "m", need, pack, price, "a tie")
        for n, (need, price, pack) in enumerate(ties)
    ]
    made = EstimateJson.of(sample.firm_estimate((*sample.ROWS, *rows)), 1)
    again = recalculated(bill_workbook(made))
    held = values(again)
    for n, (need, price, pack) in enumerate(ties):
        exact = D(need) * D(price) / D(pack) * 100
        assert exact % 1 == D("0.5")
        row = row_of(again, "Bill", "D", f"TIE-{n}")
        assert pence(held["Bill", f"N{row}"]) == int(exact + D("0.5")), (need, price, pack)


def test_packs_are_rounded_up_and_dust_of_binary_fractions_adds_none(recalculated):
    # By hand: 0.1 m and 0.2 m need 0.3 m, exactly one pack of 0.3 m; 2.1 m of 0.7 m packs are 3.
    rows = [
        replace(sample.ROWS[6], code="DUST-1", need="0.3", pack="0.3", waste="0"),
        replace(sample.ROWS[6], code="DUST-2", need="2.1", pack="0.7", waste="0"),
        replace(sample.ROWS[6], code="DUST-3", need="2.11", pack="0.7", waste="0"),
    ]
    made = EstimateJson.of(sample.firm_estimate((*sample.ROWS, *rows)), 1)
    again = recalculated(bill_workbook(made))
    held = values(again)
    packs = [held["Bill", f"I{row_of(again, 'Bill', 'D', f'DUST-{n}')}"] for n in (1, 2, 3)]
    assert packs == [1, 3, 4]


def test_a_wrong_cached_value_would_be_found(recalculated):
    made = firm_json()
    wrong = tuple(
        line.model_copy(update={"cost": line.cost + 100}) if line.item == "00420" else line
        for line in made.lines
    )
    book = bill_workbook(made.model_copy(update={"lines": wrong}))
    assert money_cells(recalculated(book)) != money_cells(book)


def test_a_change_by_hand_runs_through_to_the_price_sheet(recalculated):
    import io

    import openpyxl

    book = bill_workbook(firm_json())
    opened = openpyxl.load_workbook(io.BytesIO(book))
    row = row_of(book, "Bill", "D", "DEMO-STORE")
    opened["Bill"][f"E{row}"] = 4
    held = io.BytesIO()
    opened.save(held)
    again = values(recalculated(held.getvalue()))
    total = row_of(book, "Price build-up", "B", "Direct cost")
    more = Money.of("1450").minor
    assert pence(again["Price build-up", f"A{total}"]) == firm_json().cost.direct + more
