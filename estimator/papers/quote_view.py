"""What the customer may see of an estimate: a view that holds nothing else.

The quote is written from this view alone, so cost, margin, suppliers, rules, findings and open
risks cannot reach it by a slip of a template.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType

from catalogue.money import Money
from estimator.papers import words
from estimator.papers.cautions import cautions_for
from estimator.papers.contract import EstimateJson
from estimator.papers.contract_parts import LineJson, QuestionJson
from estimator.papers.digits import plain
from estimator.price import deposit
from estimator.settings import Firm, Settings

# The things a customer knows by sight; small parts are covered by the scope.
MAIN_FAMILIES = ("panel", "storage", "converter", "electronics", "meter", "alarm")
# What a question is about, by the group of its fact.
ABOUT: Mapping[str, str] = MappingProxyType({
    "site": "House", "storage": "Storage", "converter": "Converter", "supply": "Supply",
    "board": "Consumer unit", "metering": "Meter", "backup": "Backup", "wishes": "Your wishes",
})


@dataclass(frozen=True, slots=True)
class Thing:
    """So many of something, in plain words."""

    count: str
    name: str


@dataclass(frozen=True, slots=True)
class TaxRow:
    """A part of the price, its tax rate and the tax on it."""

    net: str
    rate: str
    vat: str
    because: str


@dataclass(frozen=True, slots=True)
class PriceView:
    """The price as the customer reads it; `before` and `off` only with a discount."""

    before: str
    off: str
    net: str
    tax: tuple[TaxRow, ...]
    gross: str
    vat_says: str


@dataclass(frozen=True, slots=True)
class TermsView:
    """Payments and cancelling; a text is empty where the practice pack has no limit."""

    deposit: str
    deposit_share: str
    advance_limit: str
    advance_share: str
    advance_weeks: str
    cancel_days: str


@dataclass(frozen=True)
class QuoteView:
    """Everything on the customer's quote; `span` is the range of a budget, with tax."""

    firm: Firm
    is_offer: bool
    reference: str
    job: str
    customer: str
    address: str
    on: str
    valid_until: str
    valid_because: str
    scope: tuple[str, ...]
    things: tuple[Thing, ...]
    options: tuple[Thing, ...]
    stand_ins: tuple[str, ...]
    price: PriceView
    span: str
    open_ended: bool
    terms: TermsView
    to_answer: tuple[str, ...]
    to_settle: int
    holds_if: tuple[str, ...]
    exclusions: tuple[str, ...]
    cautions: tuple[tuple[str, str], ...]
    deferral: str


def quote_view(estimate: EstimateJson, settings: Settings) -> QuoteView:
    """Return what the customer may see.

    Args:
        estimate: firm or budget.
        settings: the firm's details and the deposit it asks for.
    """
    return QuoteView(
        firm=settings.firm, is_offer=estimate.kind == "firm",
        reference=f"{estimate.job.id}/{estimate.revision}", job=estimate.job.title,
        customer=estimate.job.customer, address=estimate.job.address, on=words.day(estimate.on),
        valid_until=words.day(estimate.price.valid_until),
        valid_because=estimate.price.valid_because, scope=estimate.scope,
        things=_things(
            line for family in MAIN_FAMILIES for line in estimate.lines
            if line.family == family and not line.option
        ),
        options=_things(line for line in estimate.lines if line.option),
        stand_ins=tuple(f"{each.substitute_name}, in place of {each.original_name}"
                        for each in estimate.swaps),
        price=_price(estimate),
        span=words.between(
            estimate.price_range.low, estimate.price_range.high, estimate.currency),
        open_ended=estimate.price_range.open_ended, terms=_terms(estimate, settings),
        to_answer=tuple(dict.fromkeys(_asked(each) for each in estimate.questions)),
        to_settle=len(estimate.gaps) + sum(each.level == "stop" for each in estimate.findings),
        holds_if=estimate.price_holds_if, exclusions=estimate.exclusions,
        cautions=tuple((each.step, each.says) for each in cautions_for(estimate, "customer")),
        deferral=words.DEFERRAL,
    )


def _things(lines: Iterable[LineJson]) -> tuple[Thing, ...]:
    return tuple(Thing(words.so_many(line.need, line.unit), line.name) for line in lines)


def _asked(question: QuestionJson) -> str:
    """Return a question with what it is about: the plane's or the leg's name, else the part."""
    about = question.on or ABOUT.get(question.fact.partition(".")[0], "")
    return f"{about}: {question.asks}" if about else question.asks


def _price(estimate: EstimateJson) -> PriceView:
    price, currency = estimate.price, estimate.currency

    def shown(minor: int) -> str:
        return words.money(minor, currency)

    return PriceView(
        before=shown(price.list_net) if price.discount else "",
        off=shown(price.discount.amount) if price.discount else "",
        net=shown(price.net),
        tax=tuple(
            TaxRow(shown(each.net), words.rate(each.rate), shown(each.vat), each.because)
            for each in price.vat
        ),
        gross=shown(price.gross), vat_says=price.vat_says,
    )


def _terms(estimate: EstimateJson, settings: Settings) -> TermsView:
    terms, gross = estimate.terms, Money(estimate.price.gross, estimate.currency)
    most, both = terms.deposit_most_share, terms.deposit_and_advance_most_share
    asked = settings.pricing.deposit_share
    first = asked if most is None else min(asked, most)
    return TermsView(
        deposit=str(deposit(gross, asked, most)) if most is not None and first else "",
        deposit_share=words.rate(first),
        advance_limit=str(deposit(gross, both, both)) if both is not None else "",
        advance_share=words.rate(both or Decimal(0)),
        advance_weeks=_plain(terms.advance_weeks_before_delivery),
        cancel_days=_plain(terms.cancellation_days),
    )


def _plain(number: Decimal | None) -> str:
    return "" if number is None else plain(number)
