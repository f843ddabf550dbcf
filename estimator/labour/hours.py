"""Person-hours of a job with their spread, hours by the clock, and days."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from estimator.rules.results import Reason


@dataclass(frozen=True, slots=True)
class Task:
    """A task of this job: its units and the person-minutes for all of them.

    `mean` = (low + 4 likely + high) / 6 and `sd` = (high - low) / 6, both times the units: the
    units of one job share their luck, so their spread is not divided by the root of the count.
    """

    task: str
    name: str
    group: str
    per: str
    units: Decimal
    low: Fraction
    likely: Fraction
    high: Fraction
    mean: Fraction
    sd: Fraction
    crew: int
    on_site: bool
    reasons: tuple[Reason, ...] = ()


@dataclass(frozen=True, slots=True)
class Hours:
    """Hours of the whole job.

    Attributes:
        mean, likely: person-hours.
        sd, p80: person-hours; job factor included, compared and shown unrounded.
        by_group: person-hours by task group.
        elapsed: hours on site by the clock: the longer of the roof path and the electrical path,
            then the joint tasks.
        days: day slots on site, whole or half, rounded up.
        crew: people on site at the most.
    """

    mean: Fraction
    likely: Fraction
    sd: float
    p80: float
    by_group: Mapping[str, Fraction]
    elapsed: Fraction
    days: Decimal
    crew: int
