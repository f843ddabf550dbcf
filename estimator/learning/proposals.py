"""New norms that finished jobs speak for, and what they say of crews, coverings and walls.

A norm is proposed only where `LEAST_TO_RANK` jobs or more have it and the interval of its ratio
does not hold 1. Low, likely and high are raised or lowered by the same ratio. A norm of which
people booked the group alone is proposed by the ratio of its group. A covering or wall that stands
apart raises only the norms that are its own, by the group's ratio on it, and none that is common to
all.

What a crew does otherwise than the others is reported and stands in no norm: norms are what the
firm's usual crew takes. What a crew did is held against the same tasks on the same coverings and
walls, so that one that had the slow roofs does not look slow. A crew that alone did a covering
cannot be told from it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import exp, log
from statistics import fmean
from typing import Literal

from catalogue.money import round_half_up
from estimator.labour.norms import Norm
from estimator.learning.booked import Seen
from estimator.learning.ratios import Ratio, UnitRatio
from estimator.outcome.few_jobs import LEAST_TO_RANK, GroupMean, shrunk_means

Verdict = Literal["proposed", "too few jobs", "within chance"]
Points = tuple[Decimal, Decimal, Decimal]


@dataclass(frozen=True, slots=True)
class NormFound:
    """What finished jobs say of one norm.

    Attributes:
        known_by: whether its own hours were booked, or those of its group alone; `nest` is the
            covering or wall whose ratio is taken, or "".
        jobs: how many had it.
        new: the proposed points; None where none are.
    """

    norm: Norm
    known_by: str
    nest: str
    jobs: int
    ratio: Ratio
    verdict: Verdict
    new: Points | None = None

    @property
    def was(self) -> Points:
        """Return the points as they are."""
        return points_of(self.norm)


@dataclass(frozen=True, slots=True)
class Apart:
    """A covering or wall on which a task or a group differs from what it usually takes."""

    unit: UnitRatio
    nest: str
    ratio: Ratio


def points_of(norm: Norm) -> Points:
    """Return low, likely and high."""
    return norm.low, norm.likely, norm.high


def norms_found(
    units: Sequence[UnitRatio], seen: Sequence[Seen], norms: Mapping[str, Norm]
) -> tuple[NormFound, ...]:
    """Return what the jobs say of each norm that they had, by id.

    Args:
        units: the likely ratios of what was seen.
        seen: on the jobs.
        norms: those in force; a task that is none of them is left out.
    """
    by_unit = {(each.known_by, each.unit): each for each in units}
    tasks = sorted({task for each in seen for task in each.tasks} & set(norms))
    return tuple(_found(norms[task], by_unit, [each for each in seen if task in each.tasks])
                 for task in tasks)


def _found(
    norm: Norm, by_unit: Mapping[tuple[str, str], UnitRatio], seen: Sequence[Seen]
) -> NormFound:
    own = by_unit.get(("task", norm.id))
    by_group = [each for each in seen if each.known_by == "group"]
    if own is not None and (own.usual.enough or not by_group):
        return _judged(norm, "task", "", own.usual.jobs, own.usual)
    unit = by_unit["group", by_group[0].group]
    (nest, *others) = sorted({each.nest for each in by_group})
    if not others and nest in unit.apart:
        return _judged(norm, "group", nest, len(by_group), unit.nests[nest])
    usual = [each for each in by_group if each.nest not in unit.apart]
    return _judged(norm, "group", "", len(usual), unit.usual)


def _judged(norm: Norm, known_by: str, nest: str, jobs: int, ratio: Ratio) -> NormFound:
    if jobs < LEAST_TO_RANK:
        return NormFound(norm, known_by, nest, jobs, ratio, "too few jobs")
    new = tuple(_scaled(minutes, ratio.likely) for minutes in points_of(norm))
    if ratio.holds(1.0) or new == points_of(norm):
        return NormFound(norm, known_by, nest, jobs, ratio, "within chance")
    low, likely, high = new
    return NormFound(norm, known_by, nest, jobs, ratio, "proposed", (low, likely, high))


def _scaled(minutes: Decimal, ratio: float) -> Decimal:
    """Return minutes times a ratio, to the minute; below 10 to a tenth, below 2 to a hundredth."""
    exact = Fraction(minutes) * Fraction(ratio)
    places = 0 if exact >= 10 else 1 if exact >= 2 else 2
    rounded = Decimal(round_half_up(exact * 10**places)).scaleb(-places)
    return rounded.normalize() if rounded != rounded.to_integral_value() else Decimal(int(rounded))


def nests_apart(units: Sequence[UnitRatio]) -> Iterator[Apart]:
    """Yield the coverings and walls that stand apart."""
    for unit in units:
        for nest in unit.apart:
            yield Apart(unit, nest, unit.nests[nest])


def crews(seen: Sequence[Seen]) -> dict[str, GroupMean]:
    """Return by crew the logarithm of its jobs' hours over those of the same work in all.

    The hours that a job is held against are its planned ones, each task or group at the ratio that
    all jobs of the same covering or wall had. Jobs of no known crew are left out.
    """
    held = _held_against(seen)
    worked: dict[tuple[str, str], list[float]] = {}
    for each in seen:
        if each.crew:
            both = worked.setdefault((each.crew, each.job), [0.0, 0.0])
            both[0] += each.planned_hours * exp(each.log_ratio)
            both[1] += each.planned_hours * held[each.known_by, each.unit, each.nest]
    logs = {key: log(actual / usual) for key, (actual, usual) in sorted(worked.items())}
    # A mean of logarithms lies below the logarithm of a mean: without this all crews look quick.
    usual_log = fmean(logs.values()) if logs else 0.0
    by_crew: dict[str, list[float]] = {}
    for (crew, _), number in logs.items():
        by_crew.setdefault(crew, []).append(number - usual_log)
    return shrunk_means(by_crew) if by_crew else {}


def _held_against(seen: Sequence[Seen]) -> dict[tuple[str, str, str], float]:
    """Return the ratio of actual to planned hours of each task or group by covering or wall."""
    sums: dict[tuple[str, str, str], list[float]] = {}
    for each in seen:
        both = sums.setdefault((each.known_by, each.unit, each.nest), [0.0, 0.0])
        both[0] += each.planned_hours * exp(each.log_ratio)
        both[1] += each.planned_hours
    return {key: actual / planned for key, (actual, planned) in sums.items()}
