"""What finished jobs teach, put together for one day's norms."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from estimator.labour.norms import Norm
from estimator.learning.booked import JobBooked, seen_on
from estimator.learning.proposals import Apart, NormFound, crews, nests_apart, norms_found
from estimator.learning.ratios import UnitRatio, ratios
from estimator.outcome.few_jobs import GroupMean


@dataclass(frozen=True)
class Learned:
    """What finished jobs teach.

    Attributes:
        on: day whose norms the jobs were held against.
        closed: jobs that were closed; `jobs` of them had planned and booked hours.
        first, last: days on which the first and the last of these was closed.
        units: tasks, and groups of which people booked no more.
        found: by norm.
        apart: coverings and walls that differ from the task in all.
        crews: logarithm of their hours over those of the same work in all.
    """

    on: date
    closed: int
    jobs: int
    first: date | None
    last: date | None
    units: tuple[UnitRatio, ...]
    found: tuple[NormFound, ...]
    apart: tuple[Apart, ...]
    crews: Mapping[str, GroupMean]

    @property
    def proposed(self) -> tuple[NormFound, ...]:
        """Return the norms for which others are proposed."""
        return tuple(each for each in self.found if each.verdict == "proposed")


def learned(
    jobs: Sequence[JobBooked], norms: Mapping[str, Norm], on: date, closed: int,
    days: tuple[date | None, date | None] = (None, None),
) -> Learned:
    """Return what these jobs teach.

    Args:
        jobs: with planned and with booked hours.
        norms: those in force on the day, by which the planned hours are reckoned.
        on: the day.
        closed: how many jobs were closed in all.
        days: on which the first and the last of the jobs was closed.
    """
    seen = seen_on(jobs)
    units = ratios(seen)
    return Learned(
        on, closed, len(jobs), *days, units, norms_found(units, seen, norms),
        tuple(nests_apart(units)), crews(seen))
