"""A rule book: rules, tasks, risks, checks, assumptions and computed facts, compiled."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from typing import Any, Literal, NamedTuple

from catalogue.money import Money
from catalogue.problems import Place
from estimator.design.sheet import Environment, Scope, Value
from estimator.rules.facts import FactDef, FactType

Level = Literal["fine", "caution", "stop"]
PARTS = ("job", "storage", "panels", "converter", "backup")


class Span(NamedTuple):
    """A piece of a formula that stands for one value: a fact, or a sum over planes or legs.

    Attributes:
        start, end: where it stands in the text, in characters.
        paths: the facts it reads.
        run: environment -> its value.
        across: whether it goes over every plane or leg.
        open_paths: the facts it reads for their value, not only for being known.
    """

    start: int
    end: int
    paths: tuple[str, ...]
    run: Callable[[Environment], Any]
    across: bool
    open_paths: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Formula:
    """A compiled expression.

    Attributes:
        text: as written in the rule file.
        type: what it yields.
        paths: the facts it names, in order of appearance.
        run: environment -> value; Unknown only when the answer hangs on an unknown fact. Raises
            `exact.FormulaFailed` if there is no answer, as with division by zero.
        spans: the pieces that stand for one value each, in order.
        conjuncts: what stands between the `and`s, if the formula is such a chain.
        words: every word it can yield, if it yields text and they are known.
        sides: left and right of an order comparison of numbers, if the formula is one.
    """

    text: str
    type: FactType
    paths: tuple[str, ...]
    run: Callable[[Environment], Value]
    spans: tuple[Span, ...] = ()
    conjuncts: tuple[Formula, ...] = ()
    words: tuple[str, ...] = ()
    sides: tuple[Formula, Formula] | None = None


@dataclass(frozen=True, slots=True)
class Selector:
    """Which catalogue item a rule asks for: family, role and demands on its specification.

    Each demand maps a specification field to a formula: `exactly` (equal), `at_least`, `at_most`
    (numbers; yes counts above no), `includes` (the field is a list that holds the value).
    `code` names one item outright (the chosen panel, converter or storage module).
    """

    family: str
    role: str
    exactly: tuple[tuple[str, Formula], ...] = ()
    at_least: tuple[tuple[str, Formula], ...] = ()
    at_most: tuple[tuple[str, Formula], ...] = ()
    includes: tuple[tuple[str, Formula], ...] = ()
    code: Formula | None = None


@dataclass(frozen=True, slots=True)
class MaterialRule:
    """If `when` holds, the job needs `quantity` of an item, because ...

    `runs`: how many lengths of cable the quantity is, each unbroken; None = one.
    """

    id: str
    part: str
    each: Scope
    when: Formula
    quantity: Formula
    selector: Selector
    because: str
    where: Place
    option: bool = False
    runs: Formula | None = None


@dataclass(frozen=True, slots=True)
class TaskRule:
    """If `when` holds, somebody does `units` of a task whose minutes stand in the norms.

    `people` do it together where that is more than the norm's crew; None = the crew.
    """

    id: str
    part: str
    each: Scope
    when: Formula
    units: Formula
    norm: str
    because: str
    where: Place
    people: Formula | None = None


@dataclass(frozen=True, slots=True)
class RiskRule:
    """If `when` holds (or hangs on an unknown fact), the cost may come with this chance.

    `holds_if` says it to the customer the other way round: "the price holds if ...".
    """

    id: str
    part: str
    each: Scope
    when: Formula
    chance: Decimal
    cost: Money
    because: str
    where: Place
    closed_by: str = ""
    holds_if: str = ""


@dataclass(frozen=True, slots=True)
class CheckRule:
    """If `when` holds, a finding is raised."""

    id: str
    part: str
    each: Scope
    when: Formula
    level: Level
    says: str
    source: str
    decides: str
    where: Place


@dataclass(frozen=True, slots=True)
class AssumeRule:
    """While a surveyed fact is unknown, price with this value, say so, and keep the question.

    With a condition it assumes only where that surely holds. `dearest` says that no answer costs
    more: the price then holds whatever it is, and the customer is told no condition.
    """

    id: str
    part: str
    fact: str
    value: Formula
    because: str
    where: Place
    when: Formula | None = None
    dearest: bool = False


@dataclass(frozen=True, slots=True)
class ComputedFact:
    """A fact that follows from others by a formula; rules read it like any other."""

    fact: FactDef
    value: Formula
    where: Place


Rule = MaterialRule | TaskRule | RiskRule | CheckRule | AssumeRule


@dataclass(frozen=True)
class RuleBook:
    """Everything loaded and checked, in file order; computed facts in order of need."""

    facts: Mapping[str, FactDef]
    computed: tuple[ComputedFact, ...]
    materials: tuple[MaterialRule, ...]
    tasks: tuple[TaskRule, ...]
    risks: tuple[RiskRule, ...]
    checks: tuple[CheckRule, ...]
    assumptions: tuple[AssumeRule, ...]

    @cached_property
    def formulas(self) -> Mapping[str, Formula]:
        """Return the formula of every computed fact by the fact's path."""
        return {each.fact.path: each.value for each in self.computed}

    @cached_property
    def reads(self) -> Mapping[str, tuple[str, ...]]:
        """Return every fact that a rule reads, also through computed facts, by the rule's id."""
        from estimator.rules.reads import reads_by_rule  # it is built on this module

        return reads_by_rule(self)

    @cached_property
    def rules(self) -> tuple[Rule, ...]:
        """Return every rule: materials, tasks, risks, checks, assumptions."""
        return (*self.materials, *self.tasks, *self.risks, *self.checks, *self.assumptions)
