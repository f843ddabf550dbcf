"""Whether an estimate may go out as a firm price, and if not, between which prices it lies.

A firm price is barred by a stop, by a part that cannot be supplied, and by an open question of
weight: one whose answer may add lines worth more than the firm's limit, one whose lines or hours
cannot be priced yet, or one that a stop hangs on. A small doubt that has a risk of its own stays in
the contingency and in what the price holds if.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from catalogue.money import Money
from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from estimator.bill import Bill
from estimator.cost import CostSheet, unpriced
from estimator.price import Price, price_of
from estimator.rules.model import RuleBook
from estimator.rules.results import Finding, Question, RuleResults
from estimator.settings import Pricing
from estimator.vat import VatDecision


@dataclass(frozen=True, slots=True)
class LetPass:
    """A named person lets a stop pass, for a reason; kept with the revision."""

    code: str
    name: str
    reason: str


def let_pass(
    findings: Iterable[Finding], passes: Iterable[LetPass]
) -> tuple[Finding, ...]:
    """Return the findings with who let which stop pass, and why.

    Raises:
        ProblemsFound: V001 for a code that is no stop of this job; V002 without a reason; V003
            without a name.
    """
    held = tuple(findings)
    stops = {finding.code for finding in held if finding.level == "stop"}
    given = {each.code: each for each in passes}
    problems = [problem for each in given.values() for problem in _wrong(each, stops)]
    if problems:
        raise ProblemsFound(problems)
    return tuple(
        replace(f, let_pass_by=given[f.code].name, let_pass_because=given[f.code].reason)
        if f.level == "stop" and f.code in given else f
        for f in held
    )


def _wrong(each: LetPass, stops: set[str]) -> Iterator[Problem]:
    where = Place(f"let pass {each.code}")
    if each.code not in stops:
        yield Problem("V001", where, f"'{each.code}' is no stop of this job",
                      suggestion(each.code, stops) or "this job has no stop")
    if not each.reason.strip():
        yield Problem("V002", where, "the stop is let pass without a reason", "say why")
    if not each.name.strip():
        yield Problem("V003", where, "nobody has put a name to it", "say who lets it pass")


@dataclass(frozen=True)
class PriceRange:
    """Prices with tax between which the job lies, as far as the open questions can be priced.

    `open_ended` says that the answer to some question cannot be priced yet, so that the job may
    cost more than `high`.
    """

    low: Money
    high: Money
    open_ended: bool


def weighty(
    questions: Iterable[Question], book: RuleBook, cost: CostSheet, pricing: Pricing
) -> tuple[Question, ...]:
    """Return the open questions that bar a firm price.

    Args:
        questions: every open question.
        book: the rules that wait for them.
        cost: full cost of the job without the lines that wait.
        pricing: the firm's limit for a question that may stay open, as a share of the cost.
    """
    weigh = _Scales(
        limit_minor=cost.total.minor * Fraction(pricing.open_question_share),
        stops=frozenset(rule.id for rule in book.checks if rule.level == "stop"),
        materials=frozenset(rule.id for rule in book.materials if not rule.option),
        tasks=frozenset(rule.id for rule in book.tasks),
        covered=frozenset(rule.closed_by for rule in book.risks if rule.closed_by),
    )
    return tuple(question for question in questions if weigh.bars(question))


@dataclass(frozen=True)
class _Scales:
    """Which rules weigh, and the facts whose doubt is priced as an open risk."""

    limit_minor: Fraction
    stops: frozenset[str]
    materials: frozenset[str]
    tasks: frozenset[str]
    covered: frozenset[str]

    def bars(self, question: Question) -> bool:
        waiting = frozenset(question.rules)
        if question.at_worst == "stop":
            return True
        if question.assumed:
            return False
        if waiting & self.stops:
            return True
        if not waiting & (self.materials | self.tasks):
            return False
        if question.high is None or question.high.minor > self.limit_minor:
            return True
        # What is small in material may still be hours that nobody has counted, unless the
        # doubt has a risk of its own in the contingency.
        return bool(waiting & self.tasks) and _plain(question.fact) not in self.covered


def _plain(path: str) -> str:
    return re.sub(r"\[\d+\]", "", path)


def why_budget(
    findings: Iterable[Finding], weighing: Iterable[Question], bill: Bill
) -> Iterator[str]:
    """Say everything that bars a firm price."""
    for finding in findings:
        if finding.stops:
            yield f"stop: {finding.says}"
    for question in weighing:
        on = f" ({question.on})" if question.on else ""
        yield f"open question: {question.asks}{on}"
    for gap in bill.gaps:
        yield f"the catalogue has nothing for: {gap.requirement}"
    for line in unpriced(bill):
        yield f"no supplier offers {line.item.name} ({line.item.code}) on this day"


def price_range(
    price: Price, cost: CostSheet, pricing: Pricing, vat: VatDecision, found: RuleResults
) -> PriceRange:
    """Return the price with every open question answered the cheap way, and the dear way."""
    extra = sum((q.high.minor for q in found.questions if q.high is not None), 0)
    open_ended = bool(found.gaps) or any(
        q.high is None and not q.assumed for q in found.questions
    )
    more = Money(extra, price.net.currency)
    dear = price_of(
        replace(cost, direct=cost.direct + more, total=cost.total + more), pricing, vat,
        price.discount,
    )
    return PriceRange(price.gross, dear.gross, open_ended)
