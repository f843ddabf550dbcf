"""Every check of a designed job: is it safe, allowed and buildable, and what must it be built of?

Each set of checks sees the facts that the sets before it found. A set loads only for a job that
has its part: a quote for storage alone never reads the arithmetic of roofs.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from estimator.design.case import Case, Outcome, with_outcome
from estimator.design.check import SEVERITY, Check, Unanswered, Worked
from estimator.design.sheet import FactSheet

if TYPE_CHECKING:
    from estimator.design.siting.wall_layout import WallLayout

Judge = Callable[[Case], Outcome]


@dataclass(frozen=True)
class Judgement:
    """What all checks of a job found.

    Attributes:
        checked: outcomes, worst first.
        unanswered: checks that lack a fact.
        worked: answers with the way they were reached.
        walls: layouts of walls, by what hangs or stands there ("storage", "converter").
        strings: of the planes that face alike, as `Outcome.strings`.
    """

    checked: tuple[Check, ...] = ()
    unanswered: tuple[Unanswered, ...] = ()
    worked: tuple[Worked, ...] = ()
    walls: Mapping[str, WallLayout] = field(default_factory=dict)
    strings: tuple[Mapping[int, tuple[int, ...]], ...] = ()


def judge_design(case: Case) -> tuple[Judgement, FactSheet]:
    """Return what the checks found, and the sheet with what they worked out for the rules."""
    outcomes = []
    for judge in _judges(case.sheet.parts):
        outcome = judge(case)
        outcomes.append(outcome)
        case = with_outcome(case, outcome)
    told = [each for outcome in outcomes for each in outcome.told]
    checked = sorted((each for each in told if isinstance(each, Check)),
                     key=lambda each: SEVERITY[each.level])
    return Judgement(
        tuple(checked), tuple(each for each in told if isinstance(each, Unanswered)),
        tuple(each for outcome in outcomes for each in outcome.worked),
        {name: wall for outcome in outcomes for name, wall in outcome.walls.items()},
        tuple(group for outcome in outcomes for group in outcome.strings),
    ), case.sheet


def _judges(parts: frozenset[str]) -> Iterator[Judge]:
    """Yield the sets of checks of a job, in the order in which they build on each other."""
    from estimator.design.electrical.judge_circuit import judge_circuit
    from estimator.design.lifting.judge import judge_lifting
    from estimator.design.network.judge import judge_network

    if "storage" in parts:
        from estimator.design.siting.judge_place import judge_storage_place

        yield judge_storage_place
    if "panels" in parts:
        from estimator.design.electrical.judge_strings import judge_strings
        from estimator.design.judge_fit import judge_fit
        from estimator.design.structure.judge_roof import judge_roof

        yield judge_fit
        yield judge_strings
        yield judge_roof
    if parts & {"storage", "converter"}:
        from estimator.design.siting.judge_wall import judge_wall
        from estimator.design.structure.judge_anchors import judge_anchors

        yield judge_wall
        yield judge_anchors
    yield judge_circuit
    yield judge_network
    yield judge_lifting
