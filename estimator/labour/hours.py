"""Person-hours of a job with their spread, hours by the clock, days and trips."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from statistics import NormalDist

from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from estimator.labour.norms import GROUPS, Norm
from estimator.rules.results import Reason, TaskNeed
from estimator.settings import Labour

MINUTES_PER_HOUR = 60
SHARE_P80 = 0.80


@dataclass(frozen=True, slots=True)
class Task:
    """A task of this job: its units and the person-minutes for all of them.

    `mean` = (low + 4 likely + high) / 6 and `sd` = (high - low) / 6, both times the units: the
    units of one job share their luck, so their spread is not divided by the root of the count.

    `trips` is how often the units are counted for the days on site; it stays 1 for every task
    that does not come again with each trip.
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
    each_trip: bool = False
    trips: int = 1


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
        trips: journeys to the site: one for each day begun.
    """

    mean: Fraction
    likely: Fraction
    sd: float
    p80: float
    by_group: Mapping[str, Fraction]
    elapsed: Fraction
    days: Decimal
    crew: int
    trips: int = 1


def tasks_from(needs: Sequence[TaskNeed], norms: Mapping[str, Norm]) -> tuple[Task, ...]:
    """Return the tasks of a job; needs of one norm are merged and keep all their reasons.

    Args:
        needs: units of each norm, in rule order; where one says more people than the norm's
            crew, the task takes as many times the minutes and that crew.
        norms: norms by id.

    Raises:
        ProblemsFound: N010 for every norm that does not exist, N011 for every negative number of
            units; each named with the rule that asked.
    """
    problems = [problem for need in needs for problem in _need_problems(need, norms)]
    if problems:
        raise ProblemsFound(problems)
    grouped: dict[str, list[TaskNeed]] = {}
    for need in needs:
        if need.units > 0:
            grouped.setdefault(need.norm, []).append(need)
    return tuple(_task(norms[norm], each) for norm, each in grouped.items())


def _need_problems(need: TaskNeed, norms: Mapping[str, Norm]) -> list[Problem]:
    where = Place(need.reason.file, need.reason.line)
    if need.norm not in norms:
        return [Problem("N010", where, f"rule '{need.reason.rule}' asks for the labour norm "
                        f"'{need.norm}', which does not exist",
                        suggestion(need.norm, norms) or "add the norm to the firm's own file")]
    if not need.units.is_finite() or need.units < 0:
        return [Problem("N011", where, f"rule '{need.reason.rule}' gives {need.units} units of "
                        f"'{need.norm}'", "units are zero or more; correct the rule's formula")]
    return []


def _task(norm: Norm, needs: Sequence[TaskNeed]) -> Task:
    """Return a task; a unit that takes more people than the norm's crew takes their minutes too."""
    crews = [max(norm.crew, need.people) for need in needs]
    shares = (Fraction(need.units) * crew for need, crew in zip(needs, crews, strict=True))
    crew_units = sum(shares, Fraction(0)) / norm.crew
    units = sum((need.units for need in needs), Decimal(0))
    low, likely, high = (
        Fraction(point) * crew_units for point in (norm.low, norm.likely, norm.high)
    )
    return Task(
        task=norm.id, name=norm.name, group=norm.group, per=norm.per, units=units,
        low=low, likely=likely, high=high, mean=(low + 4 * likely + high) / 6,
        sd=(high - low) / 6, crew=max(crews), on_site=norm.on_site,
        reasons=tuple(need.reason for need in needs), each_trip=norm.each_trip,
    )


def hours_of(tasks: Sequence[Task], labour: Labour) -> Hours:
    """Return the hours of a job from its tasks.

    The mean is the sum of the tasks' means. The spread is sqrt(sum of sd^2 + (cv x mean)^2) and
    P80 is mean + z x spread with z = 0.8416, the 80 % point of the normal distribution.

    Two things keep P80 from being too cosy. The units of one task are not independent: three
    brackets on one wall meet the same wall, so the task's spread is the unit's spread times
    three and not times root three. And the tasks of one job are not independent either: crew,
    weather and customer are the same all day; the job factor `cv` stands for that.

    Source: three-point estimate of the program evaluation and review technique, with the
    variances of tasks added; the job factor is common practice, no source.

    Args:
        tasks: person-minutes of each task.
        labour: the firm's day, crew pattern and job factor.
    """
    mean = _hours(task.mean for task in tasks)
    variance = _hours(task.sd**2 for task in tasks) / MINUTES_PER_HOUR
    sd = math.sqrt(variance + (Fraction(labour.job_factor_cv) * mean) ** 2)
    elapsed = elapsed_hours(tasks, labour)
    days = day_slots(elapsed, labour)
    groups = {task.group for task in tasks}
    return Hours(
        mean=mean, likely=_hours(task.likely for task in tasks), sd=sd,
        p80=quantile(mean, sd, SHARE_P80),
        by_group={
            group: _hours(task.mean for task in tasks if task.group == group)
            for group in GROUPS if group in groups
        },
        elapsed=elapsed, days=days, crew=people_on_site(tasks, labour),
        trips=max(1, math.ceil(days)),
    )


