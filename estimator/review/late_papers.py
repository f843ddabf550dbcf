"""Which papers of the close-out are past their day?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from estimator.review.report import Report, ReportColumn
from estimator.review.wording import count


@dataclass(frozen=True, slots=True)
class Paper:
    """A paper of a commissioned job that is due by a day and not out.

    Attributes:
        why_not: why it was left, if somebody said so.
    """

    job: str
    title: str
    commissioned: date
    name: str
    last: date
    why_not: str = ""


def late_papers(papers: Sequence[Paper], jobs: int, on: date, currency: str) -> Report:
    """Return the report on papers that are past their day.

    Args:
        papers: that still run; those whose day is not over are left out here.
        jobs: how many commissioned jobs were looked at.
        on: the day it is looked at from.
        currency: of the review; no money is in this report.
    """
    late = sorted((each for each in papers if on > each.last),
                  key=lambda each: (each.last, each.job, each.name))
    return Report(
        name="close-out", question="Which papers of the close-out are past their day?",
        answer=(
            f"{count(len(late), 'paper')} of {count(len({each.job for each in late}), 'job')} "
            f"{'is' if len(late) == 1 else 'are'} past {'its' if len(late) == 1 else 'their'} day; "
            f"{count(jobs, 'commissioned job')} {'was' if jobs == 1 else 'were'} looked at.",),
        columns=(
            ReportColumn("job", "Job"), ReportColumn("paper", "Paper"),
            ReportColumn("commissioned", "Commissioned", "date"),
            ReportColumn("last", "Last day", "date"),
            ReportColumn("late_days", "Days late", "count"),
            ReportColumn("why_not", "Why it was left"), ReportColumn("title", "Title")),
        rows=tuple((each.job, each.name, each.commissioned, each.last, (on - each.last).days,
                    each.why_not, each.title) for each in late),
        currency=currency, jobs=jobs,
        cautions=("Days are those of the practice pack; the rules of the network, the scheme and "
                  "the local authority decide.",))
