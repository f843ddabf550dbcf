"""How far a job in progress is, part by part: what it earned against what was spent.

Labour is earned by what is said to be done of a task group. Where nobody said, hours stand in:
they say what was put in, not what is done, so such a part is marked. Goods are earned as they are
used, up to what was planned; what is bought in once it was billed; the office's share with the
labour. Provisions are no work, and stand in no budget here.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from estimator.outcome.job_variances import LineVariance, by_head
from estimator.outcome.plan import PlanKind
from estimator.outcome.progress import Progress

WHOLE = Fraction(1)
BY_HOURS, SAID, BY_GOODS, BY_BILL, WITH_LABOUR, DONE = (
    "hours", "stated", "goods used", "billed", "as the labour", "commissioned")


@dataclass(frozen=True, slots=True)
class PartDone:
    """One part of the work, in minor units.

    Attributes:
        done: share of it that is done, 0 to 1.
        measured: by what that is known; see the module.
    """

    kind: PlanKind
    head: str
    budget_minor: int
    done: Fraction
    earned_minor: Fraction
    actual_minor: int
    measured: str


@dataclass(frozen=True)
class JobProgress:
    """How the job stands, part by part and in all."""

    parts: tuple[PartDone, ...]
    whole: Progress
    by_hours: tuple[str, ...]


def job_progress(
    lines: Sequence[LineVariance], done: Mapping[str, Fraction], planned: Fraction,
    *, commissioned: bool = False,
) -> JobProgress:
    """Return how far a job is.

    Args:
        lines: of the job against its standard so far.
        done: task group -> share of it that is done, as somebody said.
        planned: share of the whole that should be done by now.
        commissioned: all of it is done, unless somebody says otherwise.
    """
    work = [line for line in lines if line.kind != "provision"]
    parts: list[PartDone] = []
    labour = [line for line in work if line.kind == "labour"]
    for line in labour:
        share, measured = _labour_done(line, done, commissioned)
        parts.append(_part(line.kind, f"{line.head}, {line.name}", [line], share, measured))
    budget = sum(part.budget_minor for part in parts)
    earned = sum((part.earned_minor for part in parts), Fraction(0))
    with_labour = earned / budget if budget else WHOLE if commissioned else Fraction(0)
    for kind, head in by_head(line for line in work if line.kind != "labour"):
        these = [line for line in work if (line.kind, line.head) == (kind, head)]
        if kind == "goods":
            parts.append(_goods(head, these, commissioned))
        elif kind == "overhead":
            parts.append(_part(kind, head, these, with_labour, WITH_LABOUR))
        else:
            share = WHOLE if commissioned or any(line.actual_minor for line in these) else (
                Fraction(0))
            parts.append(_part(kind, head, these, share, BY_BILL))
    total = Fraction(sum(part.budget_minor for part in parts))
    whole = Progress(
        total, total * planned, sum((part.earned_minor for part in parts), Fraction(0)),
        Fraction(sum(part.actual_minor for part in parts)))
    return JobProgress(tuple(parts), whole, tuple(
        part.head for part in parts if part.measured == BY_HOURS))


def _labour_done(
    line: LineVariance, done: Mapping[str, Fraction], commissioned: bool
) -> tuple[Fraction, str]:
    if line.name in done:
        return done[line.name], SAID
    if commissioned:
        return WHOLE, DONE
    if not line.used or not line.planned:
        return Fraction(0), ""
    return min(WHOLE, line.used / line.planned), BY_HOURS


def _goods(head: str, lines: Sequence[LineVariance], commissioned: bool) -> PartDone:
    budget = sum(line.standard_minor for line in lines)
    earned = sum((line.standard_minor * _used(line, commissioned) for line in lines), Fraction(0))
    return PartDone("goods", head, budget, earned / budget if budget else Fraction(0), earned,
                    sum(line.actual_minor for line in lines), BY_GOODS)


def _used(line: LineVariance, commissioned: bool) -> Fraction:
    if commissioned:
        return WHOLE
    if line.planned:
        return max(Fraction(0), min(WHOLE, line.used / line.planned))
    return WHOLE if line.actual_minor else Fraction(0)


def _part(
    kind: PlanKind, head: str, lines: Sequence[LineVariance], share: Fraction, measured: str
) -> PartDone:
    budget = sum(line.standard_minor for line in lines)
    return PartDone(kind, head, budget, share, budget * share,
                    sum(line.actual_minor for line in lines), measured)
