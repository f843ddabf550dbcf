"""The cost sheet adds up, and every amount is rounded once."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.money import Money, total
from estimator.cost import (
    BillHeads,
    HeadAmount,
    contingency,
    cost_sheet,
    heads_from_bill,
    p80_reserve,
    unpriced,
    warranty_provision,
)
from estimator.labour.hours import Hours, hours_of
from estimator.rules.results import Risk
from estimator.settings import Firm, Labour, Pricing, Settings
from tests.money.factories import (
    ItemFactory,
    RiskFactory,
    bill_with,
    firm,
    hours_worked,
    tasks_of,
)

NOTHING = BillHeads((), Money(0), ())


def test_the_money_of_a_bill_is_summed_by_head_in_the_order_of_the_bill() -> None:
    bill = bill_with([
        (ItemFactory(code="1", head="scaffold"), "1", "450"),
        (ItemFactory(code="2", head="cable", waste=Decimal("0.05")), "10", "1.00"),
        (ItemFactory(code="3", head="storage"), "2", "1450"),
        (ItemFactory(code="4", head="cable"), "1", "20"),
        (ItemFactory(code="5", head="paperwork"), "1", "30"),
    ])
    heads = heads_from_bill(bill)
    assert heads.materials == (
        HeadAmount("storage", Money.of(2900)), HeadAmount("cable", Money.of(30)))
    assert heads.waste == Money.of("0.50")  # 5 % of 10 m at 1.00, by hand
    assert heads.bought_in == (
        HeadAmount("scaffold", Money.of(450)), HeadAmount("paperwork", Money.of(30)))


def test_an_empty_bill_costs_nothing_in_its_currency() -> None:
    assert heads_from_bill(bill_with([]), "EUR") == BillHeads((), Money(0, "EUR"), ())


def test_a_line_nobody_offers_is_told_and_not_taken_for_free() -> None:
    bill = bill_with([(ItemFactory(code="1"), "2", "5"), (ItemFactory(code="2"), "1", "7")])
    first, second = bill.lines
    without_offer = replace(bill, lines=(first, replace(second, offer=None)))
    assert unpriced(bill) == ()
    assert [line.item.code for line in unpriced(without_offer)] == [second.item.code]


def test_an_option_is_priced_apart() -> None:
    bill = bill_with([(ItemFactory(code="1"), "2", "5")])
    option = replace(bill, lines=(replace(bill.lines[0], option=True, waste_cost=Money(9)),))
    assert heads_from_bill(option) == NOTHING


def test_open_risks_are_summed_before_they_are_rounded() -> None:
    # By hand: three times 0.25 x 0.50 = 12.5p are 37.5p, rounded to 38p; rounded each, 39p.
    risks = [RiskFactory(chance=Decimal("0.25"), cost=Money(50)) for _ in range(3)]
    assert contingency(risks) == Money(38)


def test_closing_a_question_removes_its_risk_and_nothing_else() -> None:
    risks = [RiskFactory(id="a", cost=Money.of(140)), RiskFactory(id="b", cost=Money.of(80))]
    both = cost_sheet(NOTHING, hours_worked(1), risks, firm())
    one = cost_sheet(NOTHING, hours_worked(1), risks[:1], firm())
    assert both.total - one.total == Money.of(20)  # 0.25 x 80


def test_the_warranty_is_the_return_rate_times_the_mean_visit() -> None:
    # Worked example, invented figures: 8 % of 190.
    assert warranty_provision(Pricing()) == Money.of("15.20")


def test_the_p80_reserve_is_shown_and_not_priced() -> None:
    tasks = tasks_of([("60", "120", "600")])
    labour = Labour()
    hours = hours_of(tasks, labour)
    sheet = cost_sheet(NOTHING, hours, (), firm())
    # By hand: mean (60 + 480 + 600) / 6 = 190 min = 3.1667 h; sd 1.5 h, with the job factor
    # root(2.25 + 0.1444) = 1.5474 h; 0.8416 x 1.5474 x 43.98 = 57.27.
    assert sheet.p80_reserve == p80_reserve(hours, labour)
    assert abs(sheet.p80_reserve.minor - 5727) <= 1
    assert sheet.direct == sheet.labour + sheet.warranty


def test_labour_by_group_adds_up_where_each_group_alone_would_not() -> None:
    # By hand: 1 h at 1.00 by thirds of an hour: 34p, 33p, 33p.
    third = Fraction(1, 3)
    hours = hours_worked(1, {"roof": third, "electrical": third, "site": third})
    sheet = cost_sheet(NOTHING, hours, (), firm("1", "0", return_visit_rate="0"))
    assert [(head.head, head.amount.minor) for head in sheet.heads] == [
        ("labour, roof", 34), ("labour, electrical", 33), ("labour, site", 33)]


def test_overhead_is_recovered_on_hours_and_not_on_materials() -> None:
    dear = BillHeads((HeadAmount("storage", Money.of(9000)),), Money(0), ())
    assert (
        cost_sheet(dear, hours_worked(10), (), firm()).overhead
        == cost_sheet(NOTHING, hours_worked(10), (), firm()).overhead
        == Money.of("238.50")
    )


def test_two_currencies_in_one_cost_are_refused() -> None:
    euro = Settings(firm=Firm(currency="EUR"))
    with pytest.raises(ValueError, match="do not mix"):
        cost_sheet(NOTHING, hours_worked(1), (), euro)
    with pytest.raises(ValueError, match="risk 'open-question' is in GBP, not in EUR"):
        contingency([RiskFactory()], "EUR")


amounts = st.lists(st.integers(0, 10**7), max_size=6)


@st.composite
def risks(draw: st.DrawFn) -> Risk:
    chance = draw(st.decimals(0, 1, places=3))
    return RiskFactory(chance=chance, cost=Money(draw(st.integers(0, 10**6))))


@st.composite
def hours(draw: st.DrawFn) -> Hours:
    groups = draw(st.dictionaries(
        st.sampled_from(["roof", "electrical", "storage", "site", "office"]),
        st.fractions(0, 100, max_denominator=360), max_size=5))
    return hours_worked(sum(groups.values(), Fraction(0)), groups)


@given(amounts, st.integers(0, 10**5), amounts, hours(), st.lists(risks(), max_size=5))
def test_the_heads_add_up_to_the_direct_cost_and_d_plus_overhead_to_c(
    materials: list[int], waste: int, bought_in: list[int], worked: Hours, open_risks: list[Risk]
) -> None:
    heads = BillHeads(
        tuple(HeadAmount(f"m{i}", Money(each)) for i, each in enumerate(materials)), Money(waste),
        tuple(HeadAmount(f"b{i}", Money(each)) for i, each in enumerate(bought_in)))
    sheet = cost_sheet(heads, worked, open_risks, firm())
    assert total([head.amount for head in sheet.heads]) == sheet.direct
    assert sheet.direct + sheet.overhead == sheet.total
    assert all(head.amount.minor >= 0 for head in sheet.heads)
    labour = [head.amount for head in sheet.heads if head.head.startswith("labour, ")]
    assert total(labour) == sheet.labour
