"""Costs, prices, margins and taxes against published worked examples."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from catalogue.money import Money, total
from estimator.bill import Bill
from estimator.cost import (
    BillHeads,
    CostSheet,
    HeadAmount,
    by_the_hour,
    cost_sheet,
    heads_from_bill,
)
from estimator.practice.pack import Practice, country_folder, read_practice
from estimator.price import (
    Discount,
    deposit,
    list_price,
    margin_from_markup,
    markup_from_margin,
    price_of,
    sales_needed_after_discount,
)
from estimator.vat import VatCase, VatDecision, VatPart, decide_vat, vat_split, vat_within
from tests.money.factories import ItemFactory, bill_with, firm, hours_worked

NO_TAX = VatDecision((), "")


def money(major: str) -> Money:
    return Money.of(major)


def materials(amount: str) -> BillHeads:
    return BillHeads((HeadAmount("cable", money(amount)),), money("0"), ())


def gb() -> Practice:
    return read_practice([country_folder("gb")])


# --- margin and markup -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("margin", "markup_percent"),
    [
        # Margin and markup tables as printed in trade guides, one decimal place.
        ("0.10", "11.1"), ("0.15", "17.6"), ("0.20", "25.0"), ("0.25", "33.3"),
        ("0.30", "42.9"), ("0.35", "53.8"), ("0.40", "66.7"), ("0.50", "100.0"),
        ("0.60", "150.0"), ("0.75", "300.0"),
    ],
)
def test_a_margin_gives_the_markup_of_the_printed_table(margin: str, markup_percent: str) -> None:
    markup = markup_from_margin(Decimal(margin))
    assert round(markup * 100, 1) == Fraction(markup_percent)
    assert margin_from_markup(markup) == Fraction(margin)


def test_a_third_of_the_price_is_half_of_the_cost() -> None:
    # Same tables: 33.3 % margin is 50 % markup; one third exactly, by hand.
    assert markup_from_margin(Fraction(1, 3)) == Fraction(1, 2)


def test_a_markup_of_35_percent_is_a_margin_of_25_926_percent() -> None:
    # Same tables print 25.9 %; 35/135 = 25.926 % by hand.
    assert round(margin_from_markup(Decimal("0.35")) * 100, 3) == Fraction("25.926")


# --- published job prices --------------------------------------------------------------------


def exam_job(overhead_per_hour: str) -> CostSheet:
    """80 kg at 5, 40 hours at 6."""
    settings = firm("6", overhead_per_hour, return_visit_rate="0")
    return cost_sheet(materials("400"), hours_worked(40), (), settings)


def test_the_job_of_the_accountancy_exam_is_quoted_at_1051_43() -> None:
    # ACCA F2 (FMA) study group, "A business operates a job costing system...": 400 + 240 + 96 =
    # 736, where overhead is 120,000 / 50,000 = 2.40 an hour; profit is 30 % of sales.
    cost = exam_job("2.40")
    assert (cost.materials, cost.labour, cost.overhead) == (
        money("400"), money("240"), money("96"))
    assert cost.total == money("736")
    price = price_of(cost, firm(margin="0.30", step="0.01").pricing, NO_TAX)
    assert price.net == money("1051.43")


def test_the_wrong_answers_on_the_same_page_come_from_wrong_costs() -> None:
    # Same page: one reader takes 0.40 an hour for overhead, gets a cost of 656 and a price of
    # 937; another adds up to 796, yet prints 1,052.42. The cost is neither.
    pricing = firm(margin="0.30", step="0.01").pricing
    wrong_rate = exam_job("0.40")
    assert wrong_rate.total == money("656")
    assert money("937") < price_of(wrong_rate, pricing, NO_TAX).net < money("938")
    right = exam_job("2.40")
    assert right.total not in (money("656"), money("796"))
    assert not money("1052") < price_of(right, pricing, NO_TAX).net < money("1053")


def test_job_sheet_21_at_a_markup_of_20_percent_is_5148() -> None:
    # Job costing workbook, example 1: prime 3,000, works overhead 900, office 10 % of 3,900.
    assert list_price(job_sheet_21(), margin_from_markup(Decimal("0.20"))) == money("5148")


def test_job_sheet_21_at_a_margin_of_20_percent_is_5362_50() -> None:
    # Same workbook, example 2.
    assert list_price(job_sheet_21(), Decimal("0.20")) == money("5362.50")


def job_sheet_21() -> Money:
    works = total([money("3000"), money("900")])
    cost = works + works.times(Decimal("0.10"))
    assert cost == money("4290")
    return cost


def trade_build() -> tuple[CostSheet, VatDecision]:
    """3,000 m at 0.25 less 2 %, 15 h at 25, overhead 38 % of labour = 9.50 an hour, VAT 10 %."""
    cable = money("0.25").times(3000).times(Decimal("0.98"))
    heads = BillHeads((HeadAmount("cable", cable),), money("0"), ())
    cost = cost_sheet(heads, hours_worked(15), (), firm("25", "9.50", return_visit_rate="0"))
    return cost, VatDecision((VatPart(Fraction(1), Decimal("0.10"), "as printed"),), "")


def test_the_trade_price_with_tax_builds_up_to_1377_75() -> None:
    # "Job Costing Sample Questions" (slides): 735 + 375 + 142.50 = 1,252.50; tax 125.25.
    cost, vat = trade_build()
    assert (cost.materials, cost.labour, cost.overhead) == (
        money("735"), money("375"), money("142.50"))
    price = price_of(cost, firm(margin="0", step="0.01").pricing, vat)
    assert price.net == money("1252.50")
    assert [line.vat for line in price.vat] == [money("125.25")]
    assert price.gross == money("1377.75")


def test_eighteen_such_jobs_cost_the_customer_24799_50() -> None:
    # Same slides.
    cost, vat = trade_build()
    price = price_of(cost, firm(margin="0", step="0.01").pricing, vat)
    assert price.gross.times(18) == money("24799.50")


def test_a_total_is_split_without_losing_a_penny() -> None:
    # Same slides: 3,645 as 1/3, 5/12, 1/6, 1/12. The slides round the shares first and print
    # 1,213.77 and 1,519.97, which is wrong.
    parts = money("3645").share(
        [Fraction(1, 3), Fraction(5, 12), Fraction(1, 6), Fraction(1, 12)])
    assert parts == (money("1215.00"), money("1518.75"), money("607.50"), money("303.75"))


def test_a_week_with_overtime_pays_1039_75() -> None:
    # Same slides: 39 h at 22, 5 h at 33, allowances 7.75 and 9.
    week = total([
        by_the_hour(39, Decimal(22)), by_the_hour(5, Decimal(33)), money("7.75"), money("9")])
    assert week == money("1039.75")


def test_overhead_recovered_on_more_hours_than_spent_is_over_absorbed() -> None:
    # CIMA / ACCA P1 workbook, exercise 2: 21,000 h at 10 recover 210,000 against 200,000 spent.
    cost = cost_sheet(
        materials("0"), hours_worked(21_000), (), firm("0", "10", return_visit_rate="0"))
    assert cost.overhead - money("200000") == money("10000")


def lamp_point() -> Bill:
    """The materials of lamp point T001, each with 9 % for sundries."""
    rows = (
        ("cable", "25", "23"), ("earth wire", "8", "69"), ("conduit", "10", "37"),
        ("bends", "2", "21"), ("box", "1", "23"), ("switch", "1", "147"), ("box 2", "1", "63"),
        ("block", "1", "36"), ("rose", "1", "126"),
    )
    return bill_with([
        (ItemFactory(code=name, unit="each", waste=Decimal("0.09")), quantity, price)
        for name, quantity, price in rows
    ])


def test_the_lamp_point_of_the_government_schedule_costs_2648_06() -> None:
    # BSR Electrical 2017 (Sri Lanka), item T001: materials 1,934.00, sundries 9 % of materials
    # only 174.06, electrician 0.3 day at 1,050 and labourer 0.3 day at 750. The two of them are
    # 0.6 day at 900; a day stands for the hour here.
    cost = cost_sheet(
        heads_from_bill(lamp_point()), hours_worked(Fraction(6, 10)), (),
        firm("900", "0", return_visit_rate="0"))
    assert cost.materials == money("1934.00")
    assert cost.waste == money("174.06")
    assert cost.labour == money("540")
    assert cost.direct == money("2648.06")


# --- discount, deposit, tax -------------------------------------------------------------------


def test_five_percent_off_at_25_percent_margin_needs_a_quarter_more_sales() -> None:
    # d / (m - d), common practice in trade price guides: 0.05 / 0.20.
    assert sales_needed_after_discount(Decimal("0.05"), Decimal("0.25")) == Fraction(1, 4)


def test_five_percent_off_at_25_percent_margin_takes_a_fifth_of_the_profit() -> None:
    # By hand: 100 sold for 75 earns 25; 95 earns 20.
    cost = cost_sheet(materials("75"), hours_worked(0, {}), (), firm(return_visit_rate="0"))
    pricing = firm(margin="0.25", step="0.01").pricing
    price = price_of(cost, pricing, NO_TAX, Discount(money("5"), "neighbour", "A. Manager"))
    assert price.list_net - cost.total == money("25")
    assert price.net - cost.total == money("20")


def test_the_largest_deposit_on_8000_is_2000() -> None:
    # Consumer code for renewable energy, in fitters' terms: at most 25 % of the price with tax.
    most = gb().number("deposit_most_share", date(2026, 11, 2))
    assert deposit(money("8000"), Decimal("0.50"), most) == money("2000")


def test_deposit_and_advance_on_8000_are_at_most_4800() -> None:
    # Same terms: at most 60 % together.
    most = gb().number("deposit_and_advance_most_share", date(2026, 11, 2))
    assert deposit(money("8000"), 1, most) == money("4800")


def test_an_advance_is_asked_for_no_earlier_than_three_weeks_before_delivery() -> None:
    # Same terms.
    assert gb().number("advance_weeks_before_delivery", date(2026, 11, 2)) == 3


@pytest.mark.parametrize(
    ("gross", "rate", "tax"),
    [("1000", "0.20", "166.67"), ("1050", "0.05", "50.00")],  # 1/6 and 1/21, by hand
)
def test_the_tax_within_a_price_is_its_vat_fraction(gross: str, rate: str, tax: str) -> None:
    assert vat_within(money(gross), Decimal(rate)) == money(tax)


@pytest.mark.parametrize(
    ("on", "rate"),
    [
        # HMRC VENSAV2083: zero rate from 1 April 2022 to 31 March 2027, then 5 %. The heading of
        # the order of 2024 says "before 31st March 2027"; the manual's last day is taken.
        (date(2022, 4, 1), "0"), (date(2026, 11, 2), "0"), (date(2027, 3, 31), "0"),
        (date(2027, 4, 1), "0.05"), (date(2030, 1, 1), "0.05"),
    ],
)
def test_panels_fitted_in_a_home_carry_the_rate_of_their_day(on: date, rate: str) -> None:
    case = VatCase(on, home_or_charity=True, panels=True, storage=False)
    assert rates(case) == [Decimal(rate)]


@pytest.mark.parametrize(
    ("on", "panels", "rate"),
    [
        # SI 2024/24, article 3: storage alone from 1 February 2024; before, only with panels.
        (date(2024, 1, 31), False, "0.20"), (date(2024, 2, 1), False, "0"),
        (date(2024, 1, 31), True, "0"), (date(2027, 4, 1), False, "0.05"),
    ],
)
def test_storage_has_the_relief_alone_from_february_2024(
    on: date, panels: bool, rate: str
) -> None:
    case = VatCase(on, home_or_charity=True, panels=panels, storage=True)
    assert rates(case) == [Decimal(rate)]


def test_goods_sold_without_fitting_carry_20_percent() -> None:
    # VAT Notice 708/6: the relief is for the installation.
    case = VatCase(
        date(2026, 11, 2), home_or_charity=True, panels=True, storage=True, fitted=False)
    assert rates(case) == [Decimal("0.20")]


def test_a_vehicle_charger_on_the_same_quote_carries_20_percent_of_its_part() -> None:
    # VAT Notice 708/6: unrelated work is standard-rated. By hand: a quarter of the bought cost
    # takes a quarter of 8,000, taxed 400.
    case = VatCase(date(2026, 11, 2), home_or_charity=True, panels=True, storage=False)
    vat = decide_vat(case, {"energy saving": 3, "standard": 1}, gb())
    lines = vat_split(money("8000"), vat.parts)
    assert [(line.rate, line.net, line.vat) for line in lines] == [
        (Decimal("0"), money("6000"), money("0")),
        (Decimal("0.20"), money("2000"), money("400")),
    ]


def rates(case: VatCase) -> list[Decimal]:
    return [part.rate for part in decide_vat(case, {"energy saving": 1}, gb()).parts]
