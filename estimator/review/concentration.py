"""What does the firm hang on: which lead source, area or item?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from estimator.outcome.few_jobs import wilson
from estimator.review.report import Cell, Chart, Report, ReportColumn
from estimator.review.wording import between, count, named, per_cent

MOST_NAMES = 10


@dataclass(frozen=True, slots=True)
class Share:
    """What one name has of a whole: jobs, and money in minor units."""

    of: str
    name: str
    jobs: int
    minor: int


OF = {"source": "lead source, by price", "area": "area, by price",
      "item": "item, by cost of goods"}


def concentration(shares: Sequence[Share], jobs: int, currency: str) -> Report:
    """Return the report on what the finished jobs hang on.

    Args:
        shares: of each of `OF`.
        jobs: how many were finished.
        currency: of all amounts.
    """
    by = {of: sorted((each for each in shares if each.of == of),
                     key=lambda each: (-each.minor, each.name)) for of in OF}
    rows = tuple(row for listed in by.values() for row in _rows(listed))
    return Report(
        name="concentration", question="What does the firm hang on?",
        answer=tuple(_answer(by, jobs)),
        columns=(ReportColumn("what", "What"), ReportColumn("of", "Of"),
                 ReportColumn("jobs", "Jobs", "count"), ReportColumn("minor", "Money", "money"),
                 ReportColumn("money_share", "Of the whole", "share")),
        rows=rows, currency=currency, jobs=jobs,
        chart=Chart("bars", "what", ("money_share",)) if rows else None,
        cautions=(f"The first {MOST_NAMES} of each are listed.",))


def _whole(listed: Sequence[Share]) -> int:
    return sum(each.minor for each in listed)


def _rows(listed: Sequence[Share]) -> Iterator[tuple[Cell, ...]]:
    whole = _whole(listed)
    for each in listed[:MOST_NAMES]:
        yield (named(each.name), OF[each.of], each.jobs, each.minor,
               each.minor / whole if whole else None)


def _answer(by: dict[str, list[Share]], jobs: int) -> Iterator[str]:
    if not jobs:
        yield "No job was finished in the period."
        return
    for of in ("source", "area"):
        listed, whole = by[of], _whole(by[of])
        if not listed or not whole:
            continue
        first = listed[0]
        alike = 1 / sum((each.minor / whole) ** 2 for each in listed)
        what = OF[of].split(",")[0]
        yield (f"{named(first.name)} is the largest {what}: {per_cent(first.minor / whole)} of the "
               f"price, {first.jobs} of {count(jobs, 'job')} (likely "
               f"{between(*wilson(first.jobs, jobs))} of jobs to come). The firm stands as if on "
               f"{alike:.1f} of equal size.")
    goods = by["item"]
    if goods and _whole(goods):
        yield (f"{goods[0].name} is {per_cent(goods[0].minor / _whole(goods))} of the cost of "
               "goods.")
