"""The published JSON form of a review; its JSON Schema is docs/review.schema.json.

Money is an integer of minor units of the report's `currency`. Shares, hours and other numbers are
an integer if whole, else decimal text, to six places, halves away from zero. Days are ISO 8601.
A field that is added raises the second number of `schema_version`; one that is changed or taken
away raises the first.
"""

from __future__ import annotations

import json
from datetime import date
from typing import Any, Literal

from pydantic import Field, StrictBool, StrictInt, StrictStr

from estimator.papers.contract_parts import Count, Part
from estimator.papers.review_cells import for_machines
from estimator.review.report import Chart, Kind, Picture, Report, Review

JsonValue = StrictBool | StrictInt | StrictStr | None


class ColumnJson(Part):
    """A column of a report's table; `total` says that its rows may be added up."""

    key: str
    heading: str
    kind: Kind
    total: bool


class ChartJson(Part):
    """What picture shows the table; all are keys of columns."""

    picture: Picture
    by: str
    values: tuple[str, ...]
    low: str | None
    high: str | None


class ReportJson(Part):
    """A question with its answer and table; `jobs` is how many jobs it rests on."""

    name: str
    question: str
    answer: tuple[str, ...]
    cautions: tuple[str, ...]
    jobs: Count
    currency: str
    columns: tuple[ColumnJson, ...]
    rows: tuple[dict[str, JsonValue], ...] = Field(description="by key of the column")
    chart: ChartJson | None


class PeriodJson(Part):
    """First and last day, both included."""

    first: date
    last: date


class ReviewJson(Part):
    """All reports that were asked for, and those of the period they are compared with."""

    schema_version: Literal["1.0"] = "1.0"
    title: str
    period: PeriodJson
    filters: dict[str, str]
    reports: tuple[ReportJson, ...]
    compared: ReviewJson | None

    @classmethod
    def of(cls, review: Review) -> ReviewJson:
        """Return the published form of a review.

        Raises:
            TypeError: for a cell that is not of its column's kind.
        """
        first, last = review.period
        return cls(
            title=review.title, period=PeriodJson(first=first, last=last),
            filters=dict(review.filters), reports=tuple(map(_report, review.reports)),
            compared=cls.of(review.compared) if review.compared else None)


def review_json(review: Review) -> dict[str, Any]:
    """Return a review as plain data in its published form."""
    return ReviewJson.of(review).model_dump(mode="json")


def review_schema_text() -> str:
    """Return the JSON Schema as the text of docs/review.schema.json."""
    schema = ReviewJson.model_json_schema(mode="serialization")
    return json.dumps(schema, indent=2, ensure_ascii=False) + "\n"


def _report(report: Report) -> ReportJson:
    return ReportJson(
        name=report.name, question=report.question, answer=report.answer,
        cautions=report.cautions, jobs=report.jobs, currency=report.currency,
        columns=tuple(ColumnJson(key=each.key, heading=each.heading, kind=each.kind,
                                 total=each.total) for each in report.columns),
        rows=tuple(
            {column.key: for_machines(cell, column)
             for cell, column in zip(row, report.columns, strict=True)} for row in report.rows),
        chart=_chart(report.chart) if report.chart else None)


def _chart(chart: Chart) -> ChartJson:
    return ChartJson(picture=chart.picture, by=chart.by, values=chart.values, low=chart.low,
                     high=chart.high)
