"""Decides what one rule says in one environment, without prices or catalogue."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal, DecimalException
from fractions import Fraction
from typing import Any, Literal, NamedTuple

from estimator.design.sheet import Environment, Unknown
from estimator.rules.exact import FormulaFailed
from estimator.rules.model import Formula, MaterialRule, Selector, TaskRule
from estimator.rules.results import Requirement

State = Literal["fires", "does not fire", "unknown"]


class Outcome(NamedTuple):
    """What a rule says in one environment.

    Attributes:
        state: whether it fires, does not, or hangs on unknown facts.
        when: value of its condition (true, false or Unknown).
        amount: value of its quantity or units; None if it was not reckoned or it has none.
        missing: the unknown facts it hangs on.
        stopped_by: the formula that stopped it, if it does not fire.
        demands: demands on the item that are known; `open_demands` whether others are not.
        people: of a task, how many do it together at the least; 0 if the rule does not say.
        runs: lengths that the quantity is.
    """

    state: State
    when: Any
    amount: Any = None
    missing: Unknown | None = None
    stopped_by: Formula | None = None
    demands: Requirement | None = None
    open_demands: bool = False
    people: int = 0
    runs: int = 1


def decide_material(rule: MaterialRule, env: Environment) -> Outcome:
    """Return what a material rule says: condition, quantity, demands, then its number of runs.

    Raises:
        FormulaFailed: if a formula has no answer.
    """
    outcome = decide(rule.when, rule.quantity, env, rule.selector)
    if rule.runs is None or outcome.state != "fires":
        return outcome
    runs = answer(rule.runs, env)
    if isinstance(runs, Unknown):
        return outcome._replace(state="unknown", missing=runs)
    return outcome._replace(runs=int(runs))


def decide(when: Formula, amount: Formula | None, env: Environment,
           selector: Selector | None = None) -> Outcome:
    """Return what a rule says: first its condition, then its quantity, then its item's demands.

    A quantity of zero does not fire. While the condition is unknown only its own facts are asked.

    Raises:
        FormulaFailed: if a formula has no answer, as with division by zero.
    """
    holds = answer(when, env)
    if holds is False:
        return Outcome("does not fire", holds, stopped_by=when)
    if isinstance(holds, Unknown):
        return Outcome("unknown", holds, missing=holds)
    value = None if amount is None else answer(amount, env)
    if value is not None and not isinstance(value, Unknown) and value == 0:
        return Outcome("does not fire", holds, value, stopped_by=amount)
    requirement, missing = (None, None) if selector is None else resolve(selector, env)
    open_demands = missing is not None
    if isinstance(value, Unknown):
        missing = value.join(missing)
    if missing is not None:
        return Outcome("unknown", holds, value, missing, None, requirement, open_demands)
    return Outcome("fires", holds, value, None, None, requirement)


def decide_task(rule: TaskRule, env: Environment) -> Outcome:
    """Return what a task says: condition, units, then how many people do it together.

    Raises:
        FormulaFailed: if a formula has no answer.
    """
    outcome = decide(rule.when, rule.units, env)
    if rule.people is None or outcome.state != "fires":
        return outcome
    people = answer(rule.people, env)
    if isinstance(people, Unknown):
        return outcome._replace(state="unknown", missing=people)
    return outcome._replace(people=int(people))


def answer(formula: Formula, env: Environment) -> Any:
    """Return what a formula yields.

    Raises:
        FormulaFailed: if it has no answer; the exception then names the formula.
    """
    try:
        return formula.run(env)
    except FormulaFailed as failure:
        failure.formula = formula
        raise
    except DecimalException as error:
        beyond = FormulaFailed("a number is outside the range of numbers")
        beyond.formula = formula
        raise beyond from error


def resolve(selector: Selector, env: Environment) -> tuple[Requirement, Unknown | None]:
    """Return the demands that are known, and the unknown facts that the others hang on."""
    missing: list[Unknown] = []
    code = ""
    if selector.code is not None:
        value = answer(selector.code, env)
        if isinstance(value, Unknown):
            missing.append(value)
        else:
            code = str(value)
    known = [
        tuple(_known(demands, env, missing))
        for demands in (
            selector.exactly, selector.at_least, selector.at_most, selector.includes
        )
    ]
    joined: Unknown | None = None
    for each in missing:
        joined = each if joined is None else joined.join(each)
    exactly, at_least, at_most, includes = known
    return Requirement(
        selector.family, selector.role, exactly, at_least, at_most, includes, code
    ), joined


def _known(
    demands: tuple[tuple[str, Formula], ...], env: Environment, missing: list[Unknown]
) -> Iterable[tuple[str, Any]]:
    for field, formula in demands:
        value = answer(formula, env)
        if isinstance(value, Unknown):
            missing.append(value)
        else:
            yield field, value


def as_quantity(value: Any) -> Decimal:
    """Return an amount as a plain decimal (12.50 -> 12.5, 3.0 -> 3).

    A fraction no decimal holds (a third of a metre) is raised to the next millionth.
    """
    exact = Fraction(value)
    if exact.denominator == 1:
        return Decimal(exact.numerator)
    scaled = exact * 10**6
    if isinstance(value, Decimal) and scaled.denominator != 1:
        return value
    return _plain(Decimal(-(-scaled.numerator // scaled.denominator)).scaleb(-6))


def _plain(value: Decimal) -> Decimal:
    shown = format(value, "f").rstrip("0").rstrip(".")
    return Decimal(shown)
