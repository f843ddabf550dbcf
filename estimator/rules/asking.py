"""Gathers the questions of a job: which unknown facts the rules wait for, and what they weigh."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from catalogue.money import Money, round_half_up
from estimator.design.sheet import FactSheet
from estimator.rules.complete import plain_path
from estimator.rules.model import RuleBook
from estimator.rules.results import Question


@dataclass
class _Asked:
    rules: dict[str, None] = field(default_factory=dict)
    low: int | None = None
    high: int | None = None
    assumed: str = ""


class Questions:
    """Merges what the rules ask by fact."""

    def __init__(self, book: RuleBook, sheet: FactSheet, currency: str) -> None:
        self._facts = book.facts
        self._sheet = sheet
        self._currency = currency
        self._asked: dict[str, _Asked] = {}

    def ask(self, fact: str, rule: str,
            costs: tuple[Fraction, Fraction] | None = None) -> None:
        """Note that a rule waits for a fact; `costs` is what its line costs at least and most."""
        asked = self._asked.setdefault(fact, _Asked())
        asked.rules[rule] = None
        if costs is not None:
            asked.low = (asked.low or 0) + round_half_up(costs[0])
            asked.high = (asked.high or 0) + round_half_up(costs[1])

    def keep(self, fact: str, assumed: str, rules: tuple[str, ...]) -> None:
        """Keep the question for a fact that is priced by assumption."""
        asked = self._asked.setdefault(fact, _Asked())
        asked.assumed = assumed
        asked.rules.update(dict.fromkeys(rules))

    def all(self) -> tuple[Question, ...]:
        """Return the questions, the dearest first; then by path."""
        ordered = sorted(
            self._asked.items(),
            key=lambda each: (each[1].high is None, -(each[1].high or 0), each[0]),
        )
        return tuple(self._question(fact, asked) for fact, asked in ordered)

    def _question(self, fact: str, asked: _Asked) -> Question:
        known = self._facts.get(plain_path(fact))
        if known is None:
            asks = f"What is {fact}?"
        else:
            asks = known.ask or f"What is this: {known.meaning}?"
        return Question(
            fact, asks, self._sheet.name_of(fact), tuple(asked.rules), self._money(asked.low),
            self._money(asked.high), asked.assumed,
        )

    def _money(self, minor: int | None) -> Money | None:
        return None if minor is None else Money(minor, self._currency)
