"""What finished jobs show of the norms: how long each task took against what was reckoned.

Where every hour of a task group says at which task it was worked, each task of the job is seen
by itself; where some say only the group, the group is seen as a whole. Hours of waiting and of
work done again are no task time.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import log
from typing import Literal

# Waiting and rework are kept apart wherever they were booked: they say nothing of how long a task
# takes.
LEARNED_GROUPS = ("roof", "electrical", "storage", "site", "travel", "office")
_NESTED_BY: Mapping[str, Literal["covering", "wall"]] = {
    "roof": "covering", "storage": "wall", "electrical": "wall"}
KnownBy = Literal["task", "group"]
Hours = Mapping[tuple[str, str], float]


@dataclass(frozen=True, slots=True)
class JobBooked:
    """One finished job.

    Attributes:
        crew: who worked most of its hours.
        covering, wall: of its roof and behind its storage; "" = none or unknown.
        planned: (task group, norm) -> person-hours, as the norms in force now reckon them.
        booked: (task group, norm or "" for the group alone) -> person-hours that were worked.
    """

    job: str
    crew: str
    covering: str
    wall: str
    planned: Hours
    booked: Hours


@dataclass(frozen=True, slots=True)
class Seen:
    """One task, or one task group as a whole, on one job.

    Attributes:
        unit: the norm, or the group.
        nest: covering of the roof or wall behind the storage, whichever bears on the group; "" =
            neither, or unknown.
        planned_hours: of it; `log_ratio` is the logarithm of actual over planned hours.
        tasks: the norms in it.
    """

    job: str
    crew: str
    known_by: KnownBy
    unit: str
    group: str
    nest: str
    planned_hours: float
    log_ratio: float
    tasks: tuple[str, ...]


def seen_on(jobs: Iterable[JobBooked]) -> tuple[Seen, ...]:
    """Return what the jobs show, by job and group; what was planned or booked alone is left out."""
    return tuple(each for job in jobs for group in LEARNED_GROUPS for each in _in_group(job, group))


def _in_group(job: JobBooked, group: str) -> Iterator[Seen]:
    planned, booked = _positive(job.planned, group), _positive(job.booked, group)
    nest = getattr(job, _NESTED_BY[group]) if group in _NESTED_BY else ""

    def seen(known_by: KnownBy, unit: str, before: float, after: float, tasks: Iterable[str]
             ) -> Seen:
        return Seen(job.job, job.crew, known_by, unit, group, nest, before, log(after / before),
                    tuple(tasks))

    if not planned or not booked:
        return
    if "" in booked:
        yield seen("group", group, sum(planned.values()), sum(booked.values()), sorted(planned))
        return
    for task, hours in sorted(planned.items()):
        if task in booked:
            yield seen("task", task, hours, booked[task], (task,))


def _positive(hours: Hours, group: str) -> dict[str, float]:
    return {task: number for (of, task), number in hours.items() if of == group and number > 0}
