"""The cheapest cut of a task, with a proven bound: the quick ways first, the costly ones last."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from estimator.buying.cutting.bound import Sums, quick_bound
from estimator.buying.cutting.fit import cost_of, fitted
from estimator.buying.cutting.lay_out import plan_of
from estimator.buying.cutting.linear import Relaxed, relaxed
from estimator.buying.cutting.model import CutPlan, Task
from estimator.buying.cutting.patterns import patterns_of
from estimator.buying.cutting.room import Pattern, Room, room_of
from estimator.buying.cutting.search import Search, completed, rounded

PATTERNS = 2_000  # beyond it the relaxation in whole numbers takes seconds
STEPS = 4_000
SECONDS = 10.0
FITTED = "best fit, longest piece first"
SEARCHED = "search of all cuts"
GIVEN_UP = "search of cuts, given up"
SOLVED = "mixed-integer solver over all patterns"
GENERATED = "mixed-integer solver over generated patterns"


class Effort(NamedTuple):
    """How much is spent on a cut.

    Attributes:
        seconds: what the solver may take; on a busy machine a time that runs out may leave another
            cut, never a wrong bound. 0 = never ask the solver.
        steps: bars that the search lays out before it gives up.
        patterns: most patterns that it sets out with.
    """

    seconds: float = SECONDS
    steps: int = STEPS
    patterns: int = PATTERNS


class Best(NamedTuple):
    """A cut as patterns, and its proven least cost in thousandths of a minor unit."""

    patterns: list[Pattern]
    least: Fraction | int
    method: str

    @property
    def cost(self) -> int:
        """Return its cost in thousandths of a minor unit."""
        return cost_of(self.patterns)


def cut(task: Task, effort: Effort | None = None) -> CutPlan:
    """Return the cheapest cut that is found, and a bound that says how good it is.

    A task the size of a house is cut by the rules of the textbooks or by a complete search, and
    proven best. Where the search gives up a mixed-integer solver goes on.

    Args:
        task: what is to be cut from what.
        effort: how much is spent on it.
    """
    room = room_of(task)
    best = best_cut(room, effort or Effort())
    return plan_of(task, room, best.patterns, Fraction(best.least), best.method)


def best_cut(room: Room, effort: Effort, below: Fraction | int | None = None) -> Best:
    """Return the cheapest cut of a task that is boiled down.

    Args:
        room: the task.
        effort: how much is spent on it.
        below: a cut that costs no less, in thousandths of a minor unit, is of no use: then the
            search stops early.
    """
    if not room.wanted:
        return Best([], 0, FITTED)
    known = fitted(room, room.wanted)
    cost, bound = cost_of(known), quick_bound(room)
    if bound >= cost:
        return Best(known, cost, FITTED)
    sums = Sums(room, cost)
    least = sums.up(bound)
    if least >= cost or (below is not None and least >= below):
        return Best(known, min(least, cost), FITTED)
    patterns = patterns_of(room, effort.patterns)
    if patterns is None:
        return _large(room, known, bound, sums, effort)
    return _enumerated(room, patterns, known, sums, effort, below)


def _enumerated(
    room: Room, patterns: list[Pattern], known: list[Pattern], sums: Sums, effort: Effort,
    below: Fraction | int | None,
) -> Best:
    """Cut a task whose patterns can all be listed."""
    prices = relaxed(room, patterns)
    least = sums.up(prices.least(room.wanted, room.supplies))
    if below is not None and least >= below:
        return Best(known, min(least, cost_of(known)), GIVEN_UP)
    known, complete = _search(room, prices, sums, known, least, effort.steps)
    if complete or cost_of(known) <= least:
        return Best(known, cost_of(known), SEARCHED)
    if effort.seconds:
        from estimator.buying.cutting.solver import solved  # a house never comes this far

        found, proven = solved(room, patterns, known, effort.seconds)
        return Best(found, min(max(least, sums.up(proven)), cost_of(found)), SOLVED)
    return Best(known, least, GIVEN_UP)


def _search(
    room: Room, prices: Relaxed, sums: Sums, known: list[Pattern], least: int, steps: int
) -> tuple[list[Pattern], bool]:
    """Return the best cut found, and whether the search was complete.

    First what the whole bars of the relaxation leave is searched, then everything.
    """
    start = rounded(room, prices)
    known = min((known, completed(room, *start)), key=cost_of)
    if cost_of(known) <= least:
        return known, True
    part = Search(room, prices, sums, known, steps)
    part.run(start[1], start[2], start[0])
    if part.best_cost <= least:
        return part.best, True
    whole = Search(room, prices, sums, part.best, steps)
    whole.run(room.wanted, room.supplies, [])
    return whole.best, whole.complete


def _large(
    room: Room, known: list[Pattern], bound: Fraction, sums: Sums, effort: Effort
) -> Best:
    """Cut a task of too many patterns to list: they are generated as the solver asks for them."""
    if effort.seconds:
        from estimator.buying.cutting.solver import generated, solved

        patterns, least = generated(room, known, effort.seconds / 2)
        bound = max(bound, least)
        known, _ = solved(room, patterns, known, effort.seconds / 2)
    proven = min(sums.up(bound), cost_of(known))
    return Best(known, proven, GENERATED if effort.seconds else FITTED)
