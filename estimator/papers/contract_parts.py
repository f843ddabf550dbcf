"""The parts of the JSON contract; `contract` says what holds for all of them and joins them."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, StrictBool, StrictInt, StrictStr

from estimator.papers.exact_json import Exact

Minor = Annotated[StrictInt, Field(description="money in minor units of `currency`")]
Count = Annotated[int, Field(ge=0)]
FactValue = StrictBool | StrictInt | StrictStr | tuple[str, ...] | None


class Part(BaseModel):
    """A part of the contract: frozen, and a key that is not in it is refused."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", serialize_by_alias=True, validate_by_name=True,
        validate_by_alias=True, json_schema_serialization_defaults_required=True,
        defer_build=True,  # on first use: many parts are rare, and loading takes half the time
    )


class JobJson(Part):
    """Who and where, as the survey's header says it."""

    id: str
    title: str
    customer: str
    address: str
    surveyor: str
    estimator: str
    surveyed_on: date | None
    supply_date: date | None
    parts: tuple[str, ...]
    remarks: tuple[str, ...]


class FactJson(Part):
    """A fact as a rule read it. A decimal is text; an unknown fact is null."""

    path: str
    value: FactValue
    unit: str
    origin: str
    evidence: str
    source: str
    place: str
    words: str


class ReasonJson(Part):
    """Why a line or a task is there: the rule, its formula with numbers, the facts it read."""

    rule: str
    because: str
    on: str
    when: str
    formula: str
    numbers: str
    quantity: Exact
    facts: tuple[FactJson, ...]
    file: str
    line: int
    assumed: bool


class OfferJson(Part):
    """A supplier's price; `from` and `to` are the days it holds, both included."""

    supplier: str
    supplier_code: str
    price: Minor
    pack: Exact
    from_date: Annotated[date, Field(alias="from")]
    to_date: Annotated[date | None, Field(alias="to")]
    lead_days: Count
    per: Annotated[Exact | None, Field(description="units the price is for; null = a pack")] = None
    least: Annotated[Exact, Field(description="units from which on the price holds")] = Decimal(0)
    cut_charge: Annotated[Minor | None, Field(
        description="for a length cut to measure; null = sold as it is packed")] = None
    carriage_class: str = ""


class BuyJson(Part):
    """Whole packs of one offer; `cost` is what they and their cut charges cost, rounded once."""

    supplier: str
    supplier_code: str
    pack: Exact
    packs: Count
    per: Annotated[Exact | None, Field(description="units the price is for; null = a pack")]
    price: Minor
    least: Exact
    cuts: Count
    cut_charge: Minor | None
    quantity: Exact
    cost: Minor


class BoxJson(Part):
    """So many parts came out of the boxes of other items."""

    part: str
    quantity: Count


class LineJson(Part):
    """One item of the bill. `rule` and `because` join those of all reasons.

    `offer`, `packs` and `pack` are those of the buy that costs most. What shelf stock costs the job
    is charged by the unit; its `buys` are the packs that the shelf is filled with.
    """

    line: Count
    item: str
    name: str
    family: str
    head: str
    unit: str
    bin: str
    held: Literal["stock", "job"]
    mass_kg: Annotated[Exact | None, Field(description="of one unit")]
    lift: Annotated[str, Field(
        description='who lifts one of it ("two people and an aid"); blank where one person may')]
    waste_share: Exact
    need: Exact
    boxed: Exact
    buy: Exact
    allowance: Exact
    packs: Count
    pack: Exact
    rule: str
    because: str
    wants: Annotated[tuple[str, ...], Field(description="what the item must be, in words")]
    unit_cost: Annotated[Minor | None, Field(description="rounded, halves away from zero")]
    unit_cost_ten_thousandths: Annotated[
        int | None, Field(description="unit cost in 1/10000 of the major unit, rounded alike")]
    cost: Minor
    waste_cost: Minor
    offer: OfferJson | None
    boxes: tuple[BoxJson, ...]
    reasons: tuple[ReasonJson, ...]
    option: bool
    buys: tuple[BuyJson, ...] = ()
    left_over: Annotated[Exact | None, Field(
        description="units in whole packs beyond buy and allowance; null in a revision of 1.1",
    )] = None
    gap: Annotated[Minor, Field(
        description="by how much the mix of packs may miss the cheapest; 0 = proven")] = 0


class SwapJson(Part):
    """An item that stands in for another; `by` is who says so."""

    original: str
    original_name: str
    substitute: str
    substitute_name: str
    why: str
    by: str


