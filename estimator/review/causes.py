"""Price or usage, rate or efficiency: what made the cost of jobs differ from its standard?

The parting is that of `estimator.outcome.parting`, line by line of every job: the quantity is
changed first, at the standard's price, then the price at the actual quantity. The database does it
for all lines: what the quantity used should have cost is rounded to a penny line by line, and price
is the rest, so the causes add up to the whole difference exactly.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from estimator.review.report import Cell, Chart, Report, ReportColumn
from estimator.review.wording import amount, count

MOST_LINES = 20
Cause = Literal["usage", "price", "other item", "efficiency", "rate", "office", "bought in",
                "provision"]
SAYS: dict[Cause, str] = {
    "usage": "goods: more or less used", "price": "goods: dearer or cheaper",
    "other item": "goods: used but not planned, or planned but not used",
    "efficiency": "labour: more or fewer hours", "rate": "labour: dearer or cheaper hours",
    "office": "the office's share of the hours", "bought in": "bought in",
    "provision": "provisions not needed, less what is still held",
}


@dataclass(frozen=True, slots=True)
class Part:
    """What one cause made of one item, task group or head, over all jobs; adverse above zero."""

    cause: Cause
    name: str
    jobs: int
    minor: int


def causes(parts: Sequence[Part], over_minor: int, jobs: int, currency: str) -> Report:
    """Return the report on what made the cost differ from its standard.

    The causes in total come first, then the lines of most weight.

    Args:
        parts: they add up to `over_minor`.
        over_minor: what all jobs cost above their standard.
        jobs: how many were finished.
        currency: of all amounts.

    Raises:
        ValueError: if they do not.
    """
    if sum(part.minor for part in parts) != over_minor:
        raise ValueError(f"the causes add up to {sum(part.minor for part in parts)}, and the "
                         f"difference is {over_minor}")
    totals = {cause: sum(part.minor for part in parts if part.cause == cause) for cause in SAYS}
    lines = sorted((part for part in parts if part.minor),
                   key=lambda part: (-abs(part.minor), part.cause, part.name))[:MOST_LINES]
    rows: list[tuple[Cell, ...]] = [
        *(("in total", SAYS[cause], None, minor) for cause, minor in totals.items() if minor),
        *((line.name or "no name", SAYS[line.cause], line.jobs, line.minor) for line in lines)]
    return Report(
        name="causes", question="Price or usage, rate or efficiency?",
        answer=_answer(totals, lines, over_minor, jobs, currency),
        columns=(ReportColumn("name", "What"), ReportColumn("cause", "Cause"),
                 ReportColumn("jobs", "Jobs", "count"),
                 ReportColumn("over_minor", "Above its standard", "money")),
        rows=tuple(rows), currency=currency, jobs=jobs,
        chart=Chart("bars", "cause", ("over_minor",)) if rows else None,
        cautions=(
            "Above zero it cost more than its standard. The lines below the totals are those of "
            f"most weight, {MOST_LINES} at the most: they are in the totals, never beside them.",
            "What another item or another supplier made of a single job stands apart there."))


def _answer(totals: dict[Cause, int], lines: Sequence[Part], over_minor: int, jobs: int,
            currency: str) -> tuple[str, ...]:
    if not jobs:
        return ("No job was finished in the period.",)
    way = "above" if over_minor >= 0 else "below"
    told = [f"{count(jobs, 'job')} cost {amount(abs(over_minor), currency)} {way} "
            f"{'its' if jobs == 1 else 'their'} standard: " + "; ".join(
                f"{SAYS[cause]} {amount(minor, currency)}"
                for cause, minor in sorted(totals.items(), key=lambda each: -abs(each[1]))
                if minor) + "."]
    if lines:
        told.append(f"The heaviest line is {lines[0].name or 'without a name'}, "
                    f"{SAYS[lines[0].cause]}: {amount(lines[0].minor, currency)} over "
                    f"{count(lines[0].jobs, 'job')}.")
    return tuple(told)
