"""Cuts made together, told job by job: which bars each job begins, and what it takes of others'.

A bar is begun by the first job that cuts from it; that job's pieces come off first, and the rest is
kept for the jobs after it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from estimator.buying.cutting.model import Cut, CutBar
from estimator.buying.joint_cutting import BETWEEN, JointCut


@dataclass(frozen=True, slots=True)
class Left:
    """A piece that a later job takes of a bar: job, where it goes, length."""

    job: str
    label: str
    length_mm: int


@dataclass(frozen=True)
class JobShare:
    """What a job does of cuts made together.

    Attributes:
        bars: new bars that it begins, with its own pieces alone, longest first; the offcut of each
            is what is left for others.
        left: of each of these bars, what later jobs take of it.
        bought: code -> how many these bars are.
    """

    job: str
    bars: tuple[CutBar, ...]
    left: tuple[tuple[Left, ...], ...]

    @property
    def bought(self) -> dict[str, int]:
        """Return how many new bars of each code the job begins."""
        counts: dict[str, int] = {}
        for bar in self.bars:
            counts[bar.code] = counts.get(bar.code, 0) + 1
        return counts


def shares_of(joint: JointCut) -> tuple[JobShare, ...]:
    """Return what each job does, in the order in which they are cut.

    Nothing, if it saves no bar or some job would begin more bars of a code than by itself: what is
    reserved for the job would not be enough then, and each is cut for itself.
    """
    found = tuple(_share(joint, job) for job in joint.jobs)
    more = any(count > joint.alone_by_job[each.job].get(code, 0)
               for each in found for code, count in each.bought.items())
    return () if more or joint.bars_saved <= 0 else found


def not_bought(joint: JointCut) -> dict[tuple[str, str], int]:
    """Return how many bars of a code each job need not buy, by code and job."""
    saved = {(code, share.job): count - share.bought.get(code, 0)
             for share in shares_of(joint)
             for code, count in joint.alone_by_job[share.job].items()}
    return {key: count for key, count in sorted(saved.items()) if count}


def _share(joint: JointCut, job: str) -> JobShare:
    bars, left = [], []
    for bar in joint.plan.bars:
        if bar.bought and min(map(joint.jobs.index, map(_job, bar.cuts))) == joint.jobs.index(job):
            bars.append(_begun(bar, job, joint.plan.kerf_mm))
            left.append(tuple(Left(_job(each), _label(each), each.length_mm)
                              for each in bar.cuts if _job(each) != job))
    return JobShare(job, tuple(bars), tuple(left))


def _begun(bar: CutBar, job: str, kerf_mm: int) -> CutBar:
    """Return a bar with the pieces of one job alone, cut first."""
    mine: Sequence[Cut] = sorted((each for each in bar.cuts if _job(each) == job),
                                 key=lambda each: (-each.length_mm, each.label))
    cuts, at = [], 0
    for each in mine:
        cuts.append(Cut(_label(each), each.length_mm, at + each.length_mm))
        at += each.length_mm + kerf_mm
    others = len(mine) < len(bar.cuts)
    return CutBar(bar.code, bar.length_mm, True, tuple(cuts), max(0, bar.length_mm - at),
                  bar.kept or others)


def _job(each: Cut) -> str:
    return each.label.partition(BETWEEN)[0]


def _label(each: Cut) -> str:
    return each.label.partition(BETWEEN)[2]