class SurplusJson(Part):
    """Boxed parts that nothing on this job uses; they come back to the store."""

    item: str
    name: str
    unit: str
    bin: str
    quantity: Count
    boxed: Count


class TaskJson(Part):
    """A task; low, likely, high and mean are person-minutes for all its units (4 places)."""

    task: str
    name: str
    group: str
    per: str
    units: Exact
    trips: Count
    low: Exact
    likely: Exact
    high: Exact
    mean: Exact
    crew: Count
    on_site: bool
    reasons: tuple[ReasonJson, ...]


class GroupHoursJson(Part):
    """Mean person-hours of one task group (4 places)."""

    group: str
    hours: Exact


class HoursJson(Part):
    """Hours of the job: person-hours but for `elapsed`, which is by the clock (4 places)."""

    mean: Exact
    likely: Exact
    p80: Exact
    sd: Exact
    elapsed: Exact
    days: Exact
    crew: Count
    trips: Count
    by_group: tuple[GroupHoursJson, ...]


class HeadJson(Part):
    """Money under one cost head."""

    head: str
    amount: Minor


class CostJson(Part):
    """The build-up of cost; the heads add up to `direct`, and with `overhead` to `total`."""

    heads: tuple[HeadJson, ...]
    materials: Minor
    waste: Minor
    labour: Minor
    bought_in: Minor
    contingency: Minor
    warranty: Minor
    direct: Minor
    overhead: Minor
    total: Minor
    p80_reserve: Minor


class DiscountJson(Part):
    """Money off, why, and who allowed it."""

    amount: Minor
    reason: str
    name: str


class VatJson(Part):
    """Tax at one rate (a share: 0.2 = 20 %) on one part of the price."""

    rate: Exact
    net: Minor
    vat: Minor
    because: str


class PriceJson(Part):
    """The quoted price; margin, markup and contribution are shares (6 places)."""

    list_net: Minor
    discount: DiscountJson | None
    net: Minor
    vat: tuple[VatJson, ...]
    gross: Minor
    margin: Exact
    markup: Exact
    contribution: Exact
    signed_by: str
    vat_says: str
    cautions: tuple[str, ...]
    valid_until: date
    valid_because: str


class PriceRangeJson(Part):
    """Prices with tax between which the job lies, as far as its open questions can be priced.

    `open_ended`: some answer cannot be priced yet, so that the job may cost more than `high`.
    """

    low: Minor
    high: Minor
    open_ended: bool


class TermsJson(Part):
    """Limits of the country's practice pack for payments and cancelling; null where it has none.

    Shares are of the price with tax.
    """

    deposit_most_share: Exact | None
    deposit_and_advance_most_share: Exact | None
    advance_weeks_before_delivery: Exact | None
    cancellation_days: Exact | None


class FindingJson(Part):
    """A check and its outcome; `signed`: whoever decides puts a name to it before work starts."""

    code: str
    level: Literal["fine", "caution", "stop"]
    subject: str
    says: str
    value: str
    limit: str
    unit: str
    source: str
    decides: str
    let_pass_by: str
    let_pass_because: str
    signed: bool


class QuestionJson(Part):
    """A fact nobody knows; `low` and `high` are what its lines cost at least and at most.

    `worst` is what a check says if the answer turns out badly, `at_worst` its level.
    """

    fact: str
    asks: str
    on: str
    rules: tuple[str, ...]
    low: Minor | None
    high: Minor | None
    assumed: str
    worst: str
    at_worst: Literal["fine", "caution", "stop", ""]


class SumJson(Part):
    """One figure of a worked answer, as shown."""

    name: str
    value: str
    unit: str


class WorkedJson(Part):
    """An answer of the design with the way it was reached."""

    code: str
    subject: str
    says: str
    method: str
    source: str
    sums: tuple[SumJson, ...]


class GapJson(Part):
    """A rule asks for something that no item in the catalogue provides."""

    rule: str
    wants: str
    family: str
    role: str
    quantity: Exact
    because: str
    on: str


class RiskJson(Part):
    """An open risk: chance times cost stands in the contingency."""

    id: str
    chance: Exact
    cost: Minor
    because: str
    holds_if: str
    open_facts: tuple[str, ...]


class NotFiredJson(Part):
    """A rule that added nothing, and the facts that stopped it."""

    rule: str
    family: str
    role: str
    because: str
    on: str
    when: str
    numbers: str
    stopped_by: tuple[FactJson, ...]
    undecided: bool
