"""Everything that decides what a job costs, in pieces, and the estimate made of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from catalogue.items import Carriage, Item, Offer
from catalogue.price_book import PriceBook
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.toml_lines import KeyPath
from estimator.buying.swaps import Swap
from estimator.estimate import Basis, Estimate, make_estimate
from estimator.labour.norms import Norm
from estimator.practice.pack import Practice
from estimator.price import Discount
from estimator.rules.dictionary import fact_dictionary, practice_definitions
from estimator.rules.entries import Entry
from estimator.rules.load import compile_entries, role_units
from estimator.rules.model import RuleBook
from estimator.settings import Settings
from estimator.survey.agreement import check_agreement
from estimator.survey.model import Survey

_BOOKS = 3  # compiled rule books that are held: those of the two revisions, and the last between


@dataclass(frozen=True)
class Inputs:
    """What one revision was made with.

    Attributes:
        on: the day of prices, rules and practice values.
        rules: the entries of the rule files that count, in order.
        items: by code, as they are taken to have been.
        offers: by item, those in force on the day; `carriage` likewise, by supplier; both in the
            catalogue's `currency`.
        swaps: substitutes asked for.
    """

    survey: Survey
    on: date
    practice: Practice
    norms: Mapping[str, Norm]
    rules: tuple[Entry, ...]
    settings: Settings
    items: Mapping[str, Item]
    offers: Mapping[str, tuple[Offer, ...]]
    currency: str = "GBP"
    carriage: Mapping[str, tuple[Carriage, ...]] = field(default_factory=dict)
    swaps: tuple[Swap, ...] = ()
    discount: Discount | None = None

    def price_book(self) -> PriceBook:
        """Return the price book of these items and offers, whatever the day says of them."""
        book = PriceBook.of(self.on, self.items.values(), (), self.currency)
        return replace(book, offers=self.offers, carriage=self.carriage)


@dataclass(frozen=True, slots=True)
class Totals:
    """Full cost, price before tax and price with tax, in minor units."""

    cost: int
    net: int
    gross: int

    def __add__(self, other: Totals) -> Totals:
        """Return the sums."""
        return Totals(self.cost + other.cost, self.net + other.net, self.gross + other.gross)

    def __sub__(self, other: Totals) -> Totals:
        """Return the differences."""
        return Totals(self.cost - other.cost, self.net - other.net, self.gross - other.gross)

    @property
    def moves_nothing(self) -> bool:
        """Return whether all three are zero."""
        return not (self.cost or self.net or self.gross)


@dataclass(frozen=True)
class Made:
    """What a revision was made with, and the estimate made of it again."""

    inputs: Inputs
    estimate: Estimate


def totals_of(estimate: Estimate) -> Totals:
    """Return cost and prices of an estimate."""
    price = estimate.price
    return Totals(estimate.cost.total.minor, price.net.minor, price.gross.minor)


class Maker:
    """Makes estimates of inputs; rules are compiled again only where something they hang on has.

    Stops that were let pass are left out: they decide whether a price is firm, and move none.
    """

    def __init__(self) -> None:
        self._held: list[tuple[tuple[Entry, ...], tuple[Any, ...], RuleBook]] = []

    def totals(self, inputs: Inputs) -> Totals:
        """Return cost and prices; see `estimate`."""
        return totals_of(self.estimate(inputs))

    def estimate(self, inputs: Inputs) -> Estimate:
        """Return the estimate.

        Raises:
            ProblemsFound: for facts that contradict each other, rules that do not fit the practice
                values, norms or catalogue, or whatever `make_estimate` refuses.
        """
        basis = self.basis(inputs)
        return make_estimate(inputs.survey, basis, inputs.discount, (), inputs.swaps)

    def basis(self, inputs: Inputs) -> Basis:
        """Return what the inputs are priced with.

        Raises:
            ProblemsFound: for facts that contradict each other, or rules that do not fit the
                practice values, norms or catalogue.
        """
        _refuse_contradictions(inputs.survey)
        prices = inputs.price_book()
        return Basis(inputs.on, prices, self._rule_book(inputs, prices), inputs.norms,
                     inputs.practice, inputs.settings)

    def _rule_book(self, inputs: Inputs, prices: PriceBook) -> RuleBook:
        facts = fact_dictionary(practice_definitions(inputs.practice, inputs.on))
        hangs_on = (facts, prices.roles(), role_units(prices), set(inputs.norms),
                    inputs.settings.firm.currency)
        for rules, same, book in self._held:
            if rules is inputs.rules and same == hangs_on:
                return book
        _, roles, units, norms, currency = hangs_on
        book = compile_entries(
            inputs.rules, facts, roles=roles, norms=norms, units=units, currency=currency)
        self._held = [(inputs.rules, hangs_on, book), *self._held[: _BOOKS - 1]]
        return book


def _refuse_contradictions(survey: Survey) -> None:
    problems: list[Problem] = []

    def tell(kind: int, path: KeyPath, says: str, mend: str) -> None:
        problems.append(Problem(f"S{kind:03}", Place(".".join(map(str, path))), says, mend))

    check_agreement(survey.model_dump(), tell)
    if problems:
        raise ProblemsFound(problems)
