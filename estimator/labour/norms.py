"""Labour norms: minutes per task, as dated and sourced data."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Norm:
    """Minutes of one person for one unit of a task: three points, crew and source.

    Attributes:
        low, likely, high: person-minutes per unit.
        crew: people who do it together.
        group: "roof", "electrical", "storage", "site" (joint), "travel", "waiting" or "office".
        on_site: whether the time is spent at the house (office and travel time is not).
    """

    id: str
    name: str
    per: str
    low: Decimal
    likely: Decimal
    high: Decimal
    crew: int
    group: str
    on_site: bool
    source: str
    from_date: date
    note: str = ""
