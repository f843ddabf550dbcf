"""Hourly rates from a build-up, and the settings file that may hold one.

The figures of the build-up are a worked example with invented figures: 2,028 paid hours, 218 of
holiday, 62 of sickness and training, 72 % utilisation -> 1,258 h; about 55,300 a year per fitter
-> 43.98 an hour; an office of 120,000 on four fitters -> 23.85 an hour. The parts of the 55,300
beside the wage (20 x 2,028 = 40,560) are invented here so that they come to 55,327.
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.problems import ProblemsFound
from catalogue.toml_source import TomlSource, parse_toml
from estimator.settings import (
    BuildUp,
    Buying,
    Firm,
    Labour,
    Pricing,
    Settings,
    Van,
    built_cost_per_hour,
    built_overhead_per_hour,
    productive_hours,
)
from estimator.settings_file import cautions_about, settings_from
from estimator.settings_template import settings_template

BUILD_UP = BuildUp(
    wage_per_hour=Decimal(20), paid_hours=Decimal(2028), employer_tax=Decimal(5567),
    pension=Decimal(1200), van=Decimal(6600), tools=Decimal(1400), holiday_hours=Decimal(218),
    sick_training_hours=Decimal(62), utilisation=Decimal("0.72"), overhead=Decimal(120_000),
    fitters=4,
)
BUILD_UP_TEXT = """
[labour.build_up]
wage_per_hour = 20
paid_hours = 2028
employer_tax = 5567
pension = 1200
van = 6600
tools = 1400
holiday_hours = 218
sick_training_hours = 62
utilisation = 0.72
"""


def settings_of(text: str) -> Settings:
    return settings_from(parse_toml(text, "firm.toml"))


def told(text: str) -> list[tuple[str, int | None]]:
    with pytest.raises(ProblemsFound) as caught:
        settings_of(text)
    return [(problem.code, problem.where.line) for problem in caught.value.problems]


def test_productive_hours_are_those_spent_on_jobs_rounded_down() -> None:
    # (2,028 - 218 - 62) x 0.72 = 1,258.56
    assert productive_hours(BUILD_UP) == 1258


def test_the_cost_of_an_hour_is_the_year_over_the_productive_hours() -> None:
    # 40,560 + 5,567 + 1,200 + 6,600 + 1,400 = 55,327; / 1,258 = 43.9801
    assert built_cost_per_hour(BUILD_UP) == Decimal("43.98")


def test_the_office_is_carried_by_the_hours_of_all_fitters() -> None:
    # 120,000 / (4 x 1,258) = 23.8474
    assert built_overhead_per_hour(BUILD_UP) == Decimal("23.85")


def test_half_a_penny_is_rounded_up() -> None:
    # 1 h x 1.005 would be 1.005: here 201 / 200 h = 1.005 -> 1.01, by hand.
    build_up = BUILD_UP.model_copy(update={
        "wage_per_hour": Decimal(0), "employer_tax": Decimal(201), "pension": Decimal(0),
        "van": Decimal(0), "tools": Decimal(0), "paid_hours": Decimal(200),
        "holiday_hours": Decimal(0), "sick_training_hours": Decimal(0),
        "utilisation": Decimal(1)})
    assert built_cost_per_hour(build_up) == Decimal("1.01")


def test_holiday_beyond_the_paid_hours_leaves_no_productive_hour() -> None:
    build_up = BUILD_UP.model_copy(update={"holiday_hours": Decimal(3000)})
    assert productive_hours(build_up) == 0


def test_settings_take_the_rates_from_the_build_up() -> None:
    labour = settings_of(BUILD_UP_TEXT + "overhead = 120_000.00\nfitters = 4\n").labour
    assert (labour.cost_per_hour, labour.overhead_per_hour) == (
        Decimal("43.98"), Decimal("23.85"))


def test_a_build_up_without_the_office_leaves_the_overhead_as_given() -> None:
    labour = settings_of("[labour]\noverhead_per_hour = 30\n" + BUILD_UP_TEXT).labour
    assert (labour.cost_per_hour, labour.overhead_per_hour) == (Decimal("43.98"), Decimal(30))


def test_a_rate_that_agrees_with_its_build_up_may_stand_beside_it() -> None:
    labour = settings_of("[labour]\ncost_per_hour = 43.98\n" + BUILD_UP_TEXT).labour
    assert labour.cost_per_hour == Decimal("43.98")


def test_a_rate_that_differs_from_its_build_up_is_told() -> None:
    assert told("[labour]\ncost_per_hour = 43.99\n" + BUILD_UP_TEXT) == [("C007", 2)]


def test_a_build_up_with_a_part_missing_is_told_and_nothing_is_guessed() -> None:
    assert told(BUILD_UP_TEXT.replace("van = 6600\n", "")) == [("C006", 2)]


def test_an_empty_settings_file_gives_the_defaults() -> None:
    assert settings_of("") == Settings()


def test_margins_are_checked_against_the_defaults_of_those_left_out() -> None:
    # Default target 15 %, minimum 10 %, manager's band 3 points.
    assert told("[pricing]\nmargin_minimum = 0.16\n") == [("C008", 2)]
    assert told("[pricing]\nmargin_minimum = 0.13\n") == [("C009", 1)]
    assert settings_of("[pricing]\nmargin_minimum = 0.12\n").pricing.margin_minimum == (
        Decimal("0.12"))


def test_a_margin_that_is_ill_written_is_not_compared_with_the_others() -> None:
    assert told("[pricing]\nmargin_target = 15\nmargin_minimum = 0.2\n") == [("C004", 2)]


def test_a_deposit_above_that_of_the_consumer_code_is_a_caution_not_an_error() -> None:
    # At most 25 % of the price with tax: consumer code for renewable energy, as published in
    # fitters' terms.
    source = parse_toml("[pricing]\ndeposit_share = 0.30\n", "firm.toml")
    cautions = cautions_about(source, settings_from(source), Decimal("0.25"))
    assert [(each.code, each.level, each.where.line) for each in cautions] == [
        ("C011", "caution", None), ("C010", "caution", 2)]
    assert str(cautions[1]).startswith(
        "firm.toml:2: caution C010: pricing.deposit_share: a deposit of 30 % is 5 points above")


def test_a_deposit_at_the_limit_is_no_caution() -> None:
    source = parse_toml("[pricing]\ndeposit_share = 0.25\n", "firm.toml")
    cautions = cautions_about(source, settings_from(source), Decimal("0.25"))
    assert [each.code for each in cautions] == ["C011"]


def test_a_file_that_sets_every_figure_gives_no_caution() -> None:
    lines = []
    for section, model in (("labour", Labour), ("pricing", Pricing)):
        lines.append(f"[{section}]")
        lines += [f"{name} = {field.default}" for name, field in model.model_fields.items()]
    source = parse_toml("\n".join(lines), "firm.toml")
    assert cautions_about(source, settings_from(source), Decimal("0.25")) == ()


# --- the settings file to start from -----------------------------------------------------------


def switched_on(text: str) -> str:
    return re.sub(r"^#(?=[\w\[])", "", text, flags=re.MULTILINE)


def test_the_file_to_start_from_changes_no_default() -> None:
    assert settings_of(settings_template()) == Settings()


def test_the_file_to_start_from_names_every_key_with_its_meaning() -> None:
    text = switched_on(settings_template())
    data = parse_toml(text, "firm.toml").data
    build_up = data["labour"].pop("build_up")
    joined = text.replace("\n#   ", " ").lower()
    for model, table in ((Firm, data["firm"]), (Labour, data["labour"]),
                         (Pricing, data["pricing"]), (Buying, data["buying"]),
                         (Van, data["van"]),
                         (BuildUp, build_up)):
        assert list(table) == list(model.model_fields)
        for name, field in model.model_fields.items():
            assert field.description
            assert f"# {field.description.lower()}; " in joined, name


def test_the_build_up_in_the_file_to_start_from_gives_the_default_rates() -> None:
    assert settings_of(switched_on(settings_template())) == Settings()


# --- whatever is in the file, the answer is settings or problems --------------------------------

NAMES = [*Firm.model_fields, *Labour.model_fields, *Pricing.model_fields, *Buying.model_fields,
         *Van.model_fields, *BuildUp.model_fields, "build_up", "x"]
SCALARS = (
    st.booleans() | st.integers(-5, 10**14) | st.text(max_size=5) | st.dates()
    | st.decimals(allow_nan=False, allow_infinity=False, min_value=-100, max_value=10**8, places=4)
    | st.sampled_from([Decimal("0.2"), "15%", "£3", "GBP\n"])
)
VALUES = SCALARS | st.lists(SCALARS, max_size=2) | st.dictionaries(
    st.sampled_from(NAMES), SCALARS, max_size=4)
TABLES = st.dictionaries(st.sampled_from(NAMES), VALUES, max_size=6)


@st.composite
def nearly_settings(draw: st.DrawFn) -> dict[str, Any]:
    sections = st.sampled_from(["firm", "labour", "pricing", "buying", "van", "x"])
    data: dict[str, Any] = draw(st.dictionaries(sections, TABLES | VALUES, max_size=4))
    if draw(st.booleans()):
        whole = {name: draw(SCALARS) for name in BuildUp.model_fields}
        data["labour"] = {"build_up": {**BUILD_UP.model_dump(), **draw(
            st.sampled_from([{}, whole, {"holiday_hours": 9000}, {"utilisation": Decimal(1)}]))}}
    return data


@given(nearly_settings())
def test_any_nested_data_is_settings_or_problems(data: dict[str, Any]) -> None:
    source = TomlSource("firm.toml", data)
    try:
        settings = settings_from(source)
    except ProblemsFound as found:
        assert found.problems  # noqa: PT017
        assert all(problem.code != "C099" for problem in found.problems)  # noqa: PT017
    else:
        assert settings.pricing.margin_minimum <= settings.pricing.margin_target
        assert all(each.says for each in cautions_about(source, settings, Decimal("0.25")))
