"""The firm's own figures: rates, overhead, margins, tax, validity, sign-off."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

Share = Annotated[Decimal, Field(ge=0, lt=1)]
Amount = Annotated[Decimal, Field(ge=0, le=10_000_000, decimal_places=2)]


class Section(BaseModel):
    """A table of the settings file: frozen, unknown keys refused."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Firm(Section):
    """Who the firm is, as its papers say it."""

    name: str = "Your firm"
    address: str = ""
    phone: str = ""
    email: str = ""
    registration: str = ""
    vat_registered: bool = True
    country: str = "gb"
    currency: str = "GBP"


class Labour(Section):
    """What an hour costs the firm, and how a day is made up.

    `cost_per_hour` is the cost of one productive person-hour: wage with on-costs, van and tools,
    over productive hours. `overhead_per_hour` recovers the office on the same hours.
    `day_hours` are hours on site in a day, travel not counted. The crew pattern says how many
    people share the work of a path: a roof pair, an electrician, a pair for storage.
    """

    cost_per_hour: Amount = Decimal("43.98")
    overhead_per_hour: Amount = Decimal("23.85")
    day_hours: Annotated[Decimal, Field(gt=0, le=24)] = Decimal("7.5")
    job_factor_cv: Share = Decimal("0.12")
    roof_people: Annotated[int, Field(ge=1, le=20)] = 2
    electrical_people: Annotated[int, Field(ge=1, le=20)] = 1
    storage_people: Annotated[int, Field(ge=1, le=20)] = 2


class Pricing(Section):
    """Margins are net: (price - full cost) / price."""

    margin_target: Share = Decimal("0.15")
    margin_minimum: Share = Decimal("0.10")
    manager_below_target: Share = Decimal("0.03")
    price_step: Amount = Decimal("5.00")
    validity_days: Annotated[int, Field(ge=1, le=365)] = 30
    deposit_share: Share = Decimal("0.25")
    return_visit_rate: Share = Decimal("0.08")
    return_visit_cost: Amount = Decimal("190.00")


class Settings(Section):
    """Everything in a firm's settings file; each value has a default to be replaced."""

    firm: Firm = Field(default_factory=Firm)
    labour: Labour = Field(default_factory=Labour)
    pricing: Pricing = Field(default_factory=Pricing)
