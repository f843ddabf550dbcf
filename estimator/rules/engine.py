"""Runs the rules of a job: what it needs, who does what, what may go wrong, what is to be asked.

Pure: a rule book, a sheet and a price book go in, results come out. A rule whose answer hangs on
an unknown fact adds nothing; it yields a question that names the fact.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from catalogue.items import Item
from catalogue.price_book import PriceBook
from catalogue.problems import Problem, ProblemsFound
from estimator.design.sheet import Environment, FactSheet, Unknown
from estimator.rules.asking import Questions
from estimator.rules.choose import Chooser
from estimator.rules.complete import Completed, complete, full_path, rests_on_assumption
from estimator.rules.decide import (
    Outcome,
    answer,
    as_quantity,
    decide,
    decide_material,
    decide_task,
    resolve,
)
from estimator.rules.exact import FormulaFailed
from estimator.rules.model import (
    AssumeRule,
    CheckRule,
    Formula,
    MaterialRule,
    RiskRule,
    Rule,
    RuleBook,
    TaskRule,
)
from estimator.rules.reads import formulas_of
from estimator.rules.results import (
    Demand,
    Finding,
    Gap,
    Reason,
    Risk,
    RuleResults,
    TaskNeed,
)
from estimator.rules.run_lengths import runs_of
from estimator.rules.shown import FactReader, compared, numbers, plain
from estimator.rules.trouble import failure_problem, quantity_problem, runs_problem
from estimator.rules.why_not import WhyNot

_Place = tuple[str, str, Environment]


def run_rules(
    book: RuleBook, sheet: FactSheet, prices: PriceBook, chooser: Chooser | None = None
) -> RuleResults:
    """Return all that the rules yield for one job, in rule order.

    Args:
        book: the rules, checked.
        sheet: the facts of the job, those of the roof design and the kit among them.
        prices: the price book of the day; the cheapest item on offer that serves is chosen.
        chooser: of that price book; one that is handed in again need not look the same up twice.

    Raises:
        ProblemsFound: R201 for a formula that has no answer with these facts (division by zero),
            R202 for a negative quantity, or for a part of a thing that is counted, R203 for a
            quantity in less than one run.
    """
    run = _Run(book, complete(book, sheet), chooser or Chooser(prices))
    for material in book.materials:
        run.each_place(material, run.material)
    for task in book.tasks:
        run.each_place(task, run.task)
    for risk in book.risks:
        run.each_place(risk, run.risk)
    for check in book.checks:
        run.each_place(check, run.check)
    run.keep_assumed()
    if run.problems:
        raise ProblemsFound(dict.fromkeys(run.problems))
    return run.results()


class _Run:
    """One job while its rules are run."""

    def __init__(self, book: RuleBook, completed: Completed, chooser: Chooser) -> None:
        self.book = book
        self.sheet = completed.sheet
        self.failed = completed.failed
        self.chooser = chooser
        self.reader = FactReader(book, completed.sheet)
        self.questions = Questions(book, completed.sheet, chooser.prices.currency)
        self.why_not = WhyNot(self.reader)
        self.problems: list[Problem] = []
        self.demands: list[Demand] = []
        self.tasks: list[TaskNeed] = []
        self.risks: list[Risk] = []
        self.findings: list[Finding] = []
        self.gaps: list[Gap] = []
        self.assumptions: list[str] = []

    def results(self) -> RuleResults:
        return RuleResults(
            tuple(self.demands), tuple(self.tasks), tuple(self.risks), tuple(self.findings),
            self.questions.all(), tuple(self.why_not.found), tuple(self.gaps),
            tuple(self.assumptions),
        )

    def each_place(self, rule: Any, act: Any) -> None:
        """Run a rule for the job, or for each plane or leg, if its part is asked for."""
        if rule.part != "job" and rule.part not in self.sheet.parts:
            if isinstance(rule, MaterialRule):
                self.why_not.part(rule)
            return
        for place in self.sheet.environments(rule.each):
            try:
                act(rule, place)
            except FormulaFailed as failure:
                self.problems.append(
                    failure_problem(rule, failure, self.reader, place[0], place[1])
                )

    # -- materials ---------------------------------------------------------------------------

    def material(self, rule: MaterialRule, place: _Place) -> None:
        key, name, env = place
        outcome = decide_material(rule, env)
        if outcome.state == "unknown":
            if self.ask(rule.id, outcome, self.costs(rule, outcome, env)):
                self.why_not.undecided(rule, outcome, place)
            return
        if outcome.state == "does not fire":
            self.why_not.stopped(rule, outcome, place)
            return
        requirement = outcome.demands
        if requirement is None:
            raise AssertionError("a material rule has a selector")
        item = self.chooser.choose(requirement)
        quantity = as_quantity(outcome.amount)
        if not self.sound(rule, outcome.amount, item, name) or not self.in_runs(
                rule, outcome, name):
            return
        if item is None:
            self.gaps.append(Gap(rule.id, requirement, quantity, rule.because, name))
            return
        reason = self.reason(rule, rule.quantity, outcome.amount, key, place)
        self.demands.append(Demand(requirement, item, quantity, reason, rule.option,
                                   runs_of(rule, quantity, outcome.runs, env)))

    def in_runs(self, rule: MaterialRule, outcome: Outcome, name: str) -> bool:
        problem = runs_problem(rule, outcome.amount, outcome.runs, name)
        if problem is not None:
            self.problems.append(problem)
        return problem is None

    def sound(self, rule: MaterialRule | TaskRule, amount: Any, item: Item | None,
              name: str) -> bool:
        problem = quantity_problem(rule, amount, item, name)
        if problem is not None:
            self.problems.append(problem)
        return problem is None

    def costs(
        self, rule: MaterialRule, outcome: Outcome, env: Environment
    ) -> tuple[Fraction, Fraction] | None:
        """Return what the line costs at least and at most, as far as that can be told."""
        amount, demands, open_ = outcome.amount, outcome.demands, outcome.open_demands
        if demands is None:
            try:
                amount = answer(rule.quantity, env)
                demands, missing = resolve(rule.selector, env)
            except FormulaFailed:
                return None
            open_ = missing is not None
        if amount is None or isinstance(amount, Unknown) or amount < 0:
            return None
        prices = self.chooser.range(demands, open_=open_)
        if prices is None:
            return None
        least, most = prices[0] * Fraction(amount), prices[1] * Fraction(amount)
        return (Fraction(0) if isinstance(outcome.when, Unknown) else least), most

    # -- tasks, risks, checks ----------------------------------------------------------------

    def task(self, rule: TaskRule, place: _Place) -> None:
        outcome = decide_task(rule, place[2])
        if outcome.state == "unknown":
            self.ask(rule.id, outcome)
        elif outcome.state == "fires" and self.sound(rule, outcome.amount, None, place[1]):
            reason = self.reason(rule, rule.units, outcome.amount, place[0], place)
            self.tasks.append(
                TaskNeed(rule.norm, as_quantity(outcome.amount), reason, outcome.people))

    def risk(self, rule: RiskRule, place: _Place) -> None:
        """Open a risk that holds, or may: its cost is what closing the question can save."""
        outcome = decide(rule.when, None, place[2])
        if outcome.state == "does not fire":
            return
        costs = (Fraction(0), Fraction(rule.cost.minor))
        facts = self.open_facts(rule, place[0])
        if outcome.missing is not None:
            if not self.ask(rule.id, outcome, costs):
                return
            facts = tuple(sorted({*facts, *outcome.missing.facts}))
        else:
            for fact in facts:
                self.questions.ask(fact, rule.id, costs)
        self.risks.append(
            Risk(rule.id, rule.chance, rule.cost, rule.because, facts, rule.holds_if))

    def open_facts(self, rule: RiskRule, key: str) -> tuple[str, ...]:
        """Return the full paths of the fact that closes a risk, where it is not yet known."""
        path = rule.closed_by
        if not path:
            return ()
        scope = self.book.facts[path].scope
        places = self.sheet.environments(scope)
        if scope and key.startswith(scope):
            places = tuple(each for each in places if each[0] == key)
        return tuple(
            full_path(path, at) for at, _, env in places
            if isinstance(env[path], Unknown) or path in env["@assumed"]
        )

    def check(self, rule: CheckRule, place: _Place) -> None:
        outcome = decide(rule.when, None, place[2])
        if outcome.state == "unknown":
            self.ask(rule.id, outcome)
        elif outcome.state == "fires":
            value, limit, unit = compared(rule.when, place[2], self.book)
            self.findings.append(Finding(
                rule.id, rule.level, place[1] or rule.part, rule.says, rule.source, rule.decides,
                value, limit, unit,
            ))

    # -- reasons, questions, failures --------------------------------------------------------

    def reason(
        self, rule: MaterialRule | TaskRule, amount: Formula, value: Any, key: str, place: _Place
    ) -> Reason:
        formulas = formulas_of(rule)
        env = place[2]
        return Reason(
            rule.id, rule.where.file, rule.where.line or 0, rule.because, place[1],
            rule.when.text, amount.text, numbers(amount, env), as_quantity(value),
            self.reader.read(formulas, key),
            any(rests_on_assumption(each, env) for each in formulas),
        )

    def ask(
        self, rule: str, outcome: Outcome, costs: tuple[Fraction, Fraction] | None = None
    ) -> bool:
        """Ask for the facts an outcome hangs on; false if one of them failed to be computed."""
        facts = sorted(outcome.missing.facts) if outcome.missing is not None else []
        failed = [self.failed[fact] for fact in facts if fact in self.failed]
        for failure, computed in failed:
            self.problems.append(failure_problem(computed, failure, self.reader))
        if failed:
            return False
        for fact in facts:
            self.questions.ask(fact, rule, costs)
        return True

    def keep_assumed(self) -> None:
        """Say what was assumed, and keep its question with every rule that reads the fact."""
        reads: dict[str, tuple[str, ...]] = {}
        for rule in self.book.assumptions:
            fact = self.book.facts[rule.fact]
            for key, name, env in self.sheet.environments(fact.scope):
                detail = self.sheet.detail(rule.fact, key)
                if rule.fact not in env["@assumed"] or detail.place != str(rule.where):
                    continue
                reads = reads or {each.id: self.book.reads[each.id]
                                  for each in self.book.rules if self._waits(each)}
                value = plain(env[rule.fact])
                spoken = {"true": "yes", "false": "no"}.get(value, value)
                self.questions.keep(full_path(rule.fact, key), value, tuple(
                    each for each, paths in reads.items() if rule.fact in paths
                ))
                if rule.dearest:
                    continue
                on = f"{name}: " if name else ""
                unit = f" {fact.unit}" if fact.unit else ""
                self.assumptions.append(f"{on}{fact.meaning}: {spoken}{unit}")

    def _waits(self, rule: Rule) -> bool:
        asked = rule.part == "job" or rule.part in self.sheet.parts
        return asked and not isinstance(rule, AssumeRule)
