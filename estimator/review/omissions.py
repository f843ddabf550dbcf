"""What do omissions cost: variations, rework and waiting by their cause?

What was found on the job and agreed, at what it costs more than the customer pays for it; hours
that were worked a second time; hours waited. The heaviest causes come first, with what they make
together of the whole (Pareto).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from estimator.review.report import Cell, Chart, Report, ReportColumn
from estimator.review.wording import amount, count, per_cent


@dataclass(frozen=True, slots=True)
class Omission:
    """One cause, over all finished jobs, in minor units.

    Attributes:
        what: "variation", "rework" or "waiting".
        cause: in the words of the record; "" = nobody said.
        times: variations, or entries of hours.
        jobs: on how many jobs.
        cost_minor: what it cost.
        charged_minor: what customers pay for it.
    """

    what: str
    cause: str
    times: int
    jobs: int
    cost_minor: int
    charged_minor: int = 0

    @property
    def lost_minor(self) -> int:
        """Return what it cost the firm."""
        return self.cost_minor - self.charged_minor

    @property
    def told(self) -> str:
        """Return cause and what it was."""
        return f"{self.cause or 'no cause said'} ({self.what})"


def omissions(
    found: Sequence[Omission], jobs: int, currency: str, planned_waiting_minor: int = 0
) -> Report:
    """Return the report on what was found, done again and waited for.

    Args:
        found: causes.
        jobs: how many jobs were finished.
        currency: of all amounts.
        planned_waiting_minor: labour that was reckoned for waiting, such as for resin to set.
    """
    listed = sorted(found, key=lambda each: (-each.lost_minor, each.told))
    return Report(
        name="omissions", question="What do omissions cost, by cause?",
        answer=tuple(_answer(listed, jobs, currency)),
        columns=(
            ReportColumn("cause", "Cause"), ReportColumn("times", "Times", "count"),
            ReportColumn("jobs", "Jobs", "count"),
            ReportColumn("cost_minor", "Cost", "money", total=True),
            ReportColumn("charged_minor", "Charged", "money", total=True),
            ReportColumn("lost_minor", "Lost", "money", total=True),
            ReportColumn("together_share", "Together, of all lost", "share")),
        rows=tuple(_rows(listed)), currency=currency, jobs=jobs,
        chart=Chart("bars", "cause", ("lost_minor",)) if listed else None,
        cautions=(
            "It says what to ask for at the survey, not whose fault it was. Goods that were used "
            "again for rework are not told apart from the others.",
            *([f"Waiting counts in full, with the office's share; labour for "
               f"{amount(planned_waiting_minor, currency)} of it was reckoned with, such as for "
               "resin to set."] if planned_waiting_minor else [])))


def _rows(listed: Sequence[Omission]) -> Iterator[tuple[Cell, ...]]:
    losses = sum(max(0, each.lost_minor) for each in listed)
    reached = 0
    for each in listed:
        reached += max(0, each.lost_minor)
        yield (each.told, each.times, each.jobs, each.cost_minor, each.charged_minor,
               each.lost_minor, reached / losses if losses else None)


def _answer(listed: Sequence[Omission], jobs: int, currency: str) -> Iterator[str]:
    if not listed:
        yield f"On {count(jobs, 'finished job')} nothing was found, done again or waited for."
        return
    losses = [each for each in listed if each.lost_minor > 0]
    whole = sum(each.lost_minor for each in losses)
    yield (f"{amount(whole, currency)} were lost on {count(jobs, 'finished job')} by "
           f"{count(len(losses), 'cause')}.")
    reached = 0
    few: list[str] = []
    for each in losses:
        reached += each.lost_minor
        few.append(f"{each.told} {amount(each.lost_minor, currency)} on "
                   f"{count(each.jobs, 'job')}")
        if reached * 5 >= whole * 4:
            break
    if few:
        yield f"{per_cent(reached / whole)} of it comes of {'; '.join(few)}."
