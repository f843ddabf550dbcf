"""Which part of a price carries which rate, and what somebody has to look at."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from catalogue.money import Money, total
from catalogue.problems import ProblemsFound
from estimator.practice.pack import Practice, country_folder, read_practice
from estimator.vat import (
    VatCase,
    VatDecision,
    VatPart,
    class_weights,
    decide_vat,
    vat_fraction,
    vat_split,
)
from tests.money.factories import ItemFactory, bill_with

GB = read_practice([country_folder("gb")])
HOME = VatCase(date(2026, 11, 2), home_or_charity=True, panels=True, storage=True)
ALL_SAVING = {"energy saving": 1}


def decision(case: VatCase, practice: Practice = GB) -> VatDecision:
    return decide_vat(case, {"energy saving": 1}, practice)


def test_a_firm_that_is_not_registered_adds_no_tax_and_says_so() -> None:
    found = decision(replace(HOME, registered=False))
    assert found == VatDecision((), "The firm is not registered for VAT: no VAT is added.")
    assert vat_split(Money.of(100), found.parts) == ()


def test_the_quote_names_the_day_of_supply() -> None:
    assert decision(HOME).says == "VAT at the rate of the day of supply, 2 November 2026."


def test_an_unknown_building_is_priced_at_the_full_rate_with_a_caution() -> None:
    found = decision(replace(HOME, home_or_charity=None))
    assert [part.rate for part in found.parts] == [Decimal("0.20")]
    assert found.cautions == (
        "VAT is shown at the full rate until it is known whether the building is a home or a "
        "charity's",)


@pytest.mark.parametrize(
    ("change", "because"),
    [
        ({"home_or_charity": False}, "neither a home nor a charity's"),
        ({"fitted": False}, "goods sold without fitting"),
        ({"panels": False, "storage": False}, "neither panels nor storage"),
        ({"panels": False, "on": date(2023, 6, 1)}, "storage without panels"),
    ],
)
def test_without_relief_the_line_says_why(change: dict[str, object], because: str) -> None:
    (part,) = decision(replace(HOME, **change)).parts  # type: ignore[arg-type]
    assert part.rate == Decimal("0.20")
    assert because in part.because


def test_a_converter_alone_is_left_to_the_accountant() -> None:
    assert "ask the accountant" in decision(replace(HOME, panels=False, storage=False)).cautions[0]


def test_before_february_2024_a_charity_is_pointed_out() -> None:
    # SI 2024/24: charities' buildings from 1 February 2024.
    assert decision(replace(HOME, on=date(2024, 1, 31))).cautions == (
        "on this day the relief holds for a home, not for a charity's building",)
    assert decision(replace(HOME, on=date(2024, 2, 1))).cautions == ()


def test_a_day_without_a_known_relief_is_priced_at_the_full_rate_with_a_caution() -> None:
    found = decision(replace(HOME, on=date(2022, 3, 31)))
    assert [part.rate for part in found.parts] == [Decimal("0.20")]
    assert "knows no VAT relief on 2022-03-31" in found.cautions[0]


def test_a_pack_without_a_standard_rate_cannot_price() -> None:
    with pytest.raises(ProblemsFound, match="P020"):
        decision(HOME, Practice({}))


def test_a_mixed_supply_is_pointed_out() -> None:
    mixed = decide_vat(HOME, {"energy saving": 3, "standard": 1}, GB)
    assert [(part.weight, part.rate) for part in mixed.parts] == [
        (3, Decimal("0")), (1, Decimal("0.20"))]
    assert "mixes VAT rates" in mixed.cautions[0]


def test_without_relief_both_classes_make_one_line() -> None:
    plain = decide_vat(
        replace(HOME, home_or_charity=False), {"energy saving": 3, "standard": 1}, GB)
    assert [(part.weight, part.rate) for part in plain.parts] == [(4, Decimal("0.20"))]
    assert plain.cautions == ()


def test_a_job_of_standard_rated_goods_alone_makes_one_line() -> None:
    found = decide_vat(HOME, {"energy saving": 0, "standard": 1}, GB)
    assert [part.rate for part in found.parts] == [Decimal("0.20")]


def test_a_job_that_buys_nothing_gets_no_relief_without_the_accountant() -> None:
    found = decide_vat(HOME, {}, GB)
    assert [part.rate for part in found.parts] == [Decimal("0.20")]
    assert "ask the accountant" in found.cautions[0]


def test_the_last_day_of_the_zero_rate_is_known() -> None:
    # HMRC VENSAV2083: to 31 March 2027.
    assert decision(HOME).last_day == date(2027, 3, 31)
    assert decision(replace(HOME, on=date(2027, 4, 1))).last_day is None
    assert decision(replace(HOME, home_or_charity=False)).last_day is None


def test_weights_are_the_bought_cost_with_waste_by_class() -> None:
    bill = bill_with([
        (ItemFactory(code="1", waste=Decimal("0.10")), "10", "1.00"),
        (ItemFactory(code="2", vat_class="standard"), "1", "400"),
        (ItemFactory(code="3"), "1", "100"),
    ])
    assert class_weights(bill) == {"energy saving": 11100, "standard": 40000}
    options = replace(bill, lines=tuple(replace(line, option=True) for line in bill.lines))
    assert class_weights(options) == {}


@given(
    st.integers(0, 10**9),
    st.lists(st.fractions(0, 10**6, max_denominator=100), min_size=1, max_size=4),
    st.decimals(0, 1, places=3),
)
def test_net_parts_add_up_and_tax_is_within_half_a_penny_of_exact(
    net: int, weights: list[Fraction], rate: Decimal
) -> None:
    assume(any(weights))
    lines = vat_split(Money(net), [VatPart(weight, rate, "") for weight in weights])
    assert total([line.net for line in lines]) == Money(net)
    for line in lines:
        assert line.net.minor >= 0
        assert abs(line.vat.minor - line.net.minor * Fraction(rate)) <= Fraction(1, 2)


def test_a_tax_rate_is_not_negative() -> None:
    with pytest.raises(ValueError, match="at least zero"):
        vat_fraction(-1)
