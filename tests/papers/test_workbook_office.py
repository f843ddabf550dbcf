"""A spreadsheet program calculates every formula again and must come to the engine's figures."""

import io
from collections.abc import Callable, Mapping
from dataclasses import replace
from decimal import Decimal as D
from pathlib import Path

import openpyxl
import pytest

from catalogue.money import Money
from estimator.papers.contract import EstimateJson
from estimator.papers.workbook import bill_workbook
from tests.papers import sample
from tests.papers.reading import (
    budget_json,
    firm_json,
    formulas,
    money_cells,
    pence,
    row_of,
    values,
)

pytestmark = pytest.mark.office

# Each line is a tie by hand: need x price / pack ends in half a penny.
TIES = (("3", "0.35", "2"), ("18.7", "0.50", "10"), ("0.5", "2.01", "1"), ("1.5", "0.67", "1"),
        ("2.5", "4.35", "5"), ("0.1", "10.25", "1"), ("4.35", "1.10", "1"), ("33", "1.35", "6"),
        ("1.005", "1", "1"), ("2.675", "1", "1"), ("8.325", "1", "1"), ("1.115", "1", "1"))
# By hand: 0.1 m and 0.2 m need 0.3 m, exactly one pack of 0.3 m; 2.1 m of 0.7 m packs are 3.
DUST = (("0.3", "0.3", 1), ("2.1", "0.7", 3), ("2.11", "0.7", 4))


def with_rows(*rows: sample.Row) -> bytes:
    return bill_workbook(EstimateJson.of(sample.firm_estimate((*sample.ROWS, *rows)), 1))


def ties() -> bytes:
    return with_rows(*(
        sample.Row(f"TIE-{n}", f"tie {n}", "cable", "m", need, pack, price, "a tie")
        for n, (need, price, pack) in enumerate(TIES)))


def dust() -> bytes:
    return with_rows(*(
        replace(sample.ROWS[6], code=f"DUST-{n}", need=need, pack=pack, waste="0")
        for n, (need, pack, _) in enumerate(DUST)))


def wrong() -> bytes:
    made = firm_json()
    return bill_workbook(made.model_copy(update={"lines": tuple(
        line.model_copy(update={"cost": line.cost + 100}) if line.item == "00420" else line
        for line in made.lines)}))


def changed_by_hand() -> bytes:
    book = bill_workbook(firm_json())
    opened = openpyxl.load_workbook(io.BytesIO(book))
    opened["Bill"][f"E{row_of(book, 'Bill', 'D', 'DEMO-STORE')}"] = 4
    held = io.BytesIO()
    opened.save(held)
    return held.getvalue()


@pytest.fixture(scope="module")
def books() -> dict[str, bytes]:
    return {"firm": bill_workbook(firm_json()), "budget": bill_workbook(budget_json()),
            "ties": ties(), "dust": dust(), "wrong": wrong(), "changed": changed_by_hand()}


@pytest.fixture(scope="module")
def again(
    books: dict[str, bytes], saved_as: Callable[[Mapping[str, bytes], str], dict[str, Path]]
) -> dict[str, bytes]:
    """The same workbooks, calculated again: all in one start of the program."""
    return {name: path.read_bytes() for name, path in saved_as(books, "xlsx").items()}


@pytest.mark.parametrize(("name", "made"), [("firm", firm_json()), ("budget", budget_json())],
                         ids=["firm", "budget"])
def test_every_amount_calculated_again_is_the_engines_to_the_penny(books, again, name, made):
    before, after = money_cells(books[name]), money_cells(again[name])
    assert len(before) > 40
    assert after == before
    held = values(again[name])
    row = row_of(again[name], "Price build-up", "B", "PRICE with VAT")
    assert pence(held["Price build-up", f"A{row}"]) == made.price.gross
    row = row_of(again[name], "Bill", "C", "THE BILL, with waste")
    cost = made.cost
    assert pence(held["Bill", f"N{row}"]) == cost.materials + cost.bought_in + cost.waste


def test_quantities_hours_and_shares_calculated_again_are_the_engines(books, again):
    book = books["firm"]
    before, after = values(book), values(again["firm"])
    formula_cells = [at for at, text in formulas(book).items() if str(text).startswith("=")]
    assert len(formula_cells) > 80
    for at in formula_cells:
        # Hours and shares are cached with four and six places.
        assert after[at] == pytest.approx(before[at], abs=0.0001), at


def test_half_pennies_go_up_in_the_spreadsheet_as_in_the_engine(again):
    held = values(again["ties"])
    for n, (need, price, pack) in enumerate(TIES):
        exact = D(need) * D(price) / D(pack) * 100
        assert exact % 1 == D("0.5")
        row = row_of(again["ties"], "Bill", "D", f"TIE-{n}")
        assert pence(held["Bill", f"N{row}"]) == int(exact + D("0.5")), (need, price, pack)


def test_packs_are_rounded_up_and_dust_of_binary_fractions_adds_none(again):
    held = values(again["dust"])
    packs = [held["Bill", f"I{row_of(again['dust'], 'Bill', 'D', f'DUST-{n}')}"]
             for n in range(len(DUST))]
    assert packs == [packs for _, _, packs in DUST]


def test_a_wrong_cached_value_would_be_found(books, again):
    assert money_cells(again["wrong"]) != money_cells(books["wrong"])


def test_a_change_by_hand_runs_through_to_the_price_sheet(books, again):
    held = values(again["changed"])
    total = row_of(books["firm"], "Price build-up", "B", "Direct cost")
    more = Money.of("1450").minor
    assert pence(held["Price build-up", f"A{total}"]) == firm_json().cost.direct + more
