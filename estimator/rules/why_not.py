"""Tells why a rule added nothing: the first condition that stopped it, and its facts."""

from __future__ import annotations

from estimator.design.sheet import Environment
from estimator.rules.decide import Outcome, answer
from estimator.rules.exact import FormulaFailed
from estimator.rules.model import Formula, MaterialRule
from estimator.rules.results import FactUsed, NotFired
from estimator.rules.shown import FactReader, numbers


class WhyNot:
    """Gathers the material rules of a job that did not fire."""

    def __init__(self, reader: FactReader) -> None:
        self.reader = reader
        self.found: list[NotFired] = []

    def part(self, rule: MaterialRule) -> None:
        """Note a rule of a part that the job does not ask for."""
        path = f"job.{rule.part}"
        fact = FactUsed(path, False, "", "survey", "", "", "")
        self._note(rule, "", path, "false", (fact,), undecided=False)

    def undecided(
        self, rule: MaterialRule, outcome: Outcome, place: tuple[str, str, Environment]
    ) -> None:
        """Note a rule that hangs on unknown facts; they are what stops it."""
        facts = sorted(outcome.missing.facts) if outcome.missing is not None else []
        self._note(rule, place[1], rule.when.text, numbers(rule.when, place[2]),
                   tuple(self.reader.of_path(fact) for fact in facts), undecided=True)

    def stopped(
        self, rule: MaterialRule, outcome: Outcome, place: tuple[str, str, Environment]
    ) -> None:
        """Note a rule whose condition is false or whose quantity is zero.

        Of conditions joined by `and`, the first that is false is what stops it.
        """
        key, name, env = place
        formula = outcome.stopped_by or rule.when
        text, shown = formula.text, numbers(formula, env)
        if formula is rule.quantity:
            text, shown = f"({text}) > 0", f"({shown}) > 0"
        cause = next((each for each in formula.conjuncts if _is_no(each, env)), formula)
        self._note(rule, name, text, shown, self.reader.read([cause], key), undecided=False)

    def _note(
        self, rule: MaterialRule, on: str, when: str, shown: str, facts: tuple[FactUsed, ...],
        *, undecided: bool,
    ) -> None:
        self.found.append(NotFired(
            rule.id, rule.selector.family, rule.selector.role, rule.because, on, when, shown,
            facts, undecided,
        ))


def _is_no(formula: Formula, env: Environment) -> bool:
    try:
        return answer(formula, env) is False
    except FormulaFailed:
        return False
