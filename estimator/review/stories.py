"""Which single jobs went wrong? One disaster is a story, not a rule: it is listed by its name."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from estimator.review.report import Report, ReportColumn
from estimator.review.wording import amount, count, named, per_cent

MOST_STORIES = 10
LARGE = 0.2  # share of its standard from which on a job is a story; common practice, no source


@dataclass(frozen=True, slots=True)
class OneJob:
    """A finished job, in minor units."""

    job: str
    kind: str
    covering: str
    wall: str
    crew: str
    net_minor: int
    standard_minor: int
    actual_minor: int

    @property
    def over_minor(self) -> int:
        """Return what it cost above its standard."""
        return self.actual_minor - self.standard_minor


def stories(dearest: Sequence[OneJob], jobs: int, over_minor: int, median_minor: int,
            currency: str) -> Report:
    """Return the report on the jobs that cost most above their standard.

    Args:
        dearest: these jobs, the worst first.
        jobs: how many were finished.
        over_minor: what all cost above their standard together.
        median_minor: what the job in the middle cost above it.
        currency: of all amounts.
    """
    above = [job for job in dearest if job.over_minor > 0]
    return Report(
        name="single-jobs", question="Which single jobs went wrong?",
        answer=_answer(above, jobs, over_minor, median_minor, currency),
        columns=(
            ReportColumn("job", "Job"), ReportColumn("kind", "Kind"),
            ReportColumn("covering", "Covering"), ReportColumn("wall", "Wall"),
            ReportColumn("crew", "Crew"), ReportColumn("net_minor", "Sold for", "money"),
            ReportColumn("standard_minor", "Reckoned cost", "money"),
            ReportColumn("actual_minor", "Actual cost", "money"),
            ReportColumn("over_minor", "Above it", "money"),
            ReportColumn("margin_minor", "Margin", "money")),
        rows=tuple(
            (job.job, job.kind, named(job.covering), named(job.wall), named(job.crew),
             job.net_minor, job.standard_minor, job.actual_minor, job.over_minor,
             job.net_minor - job.actual_minor) for job in above),
        currency=currency, jobs=jobs,
        cautions=("A single job says nothing of its crew, roof or wall; ask what happened.",))


def _answer(above: Sequence[OneJob], jobs: int, over_minor: int, median_minor: int, currency: str
            ) -> tuple[str, ...]:
    if not jobs:
        return ("No job was finished in the period.",)
    said = [f"{count(jobs, 'job')} cost {amount(over_minor, currency)} above their standard "
            f"together; the job in the middle {amount(median_minor, currency)}."]
    if not above:
        return (*said, "None cost more than its standard.")
    large = [job for job in above
             if job.standard_minor and job.over_minor > LARGE * job.standard_minor]
    for job in large[:3]:
        said.append(f"{job.job} alone cost {amount(job.over_minor, currency)} above its standard, "
                    f"{per_cent(job.over_minor / job.standard_minor)}: a story of its own.")
    if not large:
        said.append(f"None cost more than {per_cent(LARGE)} above its standard: what was lost came "
                    "in small amounts.")
    return tuple(said)
