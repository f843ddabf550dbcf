"""Which supplier gets which line, so that goods, carriage, surplus and lateness cost least.

    lines with their choices ──> forced or searched to the end ──> proven
                             └─> else the solver, within limits ──> the best of its plan and ours

What a basket costs stands at the head of `basket_cost`. Choices that a lock, a left-out supplier or
a hard date forbids are taken out first (`allowed`); `basket_choices` tells what is then wrong.

The result is never dearer than the best single supplier, nor than the cheapest goods line by line:
both are costed in the same way and are among the plans to choose from, also where the solver stops
at its limits or fails.

Ties: where the exact search ended, the cheapest plan, of these one with fewest orders, of these the
one whose suppliers' names come first, of these the one with the cheapest goods in the first lines.
Where the solver decided, the cheapest, then fewest orders; beyond that the same plan every run.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import TYPE_CHECKING, Literal

from estimator.buying.basket_cost import Plan, plan_of
from estimator.buying.basket_search import least_cost, search
from estimator.buying.basket_values import BasketLine, Terms, Wanted

if TYPE_CHECKING:
    from estimator.buying.basket_solver import Limits

FEW_SUPPLIERS = 6  # so many are tried in every combination before the search

How = Literal["forced", "searched", "solved", "stopped at the limit"]


@dataclass(frozen=True, slots=True)
class Single:
    """What one supplier would charge for all lines; `missing` are the keys it cannot supply."""

    supplier: str
    plan: Plan | None
    missing: tuple[str, ...]


@dataclass(frozen=True)
class Split:
    """The basket, what it is measured against, and how far it is proven.

    Attributes:
        plan: the basket.
        greedy: each line where its goods are cheapest.
        singles: every supplier alone: those that can supply all by cost, then the others by what
            they miss.
        bound_minor: a cost that no basket can beat; `gap_minor` is how far the plan is above it.
    """

    plan: Plan
    greedy: Plan
    singles: tuple[Single, ...]
    bound_minor: int
    how: How

    @property
    def gap_minor(self) -> int:
        """Return what could be saved at the most by a better plan; 0 = none is better."""
        return self.plan.total_minor - self.bound_minor

    @property
    def single(self) -> Single | None:
        """Return the cheapest supplier that can supply all; None if none can."""
        first = self.singles[0] if self.singles else None
        return first if first is not None and first.plan is not None else None

    @property
    def saved_on_single_minor(self) -> int | None:
        """Return what the plan costs less than the best single supplier."""
        best = self.single
        if best is None or best.plan is None:
            return None
        return best.plan.total_minor - self.plan.total_minor

    @property
    def saved_on_greedy_minor(self) -> int:
        """Return what the plan costs less than the cheapest goods line by line."""
        return self.greedy.total_minor - self.plan.total_minor


def allowed(
    line: BasketLine, wanted: Wanted, locked: str | None = None,
    left_out: Collection[str] = (),
) -> BasketLine | None:
    """Return the line with the choices that may be taken; None if there are none."""
    choices = tuple(
        choice for choice in line.choices
        if choice.supplier not in left_out and wanted.in_time(choice)
        and (locked is None or choice.supplier == locked)
    )
    return replace(line, choices=choices) if choices else None


def split_basket(
    lines: Sequence[BasketLine], terms: Mapping[str, Terms], wanted: Wanted,
    limits: Limits | None = None, *, with_solver: bool = True,
) -> Split:
    """Return the cheapest basket.

    Args:
        lines: each with the choices that may be taken, made by `line_of` and sifted by `allowed`.
        terms: what suppliers ask beside the price; one that is not named asks nothing.
        wanted: the day of the order, the day needed, what waiting costs.
        limits: of the solver.
        with_solver: whether it is asked where the search does not end.

    Raises:
        ValueError: if two lines have one key, or a line has no choice.
    """
    if len({line.key for line in lines}) < len(lines):
        raise ValueError("two lines of a basket have one key")
    if any(not line.choices for line in lines):
        raise ValueError("a line has no choice")
    ordered = sorted(lines, key=lambda line: line.key)
    greedy = plan_of(ordered, [0] * len(ordered), terms, wanted)
    singles = _singles(ordered, terms, wanted)
    if all(len(line.choices) == 1 for line in ordered):
        return Split(greedy, greedy, singles, greedy.total_minor, "forced")
    known = [greedy, *(each.plan for each in singles if each.plan is not None)]
    known += _few(ordered, terms, wanted)
    start = min(known, key=lambda plan: plan.rank)
    searched = search(ordered, terms, wanted, start)
    if searched.complete:
        total_minor = searched.plan.total_minor
        return Split(searched.plan, greedy, singles, total_minor, "searched")
    if not with_solver:
        bound = min(least_cost(ordered, terms, wanted), searched.plan.total_minor)
        return Split(searched.plan, greedy, singles, bound, "stopped at the limit")
    plan, bound, how = _solved(ordered, terms, wanted, searched.plan, limits)
    return Split(plan, greedy, singles, bound, how)


def _solved(
    lines: Sequence[BasketLine], terms: Mapping[str, Terms], wanted: Wanted, best: Plan,
    limits: Limits | None,
) -> tuple[Plan, int, How]:
    from estimator.buying.basket_solver import Limits, solve  # loaded where the search stops

    solved = solve(lines, terms, wanted, limits or Limits())
    plan = min([best, *([solved.plan] if solved.plan else [])], key=lambda each: each.rank)
    bound = max(least_cost(lines, terms, wanted), solved.bound_minor or 0)
    return plan, min(bound, plan.total_minor), "solved" if solved.complete else (
        "stopped at the limit")


def _singles(
    lines: Sequence[BasketLine], terms: Mapping[str, Terms], wanted: Wanted
) -> tuple[Single, ...]:
    names = sorted({choice.supplier for line in lines for choice in line.choices})
    found = [_single(name, lines, terms, wanted) for name in names]
    return tuple(sorted(found, key=lambda each: (
        len(each.missing), each.plan.total_minor if each.plan else 0, each.supplier)))


def _single(
    supplier: str, lines: Sequence[BasketLine], terms: Mapping[str, Terms], wanted: Wanted
) -> Single:
    """Return what a supplier alone would charge, by the best of its choices for each line."""
    missing = tuple(
        line.key for line in lines if all(c.supplier != supplier for c in line.choices))
    if missing or not lines:
        return Single(supplier, None, missing)
    start = min(_within(lines, (supplier,), terms, wanted), key=lambda plan: plan.rank)
    picks = [[at for at, c in enumerate(line.choices) if c.supplier == supplier] for line in lines]
    if all(len(each) == 1 for each in picks):
        return Single(supplier, start, ())
    own = [replace(line, choices=tuple(line.choices[at] for at in each))
           for line, each in zip(lines, picks, strict=True)]
    first = plan_of(own, [each.index(pick) for each, pick in zip(picks, start.picks, strict=True)],
                    terms, wanted)
    best = search(own, terms, wanted, first).plan
    return Single(supplier, plan_of(
        lines, [each[pick] for each, pick in zip(picks, best.picks, strict=True)], terms, wanted),
        ())


def _few(
    lines: Sequence[BasketLine], terms: Mapping[str, Terms], wanted: Wanted
) -> Iterator[Plan]:
    """Yield the cheapest goods from every few suppliers, if there are not too many to try."""
    names = sorted({choice.supplier for line in lines for choice in line.choices})
    if len(names) > FEW_SUPPLIERS:
        return
    for count in range(2, len(names) + 1):
        for some in combinations(names, count):
            yield from _within(lines, some, terms, wanted)


def _within(
    lines: Sequence[BasketLine], suppliers: Collection[str], terms: Mapping[str, Terms],
    wanted: Wanted,
) -> Iterator[Plan]:
    """Yield the cheapest goods from these suppliers, for each number of days the job may wait."""
    days = sorted({wanted.days_late(choice) for line in lines for choice in line.choices})
    for most in days if wanted.late_per_day_minor else days[-1:]:
        picks = []
        for line in lines:
            fitting = [at for at, choice in enumerate(line.choices)
                       if choice.supplier in suppliers and wanted.days_late(choice) <= most]
            picks.append(fitting[0] if fitting else -1)
        if -1 not in picks:
            yield plan_of(lines, picks, terms, wanted)
