"""What newer prices do to a quote that is out: its cost then and now, and the margin that is left.

The quoted price stays as it was promised; the job is estimated again from its kept survey, by the
same chain and with the same discount, stops let pass and substitutes, on the basis of another day.
So the new cost holds whatever has changed since: prices, rules, norms, practice values, settings.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from catalogue.money import Money, total
from catalogue.problems import Problem, ProblemsFound
from estimator.buying.swaps import Swap
from estimator.cost import unpriced
from estimator.cost_parts import Charged, Costed, Moved, costed, moves
from estimator.estimate import Basis, Estimate, make_estimate
from estimator.price import Discount, net_margin
from estimator.settings import Pricing, Settings
from estimator.survey.model import Survey
from estimator.verdict import LetPass

Verdict = Literal["holds", "under target", "under minimum", "at a loss", "not all priced"]
NO_SUCH_STOP = "V001"


@dataclass(frozen=True, slots=True)
class OpenQuote:
    """A kept quote that nobody has answered yet.

    Attributes:
        on: the day whose prices it was made with; valid_until: the last day on which it binds.
        kind: "firm" or "budget"; a budget binds nobody.
        net: the price without tax that the customer was promised, after the discount.
    """

    job: str
    title: str
    revision: int
    on: date
    valid_until: date
    kind: str
    net: Money
    cost: Costed
    discount: Discount | None = None
    passes: tuple[LetPass, ...] = ()
    swaps: tuple[Swap, ...] = ()


@dataclass(frozen=True, slots=True)
class Drifted:
    """A quote and what has become of it.

    Attributes:
        cost: of the job as it would be estimated now.
        kind, kind_because: what it would be quoted as now, and what bars a firm price.
        unpriced: what cannot be bought now; then `cost` is too low by what that costs.
        expired: whether the last day has passed.
        margin_then, margin_now: net, exact, on the price as quoted; contribution_now likewise
            over the direct cost.
        moved: what moved, the most first; they add up to the change of cost.
    """

    quote: OpenQuote
    cost: Costed
    kind: str
    kind_because: tuple[str, ...]
    unpriced: tuple[str, ...]
    expired: bool
    margin_then: Fraction
    margin_now: Fraction
    contribution_now: Fraction
    verdict: Verdict
    moved: tuple[Moved, ...]

    @property
    def change(self) -> Money:
        """Return how much dearer the job has become; negative where it is cheaper."""
        return self.cost.full - self.quote.cost.full

    @property
    def loss(self) -> Money:
        """Return what is lost of the promised margin; zero where the job has not become dearer."""
        return max(self.change, Money(0, self.change.currency))

    @property
    def binds(self) -> bool:
        """Return whether the firm is bound: a firm price whose last day has not passed."""
        return self.quote.kind == "firm" and not self.expired

    @property
    def alarms(self) -> bool:
        """Return whether a price that binds has fallen under the minimum, or cannot be told."""
        fell = self.verdict in ("under minimum", "at a loss") and self.loss.minor > 0
        return self.binds and (fell or self.verdict == "not all priced")


@dataclass(frozen=True, slots=True)
class Stake:
    """Whom to ring: the quote's place in the list, and chance of acceptance times loss, exact."""

    place: int
    minor: Fraction


@dataclass(frozen=True, slots=True)
class NotRun:
    """A quote that cannot be estimated any more, and why."""

    job: str
    revision: int
    problems: tuple[Problem, ...]


@dataclass(frozen=True)
class Drift:
    """What has become of all open quotes.

    Attributes:
        on: the day of prices, rules and practice values.
        what_if: imagined changes in words.
        accept_rate: share of open quotes that are expected to be accepted.
        quotes: those to ring first, then the others that bind, budgets, expired ones.
        stakes: by job, of those to ring.
        exposure: what all quotes that bind lose together, were all accepted.
    """

    on: date
    currency: str
    what_if: tuple[str, ...]
    accept_rate: Decimal
    margin_minimum: Decimal
    margin_target: Decimal
    quotes: tuple[Drifted, ...]
    stakes: Mapping[str, Stake]
    exposure: Money
    not_run: tuple[NotRun, ...]

    @property
    def expected(self) -> Fraction:
        """Return the exposure times the chance of acceptance, exact minor units."""
        return self.exposure.minor * Fraction(self.accept_rate)

    @property
    def alarms(self) -> bool:
        """Return whether a quote that binds has fallen under the minimum or cannot be told."""
        return bool(self.not_run) or any(each.alarms for each in self.quotes)


