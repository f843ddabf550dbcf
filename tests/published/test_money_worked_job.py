"""The worked storage job from its tasks to its price.

Worked example, invented figures: every expected value here was worked out by hand with the
example, before the program.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from catalogue.money import Money, total
from estimator.cost import CostSheet, cost_sheet, heads_from_bill
from estimator.labour.hours import hours_of
from estimator.practice.pack import country_folder, read_practice
from estimator.price import Discount, Price, net_margin, price_of
from estimator.settings import Settings
from estimator.vat import VatCase, VatDecision, class_weights, decide_vat
from tests.money.worked_job import worked_bill, worked_risks, worked_tasks

SETTINGS = Settings()


def the_cost(dearer_storage: str = "1") -> CostSheet:
    hours = hours_of(worked_tasks(), SETTINGS.labour)
    return cost_sheet(heads_from_bill(worked_bill(dearer_storage)), hours, worked_risks(), SETTINGS)


def the_vat() -> VatDecision:
    case = VatCase(date(2026, 11, 2), home_or_charity=True, panels=False, storage=True)
    return decide_vat(case, class_weights(worked_bill()), read_practice([country_folder("gb")]))


def the_price(discount: Discount | None = None) -> Price:
    return price_of(the_cost(), SETTINGS.pricing, the_vat(), discount)


def test_travel_is_160_person_minutes_and_140_to_220() -> None:
    travel = next(task for task in worked_tasks() if task.task == "travel")
    assert (travel.low, travel.likely, travel.high) == (140, 160, 220)


def test_the_hours_are_22_91_on_average_and_21_25_by_the_likely_points() -> None:
    hours = hours_of(worked_tasks(), SETTINGS.labour)
    assert round(hours.mean, 2) == Fraction("22.91")
    assert hours.likely == Fraction("21.25")


def test_four_jobs_in_five_take_no_more_than_25_34_hours() -> None:
    assert hours_of(worked_tasks(), SETTINGS.labour).p80 == pytest.approx(25.34, abs=0.005)


def test_without_the_job_factor_the_example_would_promise_23_7_hours() -> None:
    cosy = SETTINGS.labour.model_copy(update={"job_factor_cv": Decimal(0)})
    assert hours_of(worked_tasks(), cosy).p80 == pytest.approx(23.7, abs=0.05)


@pytest.mark.parametrize(
    ("part", "amount"),
    [
        ("materials", "5836.00"), ("waste", "5.37"), ("labour", "1007.51"),
        ("bought_in", "136.00"),  # plant 25, preliminaries 66, fees 45
        ("contingency", "87.00"), ("warranty", "15.20"), ("direct", "7087.08"),
        ("overhead", "546.36"), ("total", "7633.44"),
    ],
)
def test_the_cost_builds_up_as_in_the_example(part: str, amount: str) -> None:
    assert getattr(the_cost(), part) == Money.of(amount)


def test_the_cost_heads_add_up_to_the_direct_cost() -> None:
    cost = the_cost()
    assert total([head.amount for head in cost.heads]) == Money.of("7087.08")


def test_cable_and_leads_stand_under_one_head() -> None:
    heads = {head.head: head.amount for head in the_cost().heads}
    assert heads["cable"] == Money.of("149.00")  # 64 + 85


def test_the_price_is_8985_at_15_0_percent_net_and_21_1_percent_contribution() -> None:
    price = the_price()  # 7,633.44 / 0.85 = 8,980.52, raised to 5
    assert price.net == Money.of("8985")
    assert round(price.margin * 100, 1) == Fraction("15.0")
    assert round(price.contribution * 100, 1) == Fraction("21.1")
    assert price.signed_by == "estimator"


def test_before_the_price_step_the_price_is_8980_52() -> None:
    pricing = SETTINGS.pricing.model_copy(update={"price_step": Decimal("0.01")})
    assert price_of(the_cost(), pricing, the_vat()).net == Money.of("8980.52")


def test_storage_in_a_home_carries_no_tax_in_2026() -> None:
    price = the_price()
    assert [(line.rate, line.vat) for line in price.vat] == [(Decimal(0), Money(0))]
    assert price.gross == Money.of("8985")


def test_five_percent_off_leaves_10_6_percent_net() -> None:
    price = the_price(Discount(Money.of("8985").times(Decimal("0.05")), "two jobs", "B. Owner"))
    assert round(price.margin * 100, 1) == Fraction("10.6")


def test_storage_modules_9_percent_dearer_add_391_50_and_leave_10_7_percent_net() -> None:
    dearer = the_cost("1.09")
    assert dearer.total - the_cost().total == Money.of("391.50")
    assert round(net_margin(the_price().net, dearer.total) * 100, 1) == Fraction("10.7")
