"""What the rules yield for one job: demand, tasks, risks, findings, questions, and why."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Literal

from catalogue.items import Item
from catalogue.money import Money
from estimator.rules.model import Level


@dataclass(frozen=True, slots=True)
class FactUsed:
    """One fact as a rule read it."""

    path: str
    value: Any
    unit: str
    origin: str
    evidence: str
    source: str
    place: str
    words: str = ""


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a line or a task is there.

    Attributes:
        rule: id of the rule; `file` and `line` say where it is written.
        because: the sentence of the rule.
        on: name of the roof plane or cable leg, or "".
        when: condition as written.
        formula: quantity as written.
        numbers: the quantity formula with the values in place of the names.
        quantity: what the formula gave.
        facts: every fact read, with evidence and source.
        assumed: whether a fact was priced by assumption.
    """

    rule: str
    file: str
    line: int
    because: str
    on: str
    when: str
    formula: str
    numbers: str
    quantity: Decimal
    facts: tuple[FactUsed, ...]
    assumed: bool = False


@dataclass(frozen=True, slots=True)
class Requirement:
    """What an item must be to serve: family, role and resolved demands on its specification."""

    family: str
    role: str
    exactly: tuple[tuple[str, Any], ...] = ()
    at_least: tuple[tuple[str, Any], ...] = ()
    at_most: tuple[tuple[str, Any], ...] = ()
    includes: tuple[tuple[str, Any], ...] = ()
    code: str = ""

    def serves(self, item: Item) -> bool:
        """Return whether an item meets every demand; a blank data-sheet field never does."""
        if self.code:
            return item.code == self.code
        if item.family != self.family or self.role not in item.roles:
            return False
        return (
            all(_has(item, f, lambda x, v=v: x == v) for f, v in self.exactly)
            and all(_has(item, f, lambda x, v=v: x >= v) for f, v in self.at_least)
            and all(_has(item, f, lambda x, v=v: x <= v) for f, v in self.at_most)
            and all(_has(item, f, lambda x, v=v: v in x) for f, v in self.includes)
        )

    def __str__(self) -> str:
        """Return the demand in words: role, then each demand on the specification."""
        demands = [
            *(f"{f} = {_said(v)}" for f, v in self.exactly),
            *(f"{f} at least {_said(v)}" for f, v in self.at_least),
            *(f"{f} at most {_said(v)}" for f, v in self.at_most),
            *(f"{f} includes {_said(v)}" for f, v in self.includes),
        ]
        words = self.code or self.role
        return f"{words} ({', '.join(demands)})" if demands else words


def _said(value: Any) -> str:
    return ("yes" if value else "no") if isinstance(value, bool) else str(value)


def _has(item: Item, field: str, test: Any) -> bool:
    value = getattr(item.spec, field, None)
    return value is not None and bool(test(value))


@dataclass(frozen=True, slots=True)
class Demand:
    """So much of something is needed; the item is the cheapest that serves.

    `runs`: the lengths that the quantity is made of, each unbroken; they add up to it.
    """

    requirement: Requirement
    item: Item
    quantity: Decimal
    reason: Reason
    option: bool = False
    runs: tuple[Decimal, ...] = ()


@dataclass(frozen=True, slots=True)
class TaskNeed:
    """So many units of a task; `people` do it together if that is more than the norm's crew."""

    norm: str
    units: Decimal
    reason: Reason
    people: int = 0


@dataclass(frozen=True, slots=True)
class Risk:
    """An open risk: chance times cost goes to the contingency."""

    id: str
    chance: Decimal
    cost: Money
    because: str
    open_facts: tuple[str, ...] = ()
    holds_if: str = ""


@dataclass(frozen=True, slots=True)
class Finding:
    """A check and its outcome.

    A stop that a named person lets pass keeps who did it and why. `signed` says that whoever
    decides must put a name to the sum before work starts.
    """

    code: str
    level: Level
    subject: str
    says: str
    source: str
    decides: str
    value: str = ""
    limit: str = ""
    unit: str = ""
    let_pass_by: str = ""
    let_pass_because: str = ""
    signed: bool = False

    @property
    def stops(self) -> bool:
        """Return whether the finding bars a firm price."""
        return self.level == "stop" and not self.let_pass_by


@dataclass(frozen=True, slots=True)
class Question:
    """A fact nobody knows that some rule needs.

    Attributes:
        fact: path as it appears on the sheet ("plane[0].covering").
        asks: the question in words.
        on: name of the plane or leg.
        rules: rules that wait for it.
        low, high: cost of the lines that wait for it at least and at most, in minor units, as far
            as the other facts allow it to be told; None where they do not.
        assumed: the value with which the estimate is priced meanwhile, or "".
        worst: what a check says if the answer turns out badly, or ""; `at_worst` is its level.
    """

    fact: str
    asks: str
    on: str
    rules: tuple[str, ...]
    low: Money | None = None
    high: Money | None = None
    assumed: str = ""
    worst: str = ""
    at_worst: Level | Literal[""] = ""


@dataclass(frozen=True, slots=True)
class NotFired:
    """A rule that added nothing, and what stopped it."""

    rule: str
    family: str
    role: str
    because: str
    on: str
    when: str
    numbers: str
    stopped_by: tuple[FactUsed, ...]
    undecided: bool


@dataclass(frozen=True, slots=True)
class Gap:
    """A rule asks for something that no item in the catalogue provides."""

    rule: str
    requirement: Requirement
    quantity: Decimal
    because: str
    on: str = ""


@dataclass(frozen=True)
class RuleResults:
    """All that the rules yield for one job, in rule order."""

    demands: tuple[Demand, ...]
    tasks: tuple[TaskNeed, ...]
    risks: tuple[Risk, ...]
    findings: tuple[Finding, ...]
    questions: tuple[Question, ...]
    not_fired: tuple[NotFired, ...]
    gaps: tuple[Gap, ...]
    assumptions: tuple[str, ...]