def quantile(mean: Fraction, sd: float, share: float) -> float:
    """Return what is not exceeded in a share of all cases, if the spread is normal."""
    return float(mean) + NormalDist().inv_cdf(share) * sd


def elapsed_hours(tasks: Iterable[Task], labour: Labour) -> Fraction:
    """Return mean hours on site by the clock.

    The roof path and the electrical path run side by side; the longer one counts. The people of
    a path (the firm's crew pattern) share its work, so its minutes are divided by them; a task
    that needs more people takes them all and is divided by its own crew. Joint tasks and waiting
    come on top, each divided by its crew, for everybody waits for them. Travel and office time
    is no time on site.

    Storage makes the electrical path longer: one pair does both.
    """
    on_site = [task for task in tasks if task.on_site]
    roof, electrical = _paths(on_site)
    joint = [task for task in on_site if task not in roof and task not in electrical]
    path = max(
        _clock(roof, labour.roof_people), _clock(electrical, _electrical_people(on_site, labour))
    )
    return (path + _clock(joint, 1)) / MINUTES_PER_HOUR


def people_on_site(tasks: Iterable[Task], labour: Labour) -> int:
    """Return how many people are on site at the most: those of both paths, or of one task."""
    on_site = [task for task in tasks if task.on_site]
    roof, electrical = _paths(on_site)
    paths = (labour.roof_people if roof else 0) + (
        _electrical_people(on_site, labour) if electrical else 0
    )
    return max([paths, *(task.crew for task in on_site)])


def day_slots(elapsed: Fraction, labour: Labour) -> Decimal:
    """Return the half and whole days for so many hours on site, rounded up from exact hours."""
    halves = math.ceil(elapsed / Fraction(labour.day_hours) * 2)
    return Decimal(halves) / 2


def with_trips(tasks: Sequence[Task], trips: int) -> tuple[Task, ...]:
    """Return the tasks with travel and loading counted once for each trip.

    Doing it twice changes nothing, and neither does it change `Hours.trips`: a task that comes
    with each trip is never on site (a norm file that says otherwise is refused), so the time on
    site, and with it the number of trips, does not depend on it. One round is the fixed point.

    Raises:
        ValueError: for fewer trips than one.
    """
    if trips < 1:
        raise ValueError("a job has at least one trip")
    return tuple(_times(task, trips) if task.each_trip else task for task in tasks)


def job_hours(tasks: Sequence[Task], labour: Labour) -> tuple[tuple[Task, ...], Hours]:
    """Return the tasks with as many trips as the job has days, and their hours."""
    repeated = with_trips(tasks, hours_of(tasks, labour).trips)
    return repeated, hours_of(repeated, labour)


def _times(task: Task, trips: int) -> Task:
    factor = Fraction(trips, task.trips)
    return replace(
        task, trips=trips, units=task.units / task.trips * trips,
        low=task.low * factor, likely=task.likely * factor, high=task.high * factor,
        mean=task.mean * factor, sd=task.sd * factor,
    )


def _hours(minutes: Iterable[Fraction]) -> Fraction:
    return sum(minutes, Fraction(0)) / MINUTES_PER_HOUR


def _paths(on_site: Sequence[Task]) -> tuple[list[Task], list[Task]]:
    roof = [task for task in on_site if task.group == "roof"]
    electrical = [task for task in on_site if task.group in ("electrical", "storage")]
    return roof, electrical


def _electrical_people(on_site: Sequence[Task], labour: Labour) -> int:
    if any(task.group == "storage" for task in on_site):
        return max(labour.electrical_people, labour.storage_people)
    return labour.electrical_people


def _clock(tasks: Iterable[Task], people: int) -> Fraction:
    return sum((task.mean / max(people, task.crew) for task in tasks), Fraction(0))
