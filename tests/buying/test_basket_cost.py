"""What a basket costs, each case reckoned by hand in pence."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.money import Money
from estimator.buying.basket import allowed, split_basket
from estimator.buying.basket_cost import Extras, extras_of, plan_of
from estimator.buying.basket_values import (
    NO_CLASSES,
    Charge,
    Choice,
    Terms,
    Wanted,
    line_of,
    terms_of,
)
from tests.factories import CarriageFactory

ON = date(2026, 11, 2)
ANY_DAY = Wanted(ON)
LONG = frozenset({"long"})
ALL = Fraction(1)
# 9.50 for an order, free from 150.00; 18.00 more for long goods, free from 400.00; least 25.00
COUNTER = Terms(Charge(950, 15_000), {"long": Charge(1_800, 40_000)}, 2_500)


@pytest.mark.parametrize(("goods", "classes", "share", "extras"), [
    # under the least order: 5.00 more are bought and lost, and the order is charged
    (2_000, NO_CLASSES, ALL, Extras(950, 500, 500)),
    # of which a fifth is lost
    (2_000, NO_CLASSES, Fraction(1, 5), Extras(950, 500, 100)),
    # a tenth of 0.05 is half a penny, raised to one
    (2_495, NO_CLASSES, Fraction(1, 10), Extras(950, 5, 1)),
    (10_000, NO_CLASSES, ALL, Extras(950, 0, 0)),
    (15_000, NO_CLASSES, ALL, Extras(0, 0, 0)),
    # 9.49 more reach free carriage for a penny less than the carriage; 9.50 would not pay
    (14_051, NO_CLASSES, ALL, Extras(0, 949, 949)),
    (14_050, NO_CLASSES, ALL, Extras(950, 0, 0)),
    # where a fifth counts, 47.00 more cost 9.40
    (10_300, NO_CLASSES, Fraction(1, 5), Extras(0, 4_700, 940)),
    # both charges; then the long goods alone; then nothing
    (10_000, LONG, ALL, Extras(2_750, 0, 0)),
    (20_000, LONG, ALL, Extras(1_800, 0, 0)),
    (40_000, LONG, ALL, Extras(0, 0, 0)),
    # a class that the supplier does not charge for
    (20_000, frozenset({"pallet"}), ALL, Extras(0, 0, 0)),
])
def test_the_extras_of_an_order(
    goods: int, classes: frozenset[str], share: Fraction, extras: Extras
) -> None:
    assert extras_of(COUNTER, goods, classes, share) == extras


def test_carriage_rows_become_terms() -> None:
    rows = [
        CarriageFactory(free_from=Money(15_000), least_order=Money(2_500)),
        CarriageFactory(carriage_class="long", charge=Money(1_800), free_from=Money(40_000)),
    ]
    assert terms_of(rows) == COUNTER
    assert terms_of([]) == Terms()


amounts = st.integers(0, 60_000)
charges = st.builds(Charge, st.integers(0, 3_000), st.none() | amounts)
any_terms = st.builds(
    Terms, charges, st.dictionaries(st.sampled_from(["long", "pallet"]), charges), amounts)
shares = st.sampled_from([Fraction(0), Fraction(1, 7), Fraction(1, 2), Fraction(1)])
BOTH = frozenset({"long", "pallet"})


@given(any_terms, amounts, st.integers(0, 5_000), shares)
def test_more_goods_never_raise_the_extras_and_never_lower_the_cost(
    terms: Terms, goods: int, more: int, share: Fraction
) -> None:
    for classes in (NO_CLASSES, LONG, BOTH):
        before = extras_of(terms, goods, classes, share).cost_minor
        after = extras_of(terms, goods + more, classes, share).cost_minor
        assert after <= before <= after + more


@given(any_terms, amounts, shares)
def test_a_class_more_never_lowers_the_extras(terms: Terms, goods: int, share: Fraction) -> None:
    costs = [extras_of(terms, goods, classes, share).cost_minor
             for classes in (NO_CLASSES, LONG, BOTH)]
    assert costs == sorted(costs)


def test_the_job_waits_once_for_its_last_goods() -> None:
    lines = [
        line_of("1", "rail", Decimal(9), [Choice("Ash", 5_000, lead_days=5)]),
        line_of("2", "panel", Decimal(12), [Choice("Beech", 60_000, lead_days=7)]),
        line_of("3", "clamp", Decimal(28), [Choice("Ash", 900, lead_days=1)]),
    ]
    wanted = Wanted(ON, date(2026, 11, 5), late_per_day_minor=10_000)
    plan = plan_of(lines, [0, 0, 0], {}, wanted)
    # needed after 3 days; Ash is there after 5, Beech after 7: the job waits 4 days, not 6
    assert [(each.supplier, each.days_late) for each in plan.orders] == [("Ash", 2), ("Beech", 4)]
    assert (plan.lateness_minor, plan.total_minor) == (40_000, 105_900)


def test_dearer_goods_in_time_are_taken_where_waiting_costs_more() -> None:
    line = line_of("1", "converter", Decimal(1), [
        Choice("Slow", 90_000, lead_days=8), Choice("Quick", 96_000, lead_days=2)])
    wanted = Wanted(ON, date(2026, 11, 6), late_per_day_minor=1_500)  # four days late: 60.00
    assert split_basket([line], {}, wanted).plan.suppliers == ("Quick",)  # equal: name decides
    cheaper = replace(wanted, late_per_day_minor=1_499)
    assert split_basket([line], {}, cheaper).plan.suppliers == ("Slow",)


def test_a_hard_date_a_lock_and_a_left_out_supplier_take_choices_away() -> None:
    line = line_of("1", "converter", Decimal(1), [
        Choice("Slow", 90_000, lead_days=8), Choice("Quick", 96_000, lead_days=2)])
    hard = Wanted(ON, date(2026, 11, 6))
    slow, quick = line.choices
    assert allowed(line, ANY_DAY) == line
    in_time = allowed(line, hard)
    assert in_time is not None
    assert in_time.choices == (quick,)
    locked = allowed(line, ANY_DAY, locked="Slow")
    assert locked is not None
    assert locked.choices == (slow,)
    assert allowed(line, hard, locked="Slow") is None
    assert allowed(line, ANY_DAY, locked="Quick", left_out=("Quick",)) is None


def test_a_penny_dearer_goods_from_one_van_save_a_second_carriage() -> None:
    # By hand: cheapest line by line is 100.00 + 20.00 and two vans, 139.00; all from Ash is
    # 100.00 + 23.00 and one van, 132.50; all from Beech 108.00 + 20.00 and one van, 137.50.
    lines = [
        line_of("1", "board", Decimal(1), [Choice("Ash", 10_000), Choice("Beech", 10_800)]),
        line_of("2", "isolator", Decimal(2), [Choice("Ash", 2_300), Choice("Beech", 2_000)]),
    ]
    split = split_basket(lines, dict.fromkeys(("Ash", "Beech"), Terms(Charge(950))), ANY_DAY)
    assert (split.plan.suppliers, split.plan.total_minor) == (("Ash",), 13_250)
    assert split.greedy.total_minor == 13_900
    assert split.saved_on_greedy_minor == 650
    assert [(each.supplier, each.plan and each.plan.total_minor) for each in split.singles] == [
        ("Ash", 13_250), ("Beech", 13_750)]
    assert split.saved_on_single_minor == 0
    assert (split.how, split.gap_minor) == ("searched", 0)


def test_goods_beyond_the_need_are_bought_where_they_cost_less_than_carriage() -> None:
    # 145.00 of goods and 9.50 carriage, or 150.00 of goods and none
    line = line_of("1", "cable", Decimal(100), [Choice("Ash", 14_500)])
    order, = split_basket([line], {"Ash": COUNTER}, ANY_DAY).plan.orders
    assert (order.extras, order.cost_minor) == (Extras(0, 500, 500), 15_000)


def test_where_nobody_sells_everything_the_missing_lines_are_named() -> None:
    lines = [
        line_of("1", "board", Decimal(1), [Choice("Ash", 10_000)]),
        line_of("2", "panel", Decimal(8), [Choice("Beech", 45_000), Choice("Cedar", 44_000)]),
        line_of("3", "hook", Decimal(8), [Choice("Beech", 9_000)]),
    ]
    split = split_basket(lines, {}, ANY_DAY)
    assert split.single is None
    assert split.saved_on_single_minor is None
    assert [(each.supplier, each.missing) for each in split.singles] == [
        ("Beech", ("1",)), ("Ash", ("2", "3")), ("Cedar", ("1", "3"))]


def test_one_supplier_alone_is_taken_at_the_best_of_its_ways() -> None:
    # by hand: slow goods 40.00 and two days at 5.00, or quick goods 45.00 and none
    line = line_of("1", "hook", Decimal(8), [
        Choice("Ash", 4_000, lead_days=6), Choice("Ash", 4_500, lead_days=4)])
    wanted = Wanted(ON, date(2026, 11, 6), late_per_day_minor=500)
    single = split_basket([line], {}, wanted).single
    assert single is not None
    assert single.plan is not None
    assert (single.plan.total_minor, single.plan.days_late) == (4_500, 0)


def test_nothing_to_buy_costs_nothing() -> None:
    split = split_basket([], {}, ANY_DAY)
    assert (split.plan.total_minor, split.plan.orders, split.how) == (0, (), "forced")


@pytest.mark.parametrize("choices", [
    [], [Choice("Ash", -1)], [Choice("Ash", 1, lead_days=-1)]])
def test_a_line_needs_choices_that_can_be(choices: list[Choice]) -> None:
    with pytest.raises(ValueError, match="line 1"):
        line_of("1", "hook", Decimal(1), choices)


def test_two_lines_of_one_key_are_refused() -> None:
    line = line_of("1", "hook", Decimal(1), [Choice("Ash", 1)])
    with pytest.raises(ValueError, match="one key"):
        split_basket([line, line], {}, ANY_DAY)


@pytest.mark.parametrize("share", [Decimal("-0.1"), Decimal("1.1")])
def test_a_share_of_the_surplus_lies_between_none_and_all(share: Decimal) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        Wanted(ON, surplus_share=share)