def cost_now(made: Estimate) -> Costed:
    """Return the cost of an estimate by its parts."""
    lines = [
        Charged(each.item.code, each.item.name, each.item.head, each.cost, each.waste_cost)
        for each in made.bill.lines if not each.option
    ]
    heads = [(each.head, each.amount) for each in made.cost.heads]
    return costed(lines, heads, made.cost.direct, made.cost.total)


def drift_of(quote: OpenQuote, survey: Survey, basis: Basis) -> Drifted:
    """Return what has become of a quote on the basis of another day.

    Args:
        quote: the quote as it was kept.
        survey: the survey it was made from.
        basis: prices, rules, norms, practice values and settings of that day.

    Raises:
        ProblemsFound: as `make_estimate`. A stop that was let pass and is none any more is no
            mistake here.
    """
    made = _again(quote, survey, basis)
    cost = cost_now(made)
    missing = _missing(made)
    margin = net_margin(quote.net, cost.full)
    return Drifted(
        quote=quote, cost=cost, kind=made.kind, kind_because=made.kind_because, unpriced=missing,
        expired=quote.valid_until < basis.on,
        margin_then=net_margin(quote.net, quote.cost.full), margin_now=margin,
        contribution_now=net_margin(quote.net, cost.direct),
        verdict="not all priced" if missing else verdict_on(margin, basis.settings.pricing),
        moved=moves(quote.cost, cost),
    )


def _again(quote: OpenQuote, survey: Survey, basis: Basis) -> Estimate:
    try:
        return make_estimate(survey, basis, quote.discount, quote.passes, quote.swaps)
    except ProblemsFound as found:
        if not quote.passes or any(each.code != NO_SUCH_STOP for each in found.problems):
            raise
        made = make_estimate(survey, basis, quote.discount, (), quote.swaps)
        stops = {each.code for each in made.findings if each.level == "stop"}
        still = tuple(each for each in quote.passes if each.code in stops)
        return make_estimate(survey, basis, quote.discount, still, quote.swaps)


def _missing(made: Estimate) -> tuple[str, ...]:
    """Return what must be bought and has no price."""
    lines = (f"{line.item.name} ({line.item.code})" for line in unpriced(made.bill)
             if not line.option)
    return (*lines, *(str(gap.requirement) for gap in made.bill.gaps))


def verdict_on(margin: Fraction, pricing: Pricing) -> Verdict:
    """Return what a net margin means to the firm; limits are compared unrounded."""
    if margin < 0:
        return "at a loss"
    if margin < Fraction(pricing.margin_minimum):
        return "under minimum"
    return "under target" if margin < Fraction(pricing.margin_target) else "holds"


def drift_sheet(
    found: Sequence[Drifted], not_run: Sequence[NotRun], on: date, settings: Settings,
    what_if: Sequence[str] = (),
) -> Drift:
    """Return all that has drifted, those to ring first at the top.

    Only a price that binds can cost anything: what is at stake is the chance that it is accepted
    times what is lost of the margin promised. The largest comes first; on a tie the quote that ends
    sooner, then the job's number.
    """
    pricing, currency = settings.pricing, settings.firm.currency
    chance = Fraction(pricing.accept_rate)
    ranked = sorted(found, key=_rank)
    ring = [each for each in ranked if each.binds and each.loss.minor]
    return Drift(
        on=on, currency=currency, what_if=tuple(what_if),
        accept_rate=pricing.accept_rate, margin_minimum=pricing.margin_minimum,
        margin_target=pricing.margin_target, quotes=tuple(ranked),
        stakes={each.quote.job: Stake(place, chance * each.loss.minor)
                for place, each in enumerate(ring, start=1)},
        exposure=total([each.loss for each in ring], currency),
        not_run=tuple(sorted(not_run, key=lambda each: each.job)),
    )


def _rank(each: Drifted) -> tuple[object, ...]:
    """Order: what binds, by loss; then budgets; then what has expired."""
    group = 0 if each.binds else 1 if not each.expired else 2
    loss = -each.loss.minor if each.binds else 0
    return group, loss, each.quote.valid_until, each.quote.job
