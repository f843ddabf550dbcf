"""Where did the quote and the job part, head by head?

From the margin that was quoted to the margin that was made: what agreed variations did to it, and
then what each head cost more or less than its standard. Every step is a plain difference, so they
lead from the one to the other exactly.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from estimator.review.report import Cell, Chart, Report, ReportColumn
from estimator.review.wording import amount, count, per_cent

QUOTED, VARIED, MADE = "margin as quoted", "agreed variations", "margin made"
NO_LINES = "reckoned without lines"


class Head(NamedTuple):
    """A cost head; `task_group` is that of labour, else ""."""

    kind: str
    head: str
    task_group: str = ""

    @property
    def told(self) -> str:
        """Return it as a person reads it: labour by group, the rest by its head."""
        if self.kind == "labour":
            return f"labour, {self.task_group or 'no group'}"
        if self.kind in ("overhead", "provision"):
            return f"{self.kind}, {self.head}" if self.kind == "provision" else self.kind
        return self.head or self.kind


@dataclass(frozen=True, slots=True)
class Quoted:
    """The jobs as first accepted and as they stand with the variations agreed, in minor units."""

    jobs: int
    first_net_minor: int
    first_cost_minor: int
    net_minor: int
    standard_minor: int
    held_minor: int


def waterfall(quoted: Quoted, planned: Mapping[Head, int], actual: Mapping[Head, int],
              currency: str) -> Report:
    """Return the report on what led from the margin quoted to the margin made.

    Args:
        quoted: the jobs.
        planned: cost of the standard by head, with what is still held for warranty in it.
        actual: cost by head, without what is held.
        currency: of all amounts.
    """
    steps = _steps(quoted, planned, actual)
    first = quoted.first_net_minor - quoted.first_cost_minor
    made = first + sum(step for _, step, _, _ in steps)
    rows: list[tuple[Cell, ...]] = [
        (QUOTED, None, None, first),
        *((name, plan, cost, step) for name, step, plan, cost in steps),
        (MADE, None, None, made)]
    return Report(
        name="waterfall", question="Where did the quote and the job part, head by head?",
        answer=_answer(quoted, steps, first, made, currency),
        columns=(
            ReportColumn("step", "Step"),
            ReportColumn("standard_minor", "Reckoned cost", "money"),
            ReportColumn("actual_minor", "Actual cost", "money"),
            ReportColumn("margin_minor", "To the margin", "money")),
        rows=tuple(rows), currency=currency, jobs=quoted.jobs,
        chart=Chart("waterfall", "step", ("margin_minor",)) if quoted.jobs else None,
        cautions=("Actual cost holds what is still set aside for returns under warranty; a return "
                  "is paid from it and stands under labour, rework.",))


_Step = tuple[str, int, int | None, int | None]


def _steps(quoted: Quoted, planned: Mapping[Head, int], actual: Mapping[Head, int]
           ) -> list[_Step]:
    """Return each step with what was reckoned and what it cost; the largest losses first."""
    varied = (quoted.net_minor - quoted.standard_minor) - (
        quoted.first_net_minor - quoted.first_cost_minor)
    costs: dict[str, list[int]] = {}
    for at, side in enumerate((planned, actual)):
        for head, minor in side.items():
            costs.setdefault(head.told, [0, 0])[at] += minor
    if quoted.held_minor:
        costs.setdefault("provision, warranty", [0, 0])[1] += quoted.held_minor
    if rest := quoted.standard_minor - sum(planned.values()):
        costs.setdefault(NO_LINES, [0, 0])[0] += rest
    heads = sorted((plan - cost, name) for name, (plan, cost) in costs.items())
    told: list[_Step] = [(name, step, *_pair(costs[name])) for step, name in heads
                         if any(costs[name])]
    return [(VARIED, varied, None, None), *told] if varied else told


def _pair(both: Sequence[int]) -> tuple[int, int]:
    return both[0], both[1]


def _answer(quoted: Quoted, steps: Sequence[_Step], first: int, made: int, currency: str
            ) -> tuple[str, ...]:
    if not quoted.jobs:
        return ("No job was finished in the period.",)
    before = first / quoted.first_net_minor if quoted.first_net_minor else None
    after = made / quoted.net_minor if quoted.net_minor else None
    said = [f"{count(quoted.jobs, 'job')} were quoted with a margin of {amount(first, currency)} "
            f"({per_cent(before)}) and made {amount(made, currency)} ({per_cent(after)})."
            if quoted.jobs > 1 else
            f"1 job was quoted with a margin of {amount(first, currency)} ({per_cent(before)}) and "
            f"made {amount(made, currency)} ({per_cent(after)})."]
    lost = sorted(((name, -step) for name, step, *_ in steps if step < 0),
                  key=lambda each: -each[1])[:3]
    if lost:
        said.append("Most was lost by " + "; ".join(
            f"{name} ({amount(minor, currency)})" for name, minor in lost) + ".")
    won = max(steps, key=lambda each: each[1], default=None)
    if won is not None and won[1] > 0:
        said.append(f"Most was won by {won[0]} ({amount(won[1], currency)}).")
    return tuple(said)
