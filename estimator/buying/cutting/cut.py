"""The cheapest cut of a task, with a proven bound: the quick ways first, the costly ones last."""

from __future__ import annotations

from fractions import Fraction

from estimator.buying.cutting.bound import Sums, quick_bound
from estimator.buying.cutting.fit import cost_of, fitted
from estimator.buying.cutting.lay_out import plan_of
from estimator.buying.cutting.linear import Relaxed, relaxed
from estimator.buying.cutting.model import MILLI, CutPlan, Task
from estimator.buying.cutting.patterns import patterns_of
from estimator.buying.cutting.room import Pattern, Room, room_of
from estimator.buying.cutting.search import Search, completed, rounded

PATTERNS = 2_000  # beyond it the relaxation in whole numbers takes seconds
STEPS = 4_000
SECONDS = 10.0
FITTED = "best fit, longest first; no cut can cost less"
SEARCHED = "search of all cuts"
GIVEN_UP = "search of cuts, given up"
SOLVED = "mixed-integer solver over all patterns"
GENERATED = "mixed-integer solver over generated patterns"


def cut(
    task: Task, seconds: float = SECONDS, steps: int = STEPS, solver: bool = True,
    below: Fraction | None = None,
) -> CutPlan:
    """Return the cheapest cut that is found, and a bound that says how good it is.

    A task the size of a house is cut by the rules of the textbooks or by a complete search, and
    proven best. Where the search gives up a mixed-integer solver goes on, if one is installed.

    Args:
        task: what is to be cut from what.
        seconds: what the solver may take; on a busy machine a time that runs out may leave another
            cut, never a wrong bound.
        steps: bars that the search lays out before it gives up, and without a solver the most
            patterns that it sets out with.
        solver: False = never ask the solver.
        below: a cut that costs no less, in minor units, is of no use: then the search stops early.
    """
    room = room_of(task)
    if not room.wanted:
        return plan_of(task, room, [], Fraction(0), FITTED)
    known = fitted(room, room.wanted)
    bound = quick_bound(room)
    if Sums(room, cost_of(known)).up(bound) >= cost_of(known):
        return plan_of(task, room, known, Fraction(cost_of(known)), FITTED)
    patterns = patterns_of(room, PATTERNS if solver else min(PATTERNS, steps))
    if patterns is None:
        return _large(task, room, known, bound, seconds if solver else 0)
    return _enumerated(task, room, patterns, known, seconds if solver else 0, steps, below)


def _enumerated(
    task: Task, room: Room, patterns: list[Pattern], known: list[Pattern], seconds: float,
    steps: int, below: Fraction | None,
) -> CutPlan:
    """Cut a task whose patterns can all be listed."""
    prices = relaxed(room, patterns)
    sums = Sums(room, cost_of(known))
    least = sums.up(prices.least(room.wanted, room.supplies))
    if below is not None and least >= below * MILLI:
        return plan_of(task, room, known, Fraction(least), GIVEN_UP)
    known, complete = _search(room, prices, sums, known, least, steps)
    if complete or cost_of(known) <= least:
        return plan_of(task, room, known, Fraction(cost_of(known)), SEARCHED)
    if seconds:
        from estimator.buying.cutting.solver import solved  # a house never comes this far

        found, proven = solved(room, patterns, known, seconds)
        least = max(least, sums.up(proven))
        return plan_of(task, room, found, Fraction(min(least, cost_of(found))), SOLVED)
    return plan_of(task, room, known, Fraction(least), GIVEN_UP)


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
    task: Task, room: Room, known: list[Pattern], bound: Fraction, seconds: float
) -> CutPlan:
    """Cut a task of too many patterns to list: they are generated as the solver asks for them."""
    if seconds:
        from estimator.buying.cutting.solver import generated, solved

        patterns, least = generated(room, known, seconds / 2)
        bound = max(bound, least)
        known, _ = solved(room, patterns, known, seconds / 2)
    proven = min(Sums(room, cost_of(known)).up(bound), cost_of(known))
    method = GENERATED if seconds else FITTED.partition(";")[0]
    return plan_of(task, room, known, Fraction(proven), method)
