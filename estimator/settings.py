"""The firm's own figures: rates, overhead, margins, tax, validity, sign-off.

Every default is an invented figure of a worked example, to be replaced by the firm's own.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field

from catalogue.money import round_half_up

Share = Annotated[Decimal, Field(ge=0, lt=1)]
People = Annotated[int, Field(ge=1, le=20)]
Amount = Annotated[Decimal, Field(ge=0, le=10_000_000, decimal_places=2)]


def figure(default: Any, meaning: str, unit: str = "") -> Any:
    """Return the pydantic field of a setting: its default, meaning and unit."""
    return Field(default, description=meaning, json_schema_extra={"unit": unit})


class Section(BaseModel):
    """A table of the settings file: frozen, unknown keys refused."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Firm(Section):
    """Who the firm is, as its papers say it."""

    name: str = figure("Your firm", "name of the firm")
    address: str = figure("", "address")
    phone: str = figure("", "telephone")
    email: str = figure("", "e-mail")
    registration: str = figure("", "registrations that the papers must name")
    travel_base: str = figure("", "where the van starts: drives in a survey are counted from here")
    vat_registered: bool = figure(True, "the firm charges VAT")
    country: Annotated[str, Field(pattern=r"^[a-z]{2}$")] = figure(
        "gb", "country of the work, for the practice values: two small letters")
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")] = figure(
        "GBP", "currency of all amounts: three capitals")


class Labour(Section):
    """What an hour costs the firm, and how a day is made up.

    `cost_per_hour` is the cost of one productive person-hour: wage with on-costs, van and tools,
    over productive hours. `overhead_per_hour` recovers the office on the same hours. Both may be
    worked out in the settings file from a build-up. `day_hours` are hours on site in a day,
    travel not counted. The crew pattern says how many people share the work of a path: a roof
    pair, an electrician, a pair for storage.
    """

    cost_per_hour: Amount = figure(
        Decimal("43.98"), "cost of a productive person-hour: wage, on-costs, van and tools")
    overhead_per_hour: Amount = figure(
        Decimal("23.85"), "share of the office that each productive person-hour carries")
    day_hours: Annotated[Decimal, Field(gt=0, le=24)] = figure(
        Decimal("7.5"), "hours on site in a day, travel not counted", "h")
    job_factor_cv: Share = figure(
        Decimal("0.12"), "how far whole jobs swing with crew, weather and customer, as a share")
    roof_people: People = figure(2, "people who work on the roof together")
    electrical_people: People = figure(1, "people who do the electrical work together")
    storage_people: People = figure(2, "people who hang or stack storage together")


class BuildUp(Section):
    """What one fitter costs in a year and how many hours of it can be charged to jobs.

    Amounts are for one fitter and one year, save the office, which `fitters` carry together.
    """

    wage_per_hour: Amount = Field(description="wage for a paid hour")
    paid_hours: Annotated[Decimal, Field(gt=0, le=8784)] = Field(
        description="hours paid in a year", json_schema_extra={"unit": "h"})
    employer_tax: Amount = Field(description="the employer's tax on the wage, a year")
    pension: Amount = Field(description="the employer's pension share, a year")
    van: Amount = Field(description="van with fuel and insurance, a year")
    tools: Amount = Field(description="tools, meters and clothing, a year")
    holiday_hours: Annotated[Decimal, Field(ge=0, le=8784)] = Field(
        description="paid hours of holiday in a year", json_schema_extra={"unit": "h"})
    sick_training_hours: Annotated[Decimal, Field(ge=0, le=8784)] = Field(
        description="paid hours of sickness and training in a year",
        json_schema_extra={"unit": "h"})
    utilisation: Annotated[Decimal, Field(gt=0, le=1)] = Field(
        description="share of the hours present that is spent on jobs")
    overhead: Amount | None = figure(None, "the office for a year: rent, staff, software")
    fitters: Annotated[int, Field(ge=1, le=10_000)] | None = figure(
        None, "fitters whose hours carry the office")


