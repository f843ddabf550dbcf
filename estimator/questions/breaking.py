"""What breaks a quote: each fact a step up and down, each word changed, each fact taken away.

The price stays as quoted, for it is agreed; the cost follows the house. A change breaks the quote
where the margin left is under the firm's minimum, or where a check turns to a stop.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from catalogue.answers import Asked
from catalogue.money import Money
from catalogue.problems import ProblemsFound
from estimator.estimate import Basis, Estimate, make_estimate
from estimator.questions.answers import Answers
from estimator.questions.worth import Counter
from estimator.rules.complete import plain_path
from estimator.survey.model import Survey
from estimator.survey.setting import fact_at, with_fact
from estimator.survey.toml import REPEATED, answer_of, group_model

STEP_SHARE = Decimal("0.1")  # a length or a load a tenth off: a tape misread, a route forgotten
_SCOPES = {scope: name for name, scope in REPEATED.items()}


@dataclass(frozen=True, slots=True)
class Change:
    """One fact otherwise than surveyed, and what is left of the quote.

    Attributes:
        fact: path as on the sheet.
        was, now: the value as surveyed and as tried; now is None where the fact is taken away.
        cost_more: full cost above that of the quote.
        margin: net margin left at the price as quoted.
        new_stops: codes of checks that stop now and did not before.
        firm: whether a firm price can still be given.
        breaks: whether the margin is under the minimum or there is a new stop.
    """

    fact: str
    on: str
    was: Any
    now: Any
    cost_more: Money
    margin: Fraction
    new_stops: tuple[str, ...]
    firm: bool
    breaks: bool


@dataclass(frozen=True)
class Broken:
    """Every change that was tried, the dearest first.

    Attributes:
        net: price without tax as quoted; margin: net margin as quoted.
        minimum: the firm's least net margin.
    """

    net: Money
    margin: Fraction
    minimum: Fraction
    changes: tuple[Change, ...]


def break_quote(
    survey: Survey, basis: Basis, answers: Mapping[str, Answers],
    tell: Callable[[int, int], None] = lambda done, of: None,
) -> Broken:
    """Return what every single change of a known fact does to the margin.

    Args:
        survey: the house as quoted.
        basis: prices, rules, norms, practice values and settings of the quote's day.
        answers: plausible answers; a word is tried as each of the others.
        tell: called after each estimate with how many are done, and of how many.
    """
    quoted = make_estimate(survey, basis)
    tries = [(path, value) for path in _known(survey, quoted)
             for value in other_values(path, survey, answers)]
    count = Counter(len(tries), tell)
    minimum = Fraction(basis.settings.pricing.margin_minimum)
    changes = []
    for path, value in tries:
        try:
            made = make_estimate(with_fact(survey, path, value), basis)
        except ProblemsFound:
            continue  # such a house contradicts itself
        finally:
            count.one_more()
        changes.append(_change(path, value, survey, quoted, made, minimum))
    changes.sort(key=lambda each: (not each.breaks, -each.cost_more.minor, each.fact))
    return Broken(quoted.price.net, quoted.price.margin, minimum, tuple(changes))


def _known(survey: Survey, quoted: Estimate) -> Iterator[str]:
    for path, detail in quoted.sheet.details.items():
        fact = fact_at(survey, path) if detail.origin == "survey" else None
        if fact is not None and fact.known:
            yield path


def other_values(
    path: str, survey: Survey, answers: Mapping[str, Answers]
) -> tuple[Any, ...]:
    """Return the values to try in place of the surveyed one; None, for unknown, comes last."""
    fact = fact_at(survey, path)
    if fact is None or fact.value is None:
        return ()
    value, known = fact.value, answers.get(plain_path(path))
    others = tuple(v for v in known.values if v != value) if known is not None else ()
    if value == 0 and not isinstance(value, bool):
        return *others, None  # a tenth of nothing is no step: what there might be instead
    if isinstance(value, bool):
        return not value, None
    if isinstance(value, int):
        return *(v for v in (value - 1, value + 1) if _allowed(path, Decimal(v))), None
    if isinstance(value, Decimal):
        steps = (value * (1 - STEP_SHARE), value * (1 + STEP_SHARE))
        return *(step for step in steps if _allowed(path, step)), None
    return *others, None


def _allowed(path: str, value: Decimal) -> bool:
    asked = _asked(path)
    return asked is not None and not (
        (asked.least is not None and value < asked.least)
        or (asked.most is not None and value > asked.most)
        or (asked.above is not None and value <= asked.above)
        or (asked.below is not None and value >= asked.below))


def _asked(path: str) -> Asked | None:
    group, _, field = plain_path(path).partition(".")
    return answer_of(group_model(_SCOPES.get(group, group)), field)


def _change(
    path: str, value: Any, survey: Survey, quoted: Estimate, made: Estimate, minimum: Fraction
) -> Change:
    fact = fact_at(survey, path)
    net = Fraction(quoted.price.net.minor)
    margin = (net - made.cost.total.minor) / net if net else Fraction(0)
    before = {each.code for each in quoted.findings if each.stops}
    stops = tuple(dict.fromkeys(
        each.code for each in made.findings if each.stops and each.code not in before))
    return Change(
        path, quoted.sheet.name_of(path), fact.value if fact is not None else None, value,
        made.cost.total - quoted.cost.total, margin, stops, made.kind == "firm",
        margin < minimum or bool(stops),
    )
