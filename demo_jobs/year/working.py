"""The hours that a job took: who worked at what, on which day.

A task's minutes are drawn from a beta distribution with the mean and the standard deviation of its
three-point estimate, (low + 4 likely + high) / 6 and (high - low) / 6, between low and high; all of
a job are then multiplied by its factor, and by what is planted.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from random import Random

from demo_jobs.year.calendar import LAST, after, workdays
from demo_jobs.year.houses import House
from demo_jobs.year.names import Crew
from demo_jobs.year.records import Offered, PlannedTask, Worked
from demo_jobs.year.truths import Truth

TOLD_FROM_MIN = 30  # a task planned shorter is noted with its group only
DAY_BEGINS, DAY_MIN = 8 * 60, 9 * 60
REWORK, WAITING = 0.12, 0.30
REWORK_CAUSES = ("our error", "missed at survey", "hidden", "supplier")
PLANNED_WAIT = "resin sets"
WAITING_CAUSES = ("scaffold late", "goods late", "customer", "weather")


@dataclass(frozen=True, slots=True)
class Site:
    """Who does a job, when it begins, and how its hours swing."""

    house: House
    crew: Crew
    estimator: str
    begins: date
    factor: float


@dataclass(frozen=True, slots=True)
class _Piece:
    person: str
    minutes: float
    group: str
    task: str
    cause: str = ""


def job_factor(rng: Random, truth: Truth) -> float:
    """Return by which the hours of a job swing together: lognormal, its mean is 1."""
    spread = math.sqrt(math.log(1 + truth.size ** 2))
    return rng.lognormvariate(-spread ** 2 / 2, spread)


def drawn(task: PlannedTask, rng: Random) -> float:
    """Return the minutes that a task takes, the job's factor aside."""
    span = task.high - task.low
    if span <= 0:
        return task.mean
    mean = (task.mean - task.low) / span
    weight = mean * (1 - mean) * 36 - 1  # of a beta distribution whose variance is (span / 6)^2
    return task.low + span * rng.betavariate(mean * weight, (1 - mean) * weight)


def slower(house: House, group: str, truths: Mapping[str, Truth]) -> float:
    """Return by what the planted truths multiply the hours of a task group."""
    roof, wall = truths["slow-covering"], truths["under-priced-wall"]
    found = 1.0
    if house.covering == roof["covering"] and group in roof["groups"]:
        found += roof.size
    if house.modules and house.wall == wall["wall"] and group in wall["groups"]:
        found += wall.size
    return found


def work(
    site: Site, offered: Offered, truths: Mapping[str, Truth], rng: Random
) -> tuple[tuple[Worked, ...], date]:
    """Return the hours up to the end of the year, and the last day on site."""
    pieces = [
        piece for task in offered.tasks
        for piece in _shared(task, drawn(task, rng) * site.factor * slower(
            site.house, task.group, truths), site)]
    pieces += _unplanned(site, rng)
    office = [piece for piece in pieces if piece.group == "office"]
    on_site = [piece for piece in pieces if piece.group != "office"]
    longest = max(_by_person(on_site).values())
    days = workdays(site.begins, max(1, math.ceil(longest / DAY_MIN)))
    done = [*_laid(on_site, days, site.crew.name),
            *_laid(office, (after(site.begins, -6), after(days[-1], 1)), "")]
    return tuple(each for each in done if each.on <= LAST), days[-1]


def _shared(task: PlannedTask, minutes: float, site: Site) -> Iterator[_Piece]:
    """Yield the parts of a task that each person does."""
    first, second = site.crew.roof
    people: Mapping[str, Sequence[str]] = {
        "roof": (first, second), "electrical": (site.crew.electrician,),
        "storage": (second, site.crew.electrician), "office": (site.estimator,),
        "waiting": (site.crew.electrician,),
    }
    those = people.get(task.group, (first, second, site.crew.electrician))
    name = task.task if task.mean >= TOLD_FROM_MIN else ""
    for person in those:
        yield _Piece(person, minutes / len(those), task.group, name,
                     PLANNED_WAIT if task.group == "waiting" else "")


def _unplanned(site: Site, rng: Random) -> Iterator[_Piece]:
    electrician, roofer = site.crew.electrician, site.crew.roof[0]
    if rng.random() < WAITING:
        yield _Piece(electrician, rng.uniform(30, 180), "waiting", "", rng.choice(WAITING_CAUSES))
    if rng.random() < REWORK:
        person = rng.choice((electrician, roofer))
        yield _Piece(person, rng.uniform(90, 420), "rework", "", rng.choice(REWORK_CAUSES))


def _by_person(pieces: Sequence[_Piece]) -> dict[str, float]:
    found: dict[str, float] = {}
    for piece in pieces:
        found[piece.person] = found.get(piece.person, 0.0) + piece.minutes
    return found


def _laid(pieces: Sequence[_Piece], days: Sequence[date], crew: str) -> Iterator[Worked]:
    """Lay each person's pieces one after the other over the days, the same length each day."""
    merged: dict[tuple[str, str, str, str], float] = {}
    for piece in pieces:
        key = (piece.person, piece.group, piece.task, piece.cause)
        merged[key] = merged.get(key, 0.0) + piece.minutes
    for person, total in _by_person(pieces).items():
        span, at = total / len(days), 0.0
        for (who, group, task, cause), minutes in merged.items():
            if who != person:
                continue
            for number, begun, part in _spread(at, minutes, span, len(days)):
                yield Worked(person, crew, days[number], DAY_BEGINS + round(begun), part, group,
                             task, cause)
            at += minutes


def _spread(at: float, minutes: float, span: float, days: int) -> Iterator[tuple[int, float, int]]:
    """Yield day, minutes into it and whole minutes of each part of a piece that begins at `at`."""
    ends = at + minutes
    for number in range(days):
        begun = max(at, number * span)
        until = ends if number == days - 1 else min(ends, (number + 1) * span)
        if part := round(max(0.0, until - begun)):
            yield number, begun - number * span, part
