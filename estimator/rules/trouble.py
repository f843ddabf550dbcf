"""Problems of a rule that show only with the facts of a job."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from catalogue.items import Item
from catalogue.problems import Problem
from estimator.rules.exact import FormulaFailed
from estimator.rules.model import ComputedFact, MaterialRule, Rule, TaskRule
from estimator.rules.shown import FactReader, plain


def failure_problem(
    rule: Rule | ComputedFact, failure: FormulaFailed, reader: FactReader, key: str = "",
    name: str = "",
) -> Problem:
    """Return a formula without an answer as a problem that names the facts it read.

    Args:
        rule: whose formula it is.
        failure: what went wrong.
        reader: tells the facts of the job.
        key: which plane or leg ("plane[0]"), or "" for the job.
        name: its name for the reader.
    """
    what = (f"the computed fact '{rule.fact.path}'" if isinstance(rule, ComputedFact)
            else f"rule '{rule.id}'")
    says = f"{what}{_on(name)} cannot be worked out: {failure.says}"
    if failure.formula is not None:
        facts = reader.read([failure.formula], key)
        values = ", ".join(
            f"{fact.path} = {'?' if fact.value is None else plain(fact.value)}" for fact in facts
        )
        says += f" in '{failure.formula.text}'" + (f", with {values}" if values else "")
    return Problem("R201", rule.where, says,
                   "correct the facts, or guard the formula: (0 if DIVISOR == 0 else ...)")


def quantity_problem(
    rule: MaterialRule | TaskRule, amount: Any, item: Item | None, name: str
) -> Problem | None:
    """Return the problem of a quantity that is negative, or broken though the item is counted."""
    exact = Fraction(amount)
    if exact < 0:
        return Problem(
            "R202", rule.where,
            f"rule '{rule.id}'{_on(name)} asks for a negative quantity, {plain(amount)}",
            "correct the facts, or use max(0, ...)",
        )
    if item is not None and item.counted and exact.denominator != 1:
        return Problem(
            "R202", rule.where,
            f"rule '{rule.id}'{_on(name)} asks for {plain(amount)} of '{item.code}', which is "
            "counted in whole pieces", "round the quantity up with ceil(...)",
        )
    return None


def runs_problem(rule: MaterialRule, amount: Any, runs: int, name: str) -> Problem | None:
    """Return the problem of a quantity that is in no run at all."""
    if runs >= 1:
        return None
    return Problem(
        "R203", rule.where,
        f"rule '{rule.id}'{_on(name)} asks for {plain(amount)} in {runs} runs",
        "a quantity above zero is at least one run: correct the facts, or use max(1, ...)")


def _on(name: str) -> str:
    return f" on {name}" if name else ""
