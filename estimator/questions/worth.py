"""What each unknown or weakly known fact is worth: the whole estimate, run again for each answer.

A fact's worth in a call is the money that stays on the table without the answer: the mean of the
cost above what is priced now, and a visit in vain for each chance of a stop that nobody foresaw.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from catalogue.money import Money, round_half_up
from catalogue.problems import ProblemsFound
from estimator.estimate import Basis, Estimate, make_estimate
from estimator.questions.answers import Answers
from estimator.rules.complete import plain_path
from estimator.survey.fact import Evidence
from estimator.survey.model import Survey
from estimator.survey.setting import fact_at, with_fact

Estimator = Callable[[Survey], Estimate]


@dataclass(frozen=True, slots=True)
class Tried:
    """One answer and the whole estimate that follows from it.

    Attributes:
        share: chance of the answer.
        price: price with tax.
        cost: full cost.
        stops: codes of the findings that stop a firm price then.
    """

    value: Any
    share: Fraction
    price: Money
    cost: Money
    stops: frozenset[str]
    cautions: frozenset[str]


@dataclass(frozen=True, slots=True)
class Worth:
    """What it is worth to ask for one fact.

    Attributes:
        fact: path as on the sheet ("plane[0].covering").
        known_as: "unknown", or the weak evidence of a fact that is not sure.
        low, likely, high: prices with tax, over all answers; likely is the mean.
        flips: chance that the answer changes which findings stop or caution.
        loss: expected loss if the job is sold as priced now.
        photo: the photograph that answers it, or "".
    """

    fact: str
    asks: str
    on: str
    known_as: str
    low: Money
    likely: Money
    high: Money
    flips: Fraction
    loss: Money
    minutes: Decimal
    photo: str
    tried: tuple[Tried, ...]

    @property
    def spread(self) -> Money:
        """Return the price of the dearest answer over that of the cheapest."""
        return self.high - self.low

    @property
    def loss_per_minute(self) -> Fraction:
        """Return the expected loss, in minor units, that a minute of asking saves."""
        return Fraction(self.loss.minor) / Fraction(self.minutes)


def worth_asking(
    survey: Survey, basis: Basis, answers: Mapping[str, Answers],
    tell: Callable[[int, int], None] = lambda done, of: None,
) -> tuple[Worth, ...]:
    """Return what each open or weak fact is worth, the one that saves most a minute first.

    Args:
        survey: the house as far as it is known.
        basis: prices, rules, norms, practice values and settings of one day.
        answers: plausible answers by fact.
        tell: called after each estimate with how many are done, and of how many.
    """
    now = make_estimate(survey, basis)
    paths = facts_to_ask(survey, now, answers)
    runs = sum(len(answers[plain_path(path)].values) for path in paths)
    count = Counter(runs, tell)

    def estimate(changed: Survey) -> Estimate:
        try:
            return make_estimate(changed, basis)
        finally:
            count.one_more()

    found = [_worth(path, survey, now, estimate, answers[plain_path(path)], basis)
             for path in paths]
    return in_order([each for each in found if each is not None])


class Counter:
    """Counts the estimates that are done."""

    def __init__(self, runs: int, tell: Callable[[int, int], None]) -> None:
        self.runs, self.tell, self.done = runs, tell, 0

    def one_more(self) -> None:
        """Count one, and tell."""
        self.done += 1
        self.tell(self.done, self.runs)


def facts_to_ask(
    survey: Survey, now: Estimate, answers: Mapping[str, Answers]
) -> tuple[str, ...]:
    """Return the paths of open questions, then of facts that are weakly known."""
    open_ = [each.fact for each in now.questions
             if plain_path(each.fact) in answers and fact_at(survey, each.fact) is not None]
    weak = [path for path, detail in now.sheet.details.items()
            if detail.origin == "survey" and detail.evidence in _WEAK
            and plain_path(path) in answers and fact_at(survey, path) is not None]
    return tuple(dict.fromkeys((*open_, *weak)))


_WEAK = frozenset({str(Evidence.CUSTOMER_SAID), str(Evidence.ASSUMED)})


def _worth(
    path: str, survey: Survey, now: Estimate, estimate: Estimator, answers: Answers, basis: Basis
) -> Worth | None:
    tried = tuple(_tried(path, survey, estimate, answers))
    if not tried:
        return None
    fact, asked = fact_at(survey, path), {each.fact: each for each in now.questions}.get(path)
    known = basis.rules.facts[plain_path(path)]
    prices = [each.price for each in tried]
    total = sum((each.share for each in tried), Fraction(0))
    mean = sum((each.share * each.price.minor for each in tried), Fraction(0)) / total
    told = _told(now)
    flips = sum((each.share for each in tried if (each.stops, each.cautions) != told),
                Fraction(0)) / total
    return Worth(
        fact=path, asks=asked.asks if asked else known.ask or f"What is this: {known.meaning}?",
        on=asked.on if asked else now.sheet.name_of(path),
        known_as=str(fact.evidence) if fact is not None else "unknown",
        low=min(prices), likely=Money(round_half_up(mean), now.currency), high=max(prices),
        flips=flips, loss=_loss(tried, total, now, basis), minutes=answers.minutes,
        photo=answers.photo, tried=tried,
    )


def _tried(
    path: str, survey: Survey, estimate: Estimator, answers: Answers
) -> Iterator[Tried]:
    for value, share in zip(answers.values, answers.shares, strict=True):
        try:
            made = estimate(with_fact(survey, path, value))
        except ProblemsFound:
            continue  # this answer contradicts what is known: it cannot be the one
        stops, cautions = _told(made)
        yield Tried(value, share, made.price.gross, made.cost.total, stops, cautions)


def _told(made: Estimate) -> tuple[frozenset[str], frozenset[str]]:
    """Return the codes of stops, and of cautions with what they are about."""
    return (
        frozenset(each.code for each in made.findings if each.stops),
        frozenset(f"{each.code} {each.subject}" for each in made.findings
                  if each.level == "caution"),
    )


def _loss(
    tried: Sequence[Tried], total: Fraction, now: Estimate, basis: Basis
) -> Money:
    visit = Fraction(Money.of(str(basis.settings.pricing.return_visit_cost), now.currency).minor)
    foreseen, _ = _told(now)
    lost = Fraction(0)
    for each in tried:
        over = max(0, each.cost.minor - now.cost.total.minor)
        lost += each.share * (over + (visit if each.stops - foreseen else 0))
    return Money(round_half_up(lost / total), now.currency)


def in_order(found: Sequence[Worth]) -> tuple[Worth, ...]:
    """Return the questions that save most a minute first; then the widest spread, then by path.

    Facts that one photograph answers are asked together, at the place of the first of them.
    """
    ranked = sorted(found, key=lambda each: (
        -each.loss_per_minute, -each.spread.minor, -each.flips, each.fact))
    groups: dict[str, list[Worth]] = {}
    for each in ranked:
        groups.setdefault(each.photo or each.fact, []).append(each)
    return tuple(each for group in groups.values() for each in group)
