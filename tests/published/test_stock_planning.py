"""Planning of orders against published exercises: explosion, order quantity, reorder point."""

from __future__ import annotations

from decimal import Decimal as D
from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.stock.planning import (
    Circle,
    OrderCosts,
    Planned,
    Stocked,
    Want,
    economic_packs,
    economic_quantity,
    plan,
    reorder_point,
)


def parts(**each: int) -> dict[str, D]:
    return {name: D(quantity) for name, quantity in each.items()}


PRODUCT = {
    "Z": Stocked(lead=2, parts=parts(A=2, B=3)), "A": Stocked(lead=1, parts=parts(C=4, D=4)),
    "B": Stocked(lead=1), "C": Stocked(lead=1), "D": Stocked(lead=1, parts=parts(E=2)),
    "E": Stocked(lead=3),
}


def test_the_explosion_of_a_product_of_three_levels() -> None:
    # Tutorsglobe, material requirements planning: Z = 2 A + 3 B, A = 4 C + 4 D, D = 2 E; 59 Z due
    # in period 10, no stock (data from the page, answers by hand).
    orders = {o.item: (o.quantity, o.due, o.release) for o in plan([Want("Z", 10, D(59))], PRODUCT)}
    assert orders == {
        "Z": (D(59), 10, 8), "A": (D(118), 8, 7), "B": (D(177), 8, 7), "C": (D(472), 7, 6),
        "D": (D(472), 7, 6), "E": (D(944), 6, 3),
    }


def test_stock_and_deliveries_are_taken_off_before_parts_are_asked_for() -> None:
    # By hand: 59 Z less 9 on hand less 10 that come at 9 leaves 40; 80 A less 100 leaves none.
    stocked = PRODUCT | {
        "Z": Stocked(lead=2, on_hand=D(9), coming={9: D(10)}, parts=parts(A=2, B=3)),
        "A": Stocked(lead=1, on_hand=D(100), parts=parts(C=4, D=4)),
    }
    assert plan([Want("Z", 10, D(59))], stocked) == (
        Planned("B", 7, 8, D(120)), Planned("Z", 8, 10, D(40)))


def test_what_comes_too_late_serves_only_what_is_wanted_later() -> None:
    about = {"cable": Stocked(lead=3, coming={6: D(100)})}
    wants = [Want("cable", 4, D(30)), Want("cable", 8, D(80))]
    assert plan(wants, about) == (Planned("cable", 1, 4, D(30)),)


def test_lots_are_whole_and_what_is_left_serves_the_next() -> None:
    about = {"clip": Stocked(lead=1, lot=D(100))}
    wants = [Want("clip", 3, D(250)), Want("clip", 4, D(40)), Want("clip", 5, D(20))]
    assert plan(wants, about) == (
        Planned("clip", 2, 3, D(300)), Planned("clip", 4, 5, D(100)))


def test_an_item_made_of_itself_is_refused() -> None:
    with pytest.raises(Circle, match="is a part of itself"):
        plan([Want("a", 1, D(1))],
             {"a": Stocked(parts=parts(b=1)), "b": Stocked(parts=parts(a=1))})


@given(st.lists(st.tuples(st.integers(0, 20), st.integers(1, 50)), max_size=12),
       st.integers(0, 60), st.integers(0, 20), st.integers(0, 60),
       st.none() | st.integers(1, 40))
def test_no_period_runs_short_and_without_lots_nothing_is_bought_in_vain(
    wanted: list[tuple[int, int]], on_hand: int, comes_at: int, comes: int, lot: int | None,
) -> None:
    about = Stocked(on_hand=D(on_hand), coming={comes_at: D(comes)},
                    lot=None if lot is None else D(lot))
    orders = plan([Want("x", period, D(n)) for period, n in wanted], {"x": about})
    for period in range(22):
        there = (D(on_hand) + (D(comes) if comes_at <= period else 0)
                 + sum(o.quantity for o in orders if o.due <= period))
        assert there >= sum(n for at, n in wanted if at <= period)
    for order in orders:
        gone = sum(n for at, n in wanted if at <= order.due)
        before = (D(on_hand) + (D(comes) if comes_at <= order.due else 0)
                  + sum(o.quantity for o in orders if o.due <= order.due))
        assert before - gone < (1 if lot is None else lot)


def test_the_economic_quantity_of_the_question_and_answer_page() -> None:
    # 5,000 a year, 30 an order, 50 to hold one: 77.46, and by 77 1,948.05 + 1,925 = 3,873.05.
    # 20 a day for 10 days: reorder at 200. (Page from a search; holding cost solved back.)
    costs = OrderCosts(F(5000), F(30), F(50))
    assert economic_quantity(costs) == pytest.approx(77.46, abs=0.005)
    assert economic_packs(costs, D(1)) == 77
    assert abs(costs.of_orders(F(77)) - F("1948.05")) < F("0.005")
    assert costs.of_holding(F(77)) == 1925
    assert reorder_point(F(20), F(10)) == 200


def test_the_economic_quantity_of_the_valve_problem() -> None:
    # A textbook problem: 20,000 a year, 100 an order, 5 % of 90 to hold one, 4 days of 250 lead
    # (data from the page, answers by hand).
    costs = OrderCosts(F(20_000), F(100), F(90) * F(5, 100))
    assert economic_quantity(costs) == pytest.approx(942.8, abs=0.05)
    assert 20_000 / economic_quantity(costs) == pytest.approx(21.2, abs=0.05)
    assert reorder_point(F(20_000, 250), F(4)) == 320


def test_a_safety_stock_raises_the_reorder_point() -> None:
    # Expertsmind: 2 a day for 12 days and 1.64 standard deviations of 20: 56.8.
    assert reorder_point(F(2), F(12), F(164, 100) * 20) == F(568, 10)


def test_packs_are_whole_and_the_better_neighbour_is_taken() -> None:
    # By hand: Q = 77.46 in packs of 50: one costs 3000 + 1250 = 4250, two 1500 + 2500 = 4000.
    assert economic_packs(OrderCosts(F(5000), F(30), F(50)), D(50)) == 2
    with pytest.raises(ValueError, match="above zero"):
        economic_quantity(OrderCosts(F(0), F(30), F(50)))
