"""Stock values against published exercises: moving average, FIFO and LIFO.

Each exercise names its page; "answers by hand" marks closings that the page does not print.
"""

from __future__ import annotations

from decimal import Decimal as D

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.money import Money
from catalogue.stock.valuation import (
    METHODS,
    Issue,
    Method,
    NotHeld,
    Receipt,
    periodic_average,
    valued,
)


def bought(quantity: str | int, price: str) -> Receipt:
    """Return a receipt of so many at a price each."""
    return Receipt(D(quantity), int(D(quantity) * D(price) * 100))


def went(quantity: int) -> Issue:
    return Issue(D(quantity))


def minor(major: str | int) -> int:
    return Money.of(major).minor


def test_moving_average_of_the_inventory_lesson() -> None:
    # Instantcert, accounting lesson 318: 500 at 2.40, 300 sold, 100 at 3.50, 250 sold, 300 at 4.00.
    # The lesson rounds the average to 2.77 and gets 692.50 and 1,338.50; unrounded it is 2.7667,
    # 691.67 and 1,338.33.
    costs, held = valued(
        [bought(500, "2.40"), went(300), bought(100, "3.50"), went(250), bought(300, "4.00")],
        "moving average")
    assert costs == (minor("720.00"), minor("691.67"))
    assert (held.quantity, held.value_minor) == (D(350), minor("1338.33"))


CAMERAS = [bought(203, "141"), went(116), bought(232, "161"), went(145), bought(174, "176"),
           went(87), went(116)]


@pytest.mark.parametrize(("method", "closing"), [
    # Tutorsglobe, cameras: averages 155.545 and 165.773 printed; closings by hand.
    ("moving average", "24037.05"), ("fifo", "25520"), ("lifo", "21605"),
])
def test_three_methods_on_the_cameras(method: Method, closing: str) -> None:
    _, held = valued(CAMERAS, method)
    assert held.quantity == D(145)
    # 145 * 165.773 = 24,037.05: each of four issues is rounded to a penny once.
    assert abs(held.value_minor - minor(closing)) <= (4 if method == "moving average" else 0)


def test_fifo_splits_a_layer() -> None:
    # Solutioninn, perpetual FIFO: 4,000 at 40, 2,300 sold, 4,400 at 45, 4,900 sold, 1,900 at 48
    # (data from the page, answers by hand: 1,700 * 40 + 3,200 * 45 = 212,000).
    costs, held = valued(
        [bought(4000, "40"), went(2300), bought(4400, "45"), went(4900), bought(1900, "48")],
        "fifo")
    assert costs == (minor(92_000), minor(212_000))
    assert (held.quantity, held.value_minor) == (D(3100), minor(145_200))


STOCKEN = [bought(100, "46"), bought(650, "42"), bought(550, "38"), bought(200, "36")]


def test_periodic_methods_on_one_exercise() -> None:
    # Tutorsglobe, "Stocken": 350 are left of 1,500 (data from the page, answers by hand).
    assert valued([*STOCKEN, went(1150)], "fifo")[0] == (minor(47_100),)
    assert valued([*STOCKEN, went(1150)], "fifo")[1].value_minor == minor(12_900)
    assert valued([*STOCKEN, went(1150)], "lifo")[1].value_minor == minor(15_100)
    assert periodic_average(STOCKEN, D(350)) == (minor(46_000), minor(14_000))


def test_moving_average_through_a_swing_of_price() -> None:
    # A forum exercise in whole numbers (data from the page, answers by hand).
    costs, held = valued(
        [bought(100, "39"), bought(100, "41"), bought(200, "50"), went(250),
         bought(400, "51.875"), went(350), went(100)], "moving average")
    assert costs == (minor(11_250), minor(17_500), minor(5_000))
    assert (held.quantity, held.value_minor) == (D(100), minor(5_000))
    _, by_fifo = valued(
        [bought(100, "39"), bought(100, "41"), bought(200, "50"), went(250),
         bought(400, "51.875"), went(350), went(100)], "fifo")
    assert by_fifo.value_minor == minor("5187.50")


MOVES = st.lists(st.one_of(
    st.builds(Receipt, st.decimals("0.001", "5000", places=3), st.integers(0, 10**9)),
    st.builds(Issue, st.decimals("0.001", "5000", places=3))), max_size=40)


@pytest.mark.parametrize("method", METHODS)
@given(moves=MOVES)
def test_value_in_is_value_out_and_value_held_to_the_penny(
    method: Method, moves: list[Receipt | Issue],
) -> None:
    lawful: list[Receipt | Issue] = []
    free = D(0)
    for move in moves:
        if isinstance(move, Receipt):
            free += move.quantity
        elif move.quantity <= free:
            free -= move.quantity
        else:
            with pytest.raises(NotHeld):
                valued([*lawful, move], method)
            continue
        lawful.append(move)
    costs, held = valued(lawful, method)
    assert held.quantity == free
    assert all(cost >= 0 for cost in costs)
    assert sum(m.value_minor for m in lawful if isinstance(m, Receipt)) == (
        sum(costs) + held.value_minor)
    if free == 0:
        assert held.value_minor == 0


def test_nothing_and_less_than_nothing_are_no_movements() -> None:
    for wrong in (Receipt(D(0), 1), Receipt(D(1), -1), Issue(D(0))):
        with pytest.raises(ValueError, match="above zero"):
            valued([Receipt(D(5), 10), wrong], "fifo")
    with pytest.raises(NotHeld, match="6 cannot be left of 5"):
        periodic_average([Receipt(D(5), 10)], D(6))
    assert periodic_average([], D(0)) == (0, 0)