def productive_hours(build_up: BuildUp) -> int:
    """Return the hours of one fitter in a year that are spent on jobs, rounded down.

    (paid - holiday - sickness and training) x utilisation. Rounded down so that a part of an
    hour is never counted on; zero where nothing is left.

    Source: common practice, no source.
    """
    present = build_up.paid_hours - build_up.holiday_hours - build_up.sick_training_hours
    return max(0, int(present * build_up.utilisation))


def built_cost_per_hour(build_up: BuildUp) -> Decimal:
    """Return the cost of a productive hour, rounded half up to the penny.

    (wage x paid hours + employer's tax + pension + van + tools) / productive hours.

    Raises:
        ZeroDivisionError: if no productive hours are left.
    """
    year = build_up.wage_per_hour * build_up.paid_hours + (
        build_up.employer_tax + build_up.pension + build_up.van + build_up.tools)
    return _to_the_penny(Fraction(year) / productive_hours(build_up))


def built_overhead_per_hour(build_up: BuildUp) -> Decimal | None:
    """Return the office's share of a productive hour, or None if the office is not given.

    overhead / (fitters x productive hours), rounded half up to the penny.

    Raises:
        ZeroDivisionError: if no productive hours are left.
    """
    if build_up.overhead is None or build_up.fitters is None:
        return None
    hours = build_up.fitters * productive_hours(build_up)
    return _to_the_penny(Fraction(build_up.overhead) / hours)


def _to_the_penny(amount: Fraction) -> Decimal:
    return Decimal(round_half_up(amount * 100)) / 100


class Pricing(Section):
    """Margins are net: (price - full cost) / price."""

    margin_target: Share = figure(
        Decimal("0.15"), "net margin a quote is priced at; at or above it the estimator signs")
    margin_minimum: Share = figure(
        Decimal("0.10"), "net margin below which only the owner signs, with a written reason")
    manager_below_target: Share = figure(
        Decimal("0.03"), "how far below the target, in net margin, the manager may sign")
    price_step: Amount = figure(
        Decimal("5.00"), "prices are raised to the next whole step of this amount")
    price_spread: Share = figure(
        Decimal("0.03"), "how far a buying price may move either way by the day of the order, as a "
        "share, where no offer promises it until then")
    open_question_share: Share = figure(
        Decimal("0.05"),
        "an open question whose answer may cost more than this share of the full cost bars a "
        "firm price")
    validity_days: Annotated[int, Field(ge=1, le=365)] = figure(
        30, "days for which a quote holds, unless something ends sooner", "days")
    deposit_share: Share = figure(
        Decimal("0.25"), "deposit asked for, as a share of the price with tax")
    return_visit_rate: Share = figure(
        Decimal("0.08"), "share of jobs that need a return visit under warranty")
    return_visit_cost: Amount = figure(Decimal("190.00"), "mean cost of a return visit")
    accept_rate: Share = figure(
        Decimal("0.35"), "share of open quotes that are accepted in the end: what a quote that "
        "has drifted puts at stake is this times the loss")


class Buying(Section):
    """What counts when a basket is split over suppliers."""

    surplus_share: Annotated[Decimal, Field(ge=0, le=1)] = figure(
        Decimal("1"),
        "share of the goods bought beyond the need, for a least order or free carriage, that "
        "counts as cost: 1 counts all, 0.2 a fifth for holding them")
    late_per_day: Amount = figure(
        Decimal("250.00"), "what each day costs that a job waits for its last goods")


class Van(Section):
    """What the firm's van carries; the papers of the van say so, plated masses come first."""

    payload_kg: Annotated[Decimal, Field(gt=0, le=10_000)] = figure(
        Decimal("850"), "what the van may carry, crew and tools taken off", "kg")
    longest_mm: Annotated[int, Field(ge=500, le=15_000)] = figure(
        4500, "longest piece that goes in the van or on its roof bars", "mm")


class Settings(Section):
    """Everything in a firm's settings file; each value has a default to be replaced."""

    firm: Firm = Field(default_factory=Firm)
    labour: Labour = Field(default_factory=Labour)
    pricing: Pricing = Field(default_factory=Pricing)
    buying: Buying = Field(default_factory=Buying)
    van: Van = Field(default_factory=Van)
