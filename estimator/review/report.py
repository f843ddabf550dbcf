"""The form of every report: a question, its answer in words, a table, and what picture shows it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Literal

Cell = str | int | Decimal | Fraction | float | date | bool | None
Kind = Literal["text", "money", "share", "hours", "number", "count", "date"]
Picture = Literal["bars", "bars with interval", "stacked bars", "waterfall", "points", "line"]


@dataclass(frozen=True, slots=True)
class ReportColumn:
    """One column of a report's table.

    Attributes:
        key: name in JSON and in `Chart`, lower case with underscores; it ends in the unit.
        heading: as a person reads it.
        kind: "money" is whole minor units of the report's currency, "share" is 0.15 for 15 %,
            "hours" are person-hours.
        total: the rows may be added up; the workbook writes a formula that does.
    """

    key: str
    heading: str
    kind: Kind = "text"
    total: bool = False


@dataclass(frozen=True, slots=True)
class Chart:
    """What picture shows a report's table. All names are keys of columns.

    Attributes:
        picture: "waterfall" begins at the first row and ends at the last, which are sums; rows
            between are steps.
        by: along which column.
        values: which columns are drawn; several are series.
        low, high: interval of the only value.
    """

    picture: Picture
    by: str
    values: tuple[str, ...]
    low: str | None = None
    high: str | None = None


@dataclass(frozen=True)
class Report:
    """A report on some of the firm's jobs.

    Attributes:
        name: as it is asked for: lower case words with hyphens.
        question: what the manager asks.
        answer: the sentences that answer it, with how sure that is.
        cautions: what the figures must not be taken for.
        columns, rows: the table; a cell may be None where there is no figure.
        chart: None where a picture would show nothing.
        jobs: how many jobs it rests on.
        currency: of its money.
    """

    name: str
    question: str
    answer: tuple[str, ...]
    columns: tuple[ReportColumn, ...]
    rows: tuple[tuple[Cell, ...], ...]
    currency: str
    jobs: int
    chart: Chart | None = None
    cautions: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Hold the report to its form.

        Raises:
            ValueError: for a row of another width, a key that stands twice, or a chart of a column
                that is not there.
        """
        keys = [column.key for column in self.columns]
        if len(set(keys)) != len(keys):
            raise ValueError(f"{self.name}: a key stands twice: {keys}")
        if any(len(row) != len(keys) for row in self.rows):
            raise ValueError(f"{self.name}: a row has not {len(keys)} cells")
        if self.chart is not None:
            drawn = (self.chart.by, *self.chart.values, self.chart.low, self.chart.high)
            if unknown := {key for key in drawn if key is not None} - set(keys):
                raise ValueError(f"{self.name}: no such column to draw: {sorted(unknown)}")

    def column(self, key: str) -> tuple[Cell, ...]:
        """Return the cells of a column.

        Raises:
            ValueError: if there is no such column.
        """
        at = [column.key for column in self.columns].index(key)
        return tuple(row[at] for row in self.rows)


@dataclass(frozen=True)
class Review:
    """All reports that were asked for.

    Attributes:
        title: such as "Review of 2026".
        period: first and last day, both included.
        filters: what the jobs were narrowed to, by name.
        reports: in the order of the questions.
        compared: the same reports of the other period, if one was asked for.
    """

    title: str
    period: tuple[date, date]
    filters: Mapping[str, str]
    reports: tuple[Report, ...]
    compared: Review | None = None
