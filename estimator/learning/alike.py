"""Which finished jobs are most like a new one, by facts of every kind.

Source: J. C. Gower, "A general coefficient of similarity and some of its properties", Biometrics 27
(1971), 857-871: of each fact that both have, words differ by 0 or 1, numbers by their difference
over the range of that fact among all that are compared; the distance is the mean. What one of the
two does not know is left out. From memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

NEAREST = 5
LEAST_SHARED = 0.5  # of the new job's known facts; common practice, no source

Fact = str | float | None
Facts = Mapping[str, Fact]


@dataclass(frozen=True, slots=True)
class Like:
    """A job and how far it is off: 0 alike in all that is known, 1 in nothing."""

    job: str
    distance: float
    compared: int


def ranges_of(*jobs: Facts) -> dict[str, float]:
    """Return the difference between largest and least of each fact that is a number."""
    found: dict[str, list[float]] = {}
    for job in jobs:
        for name, value in job.items():
            if isinstance(value, int | float):
                found.setdefault(name, []).append(value)
    return {name: max(values) - min(values) for name, values in found.items()}


def distance(one: Facts, other: Facts, ranges: Mapping[str, float]) -> tuple[float, int]:
    """Return Gower's distance of two jobs and of how many facts it is the mean; 1 of none.

    Args:
        one, other: facts by name; None and "" are unknown.
        ranges: of the facts that are numbers.
    """
    apart = [_apart(value, other[name], ranges.get(name, 0.0)) for name, value in one.items()
             if _known(value) and _known(other.get(name))]
    return (sum(apart) / len(apart), len(apart)) if apart else (1.0, 0)


def _known(value: Fact) -> bool:
    return value is not None and value != ""


def _apart(one: Fact, other: Fact, wide: float) -> float:
    if isinstance(one, int | float) and isinstance(other, int | float):
        return abs(one - other) / wide if wide else 0.0
    return 0.0 if one == other else 1.0


def nearest(new: Facts, others: Mapping[str, Facts], count: int = NEAREST) -> tuple[Like, ...]:
    """Return the jobs that are most like a new one, the nearest first; ties by name.

    A job that shares fewer than half of the facts that are known of the new one is left out: of
    little knowledge everything looks alike.
    """
    ranges = ranges_of(new, *others.values())
    least = LEAST_SHARED * sum(_known(value) for value in new.values())
    found = (Like(job, *distance(new, facts, ranges)) for job, facts in others.items())
    return tuple(sorted((each for each in found if each.compared and each.compared >= least),
                        key=lambda each: (each.distance, each.job))[:count])
