"""The cuts of several jobs made together, so that the offcut of one serves the next.

The pieces stay as each job's own cut has them, joints and all; only what bar they come from is
chosen anew. So the jobs' own cuts are one way to do it, and together they never cost more. Bars of
one profile that any of the jobs cut side by side (two lengths of a rail) are cut in one task.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from estimator.buying.cutting.cut import Effort, cut
from estimator.buying.cutting.model import Bar, CutPlan, OnHand, Piece, Task

EFFORT = Effort(seconds=4.0)
BETWEEN = ": "  # between the job and the place of a piece


@dataclass(frozen=True, slots=True)
class JobCut:
    """One cut of a job, as it was quoted.

    Attributes:
        pieces: length in mm and where it goes, one for each piece.
        bars: code -> how many bars its own cut takes.
    """

    job: str
    kerf_mm: int
    pieces: tuple[tuple[int, str], ...]
    bars: Mapping[str, int]


@dataclass(frozen=True)
class JointCut:
    """Several jobs' pieces out of the same bars.

    Attributes:
        jobs: in the order in which they are cut.
        alone: code -> bars that all jobs take, each cut for itself; `alone_by_job`: job by job.
        plan: the cut of all together, out of what lies there first.
        together: code -> bars that it would take if nothing lay there.
        saved_minor: price of the bars that cutting together saves, by itself.
        saved_on_hand_minor: price of the bars that what lies there saves on top.
    """

    jobs: tuple[str, ...]
    alone: Mapping[str, int]
    together: Mapping[str, int]
    plan: CutPlan
    saved_minor: int
    saved_on_hand_minor: int
    alone_by_job: Mapping[str, Mapping[str, int]]

    @property
    def bars_saved(self) -> int:
        """Return how many bars fewer are bought than job by job."""
        return sum(self.alone.values()) - sum(self.plan.bought().values())


def joint_cuts(
    cuts: Sequence[JobCut], bars: Mapping[str, Bar],
    on_hand: Mapping[str, Sequence[OnHand]] | None = None, effort: Effort = EFFORT,
    advance: Callable[[int, int], None] = lambda done, of: None,
) -> tuple[JointCut, ...]:
    """Return the jobs' cuts made together, one for each profile, by its first code.

    Args:
        cuts: in the order in which the jobs are done.
        bars: code -> the bar as it is on offer today; every code of the cuts is in it.
        on_hand: code -> pieces that lie there and may be cut up; their value is nought.
        effort: how much is spent on each cut.
        advance: told after each how many of how many are cut.
    """
    there, made = on_hand or {}, []
    profiles = _profiles(cuts)
    for number, codes in enumerate(profiles, start=1):
        made.append(_joint(
            [each for each in cuts if codes & each.bars.keys()], sorted(codes), bars,
            [piece for code in sorted(codes) for piece in there.get(code, ())], effort))
        advance(number, len(profiles))
    return tuple(made)


def _profiles(cuts: Iterable[JobCut]) -> list[set[str]]:
    """Return the codes that are cut side by side, by the first of them."""
    found: list[set[str]] = []
    for each in cuts:
        mine = set(each.bars)
        for other in [codes for codes in found if codes & mine]:
            found.remove(other)
            mine |= other
        if mine:
            found.append(mine)
    return sorted(found, key=min)


def _joint(
    cuts: Sequence[JobCut], codes: Sequence[str], bars: Mapping[str, Bar],
    on_hand: Sequence[OnHand], effort: Effort,
) -> JointCut:
    pieces = tuple(Piece(length, 1, f"{each.job}{BETWEEN}{label}")
                   for each in cuts for length, label in each.pieces)
    offered = tuple(bars[code] for code in codes)
    kerf = max(each.kerf_mm for each in cuts)
    alone: dict[str, int] = {}
    by_job: dict[str, dict[str, int]] = {}
    for each in cuts:
        mine = by_job.setdefault(each.job, {})
        for code, count in each.bars.items():
            alone[code] = alone.get(code, 0) + count
            mine[code] = mine.get(code, 0) + count
    bare = cut(Task(pieces, offered, kerf_mm=kerf), effort)
    plan = cut(Task(pieces, offered, tuple(on_hand), kerf), effort) if on_hand else bare
    cost, bare_cost = _cost(alone, bars), _cost(bare.bought(), bars)
    return JointCut(
        tuple(dict.fromkeys(each.job for each in cuts)), dict(sorted(alone.items())),
        bare.bought(), plan, cost - bare_cost, bare_cost - _cost(plan.bought(), bars), by_job)


def _cost(counts: Mapping[str, int], bars: Mapping[str, Bar]) -> int:
    return sum(bars[code].price_minor * count for code, count in counts.items())
