"""The published JSON form of an estimate: what every screen, sheet and answer reads.

`EstimateJson.of(estimate, revision)` makes it, `dumps` writes it, `loads` reads it back. The same
estimate gives the same bytes. Its JSON Schema is docs/estimate.schema.json, written by

    python -m estimator.papers.contract docs/estimate.schema.json

Money is an integer of minor units of `currency`. Other numbers are exact: see `exact_json`. Hours
and shares that have no finite decimal are rounded, halves away from zero, to the places said at
their field. Private remarks of the survey are not part of it.

A field that is added raises the second number of `schema_version`; one that is changed or taken
away raises the first. Kept revisions of an older second number are read as of the newest.
"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from estimator.papers.contract_cuts import CableJson, CutJson
from estimator.papers.contract_parts import (
    CostJson,
    FactJson,
    FindingJson,
    GapJson,
    HoursJson,
    JobJson,
    LineJson,
    NotFiredJson,
    Part,
    PriceJson,
    PriceRangeJson,
    QuestionJson,
    RiskJson,
    SurplusJson,
    SwapJson,
    TaskJson,
    TermsJson,
    WorkedJson,
)
from estimator.papers.contract_roofs import PlaneJson
from estimator.papers.contract_walls import WallJson

if TYPE_CHECKING:
    from estimator.estimate import Estimate


# Of these an older one lacks fields, and every one of them has a default.
READABLE = ("1.1", "1.2", "1.3", "1.4")


def _as_newest(version: object) -> object:
    return READABLE[-1] if version in READABLE else version


class EstimateJson(Part):
    """A whole estimate. `facts` are the surveyed and the assumed ones; an unknown fact is null."""

    schema_version: Annotated[Literal["1.4"], BeforeValidator(_as_newest)] = "1.4"
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
    price_range: PriceRangeJson
    terms: TermsJson
    findings: tuple[FindingJson, ...]
    questions: tuple[QuestionJson, ...]
    worked: tuple[WorkedJson, ...]
    walls: tuple[WallJson, ...]
    gaps: tuple[GapJson, ...]
    risks: tuple[RiskJson, ...]
    price_holds_if: tuple[str, ...]
    scope: tuple[str, ...]
    exclusions: tuple[str, ...]
    facts: tuple[FactJson, ...]
    not_fired: tuple[NotFiredJson, ...]
    swaps: tuple[SwapJson, ...] = ()
    cuts: tuple[CutJson, ...] = ()
    cables: tuple[CableJson, ...] = ()
    roofs: tuple[PlaneJson, ...] = ()

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
