"""What comes of an order: parts, damage, prices; nothing lost, values exact."""

from __future__ import annotations

from datetime import date
from decimal import Decimal as D
from fractions import Fraction as F

from hypothesis import given
from hypothesis import strategies as st

from catalogue.money import round_half_up
from estimator.buying.receiving import Came, Delivery, Placed, too_much, value_of, variance
from tests.factories import OrderLineFactory, PurchaseOrderFactory

ON = date(2026, 11, 9)


def placed(*came: Came, cancelled: str | None = None, **line: object) -> Placed:
    order = PurchaseOrderFactory(lines=(OrderLineFactory(**line),))
    return Placed(order, tuple(Delivery(ON, "", (each,)) for each in came), cancelled)


def test_an_order_stands_as_what_came_of_it() -> None:
    line = OrderLineFactory(quantity=D(10))
    one, rest = Came(1, D(4), D(0), 1_000), Came(1, D(5), D(1), 1_000)
    stands = [placed(quantity=D(10)), placed(one, quantity=D(10)),
              placed(one, rest, quantity=D(10)), placed(one, cancelled="", quantity=D(10))]
    assert [each.state for each in stands] == [
        "placed", "part received", "received", "cancelled"]
    assert [each.open(line) for each in stands] == [10, 6, 0, 0]
    assert [each.rest(line) for each in stands] == [10, 6, 0, 6]


def test_damaged_goods_have_come_and_are_paid() -> None:
    # By hand: 10 at 10.00; 3 good and 1 damaged, charged at 10.50: 31.50 and 10.50.
    line = OrderLineFactory(quantity=D(10))
    came = Came(1, D(3), D(1), 1_050)
    assert value_of(line, (), came) == (3_150, 1_050)
    assert placed(came, quantity=D(10)).open(line) == 6


def test_parts_of_a_line_add_up_to_its_own_rounded_sum() -> None:
    # By hand: 3 at 1.00 for 3 are 1.00; each alone is 0.33 1/3: 0.33, 0.34, 0.33.
    line = OrderLineFactory(quantity=D(3), per=D(3), price_minor=100)
    one = Came(1, D(1), D(0), 100)
    assert [value_of(line, (one,) * before, one) for before in range(3)] == [
        (33, 0), (34, 0), (33, 0)]


def test_cut_charges_come_with_the_goods_that_they_are_for() -> None:
    # By hand: 20 m at 1.00 and 3.00 for cutting are 23.00; half of it comes first.
    line = OrderLineFactory(unit="m", quantity=D(20), price_minor=100, cut_charge_minor=300)
    half = Came(1, D(10), D(0), 100)
    assert value_of(line, (), half) == (1_150, 0)
    assert value_of(line, (half,), half) == (1_150, 0)
    assert variance(line, half) == 0


def test_more_than_is_open_is_named_with_both_figures() -> None:
    stands = placed(Came(1, D(4), D(0), 1_000), quantity=D(10))
    assert list(too_much(stands, [Came(1, D(6), D(0), 1_000)])) == []
    assert list(too_much(stands, [Came(1, D(6), D(1), 1_000)])) == [
        (stands.order.lines[0], D(7), D(6))]


quantities = st.decimals("0.001", "50", places=3)
prices = st.integers(0, 99_999)


@given(
    st.lists(st.tuples(quantities, st.decimals("0", "9", places=3), prices), max_size=6),
    quantities, prices, st.sampled_from([D(1), D(10), D(100), D("0.5")]), st.integers(0, 999),
)
def test_whatever_comes_nothing_is_lost_and_values_are_exact(
    parts: list[tuple[D, D, int]], rest: D, price: int, per: D, cut: int
) -> None:
    came = [Came(1, good, damaged, paid) for good, damaged, paid in parts]
    whole = sum((each.quantity for each in came), D(0)) + rest
    line = OrderLineFactory(
        unit="m", quantity=whole, pack=whole, per=per, price_minor=price, cut_charge_minor=cut)
    stands = Placed(PurchaseOrderFactory(lines=(line,)),
                    tuple(Delivery(ON, "", (each,)) for each in came))
    assert sum((each.quantity for each in came), D(0)) + stands.open(line) == whole
    values = [value_of(line, came[:at], each) for at, each in enumerate(came)]
    assert all(good >= 0 and damaged >= 0 for good, damaged in values)
    paid = sum((F(each.price_minor) * F(each.quantity) / F(per) for each in came), F(0))
    share = F(cut) * F(whole - rest) / F(whole)
    assert sum(good + damaged for good, damaged in values) == round_half_up(paid + share)
    # what was paid is what was ordered and the variance, to the last fraction
    at_order = sum((F(price) * F(each.quantity) / F(per) for each in came), F(0))
    assert paid == at_order + stands.variance_minor
