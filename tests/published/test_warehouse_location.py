"""Warehouse location as a basket: a supplier is a warehouse, a line is a customer.

Carriage of an order that never falls away is the cost of opening a warehouse; the goods of a line
are the cost of serving the customer from there.

Source: OR-Library, uncapacitated warehouse location, data cap71 and optima in the file uncapopt
(J E Beasley, http://people.brunel.ac.uk/~mastjjb/jeb/orlib/uncapinfo.html); the costs as copied in
a public repository. That cap72 to cap74 are the same costs with 12,500, 17,500 and 25,000 for an
opening, and that warehouse 11 opens for nothing in all of them, is from memory; the four optima
agree with it. Costs are multiples of 1/80, which stands for the minor unit.
"""

from __future__ import annotations

import csv
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from estimator.buying.basket import split_basket
from estimator.buying.basket_values import BasketLine, Charge, Choice, Terms, Wanted, line_of

COSTS = Path(__file__).parent / "warehouses" / "cap71.csv"
WAREHOUSES = [f"warehouse_{number}" for number in range(1, 17)]
OPENS_FREE = "warehouse_11"
PER_UNIT = 80


def customers() -> list[BasketLine]:
    with COSTS.open(encoding="utf-8") as file:
        return [
            line_of(f"{row['customer']:>02}", row["customer"], Decimal(row["demand"]), [
                Choice(name, int(Decimal(row[name]) * PER_UNIT)) for name in WAREHOUSES])
            for row in csv.DictReader(file)
        ]


@pytest.mark.parametrize(("problem", "opening", "optimum"), [
    ("cap71", 7_500, "932615.750"), ("cap72", 12_500, "977799.400"),
    ("cap73", 17_500, "1010641.450"), ("cap74", 25_000, "1034976.975"),
])
def test_the_published_optima_are_found_and_proven(
    problem: str, opening: int, optimum: str
) -> None:
    terms = {
        name: Terms(Charge(0 if name == OPENS_FREE else opening * PER_UNIT))
        for name in WAREHOUSES
    }
    split = split_basket(customers(), terms, Wanted(date(2026, 11, 2)))
    assert Decimal(split.plan.total_minor) / PER_UNIT == Decimal(optimum), problem
    assert split.gap_minor == 0
