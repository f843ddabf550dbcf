"""The workbook of every demo job, its formulas calculated again by a spreadsheet program."""

from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path

import pytest

from estimator.papers.contract import EstimateJson
from estimator.papers.workbook import bill_workbook
from estimator.workflow.quote import QuoteRequest, quote
from tests.papers.reading import money_cells, pence, row_of, values

DEMO_JOBS = Path(__file__).parents[2] / "demo_jobs"
SURVEYS = sorted(DEMO_JOBS.glob("*/survey.toml"))
ON = date(2026, 9, 14)

pytestmark = pytest.mark.office


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> dict[str, EstimateJson]:
    database = str(tmp_path_factory.mktemp("firm") / "estimator.db")
    return {path.parent.name: quote(QuoteRequest(path, ON, database, write_papers=False)).estimate
            for path in SURVEYS}


@pytest.fixture(scope="module")
def books(made: dict[str, EstimateJson]) -> dict[str, bytes]:
    return {name: bill_workbook(each) for name, each in made.items()}


@pytest.fixture(scope="module")
def calculated(
    books: dict[str, bytes], saved_as: Callable[[Mapping[str, bytes], str], dict[str, Path]]
) -> dict[str, Path]:
    """The same workbooks, calculated again: all in one start of the program."""
    return saved_as(books, "xlsx")


def test_there_are_demo_jobs():
    assert len(SURVEYS) >= 5


@pytest.mark.parametrize("name", [path.parent.name for path in SURVEYS])
def test_the_spreadsheet_comes_to_the_engines_figures_to_the_penny(made, books, calculated, name):
    again = calculated[name].read_bytes()
    assert money_cells(again) == money_cells(books[name])
    for sheet, label, column, text, minor in totals(made[name]):
        row = row_of(again, sheet, label, text)
        assert pence(values(again)[sheet, f"{column}{row}"]) == minor, text
    lines = [line for line in made[name].lines if line.offer is not None]
    assert lines
    for line in lines:
        cost = bill_cost(again, line.line)
        assert cost == line.cost, (line.item, cost)


def totals(made: EstimateJson) -> list[tuple[str, str, str, str, int]]:
    carriage = sum(each.amount for each in made.cost.heads if each.head == "carriage")
    bill = made.cost.materials - carriage + made.cost.bought_in + made.cost.waste
    return [
        ("Bill", "C", "N", "THE BILL, with waste", bill),
        ("Price build-up", "B", "A", "Direct cost", made.cost.direct),
        ("Price build-up", "B", "A", "Full cost", made.cost.total),
        ("Price build-up", "B", "A", "PRICE, net", made.price.net),
        ("Price build-up", "B", "A", "PRICE with VAT", made.price.gross),
    ]


def bill_cost(book: bytes, line: int) -> int:
    held = values(book)
    rows = [int(cell[1:]) for (sheet, cell), value in held.items()
            if sheet == "Bill" and cell.startswith("P") and value == line]
    assert len(rows) == 1
    return pence(held["Bill", f"N{rows[0]}"])
