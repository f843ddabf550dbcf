"""The published JSON form of an estimate: what every screen, sheet and answer reads.

`EstimateJson.of(estimate, revision)` makes it, `dumps` writes it, `loads` reads it back. The same
estimate gives the same bytes. Its JSON Schema is docs/estimate.schema.json, written by

    python -m estimator.papers.contract docs/estimate.schema.json

Money is an integer of minor units of `currency`. Other numbers are exact: see `exact_json`. Hours
and shares that have no finite decimal are rounded, halves away from zero, to the places said at
their field. Private remarks of the survey are not part of it.

A field that is added raises the second number of `schema_version`; one that is changed or taken
away raises the first.
"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, StrictBool, StrictInt, StrictStr

from estimator.papers.exact_json import Exact

if TYPE_CHECKING:
    from estimator.estimate import Estimate

Minor = Annotated[StrictInt, Field(description="money in minor units of `currency`")]
Count = Annotated[int, Field(ge=0)]
FactValue = StrictBool | StrictInt | StrictStr | tuple[str, ...] | None


class Part(BaseModel):
    """A part of the contract: frozen, and a key that is not in it is refused."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", serialize_by_alias=True, validate_by_name=True,
        validate_by_alias=True, json_schema_serialization_defaults_required=True,
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
    """The supplier's price of one pack; `from` and `to` are the days it holds, both included."""

    supplier: str
    supplier_code: str
    price: Minor
    pack: Exact
    from_date: Annotated[date, Field(alias="from")]
    to_date: Annotated[date | None, Field(alias="to")]
    lead_days: Count


class BoxJson(Part):
    """So many parts came out of the boxes of other items."""

    part: str
    quantity: Count


class LineJson(Part):
    """One item of the bill. `rule` and `because` join those of all reasons."""

    line: Count
    item: str
    name: str
    family: str
    head: str
    unit: str
    bin: str
    held: Literal["stock", "job"]
    mass_kg: Annotated[Exact | None, Field(description="of one unit")]
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


class TermsJson(Part):
    """Limits of the country's practice pack for payments and cancelling; null where it has none.

    Shares are of the price with tax.
    """

    deposit_most_share: Exact | None
    deposit_and_advance_most_share: Exact | None
    advance_weeks_before_delivery: Exact | None
    cancellation_days: Exact | None


class FindingJson(Part):
    """A check and its outcome."""

    code: str
    level: Literal["fine", "caution", "stop"]
    subject: str
    says: str
    value: str
    limit: str
    unit: str
    source: str
    decides: str


class QuestionJson(Part):
    """A fact nobody knows; `low` and `high` are what its lines cost at least and at most."""

    fact: str
    asks: str
    on: str
    rules: tuple[str, ...]
    low: Minor | None
    high: Minor | None
    assumed: str


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


class EstimateJson(Part):
    """A whole estimate. `facts` are the surveyed and the assumed ones; an unknown fact is null."""

    schema_version: Literal["1.0"] = "1.0"
    job: JobJson
    revision: Annotated[int, Field(ge=1)]
    on: date
    kind: Literal["firm", "budget"]
    kind_because: tuple[str, ...]
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")]
    lines: tuple[LineJson, ...]
    surplus: tuple[SurplusJson, ...]
    tasks: tuple[TaskJson, ...]
    hours: HoursJson
    cost: CostJson
    price: PriceJson
    terms: TermsJson
    findings: tuple[FindingJson, ...]
    questions: tuple[QuestionJson, ...]
    gaps: tuple[GapJson, ...]
    risks: tuple[RiskJson, ...]
    price_holds_if: tuple[str, ...]
    scope: tuple[str, ...]
    exclusions: tuple[str, ...]
    facts: tuple[FactJson, ...]
    not_fired: tuple[NotFiredJson, ...]

    @classmethod
    def of(cls, estimate: Estimate, revision: int) -> EstimateJson:
        """Return the JSON form of an estimate; revisions count from 1."""
        from estimator.papers.contract_of import estimate_json  # it reads the models of this file

        return estimate_json(estimate, revision)

    @classmethod
    def loads(cls, text: str | bytes) -> EstimateJson:
        """Read the JSON form back.

        Raises:
            pydantic.ValidationError: if the text is not an estimate of this schema version.
        """
        return cls.model_validate_json(text)

    def dumps(self) -> str:
        """Return the estimate as JSON text: keys in the order of the schema, two spaces, UTF-8."""
        return self.model_dump_json(indent=2) + "\n"


def json_schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of what `dumps` writes."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Estimate of a home solar and storage job",
        **{
            key: value
            for key, value in EstimateJson.model_json_schema(mode="serialization").items()
            if key != "title"
        },
    }


def schema_text() -> str:
    """Return the JSON Schema as the text of docs/estimate.schema.json."""
    import json

    return json.dumps(json_schema(), indent=2, ensure_ascii=False) + "\n"


def main(arguments: list[str]) -> None:
    """Write the JSON Schema to the named file, or to standard output."""
    import sys
    from pathlib import Path

    if arguments:
        Path(arguments[0]).write_text(schema_text(), encoding="utf-8")
    else:
        sys.stdout.write(schema_text())


if __name__ == "__main__":
    import sys

    main(sys.argv[1:])
