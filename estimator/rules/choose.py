"""Chooses the catalogue item for a demand, and tells what a line may cost while facts are open."""

from __future__ import annotations

from fractions import Fraction

from catalogue.items import Item
from catalogue.price_book import PriceBook
from estimator.rules.results import Requirement


class Chooser:
    """Looks up one price book; the same demand is looked up once.

    It may serve many jobs: a price book is frozen.
    """

    def __init__(self, prices: PriceBook) -> None:
        self.prices = prices
        self._chosen: dict[Requirement, Item | None] = {}
        self._ranges: dict[Requirement, tuple[Fraction, Fraction] | None] = {}

    def choose(self, requirement: Requirement) -> Item | None:
        """Return the cheapest item that serves, by unit price; ties go to the lower code.

        An item that comes only in other items' boxes is taken where nothing on offer serves. An
        item that is sold but has no offer on the day is never taken: it would cost nothing.
        """
        if requirement not in self._chosen:
            self._chosen[requirement] = self._choose(requirement)
        return self._chosen[requirement]

    def _choose(self, requirement: Requirement) -> Item | None:
        serving = self._serving(requirement)
        priced = self._priced(serving)
        if priced:
            return min(priced, key=lambda each: (each[0], each[1].code))[1]
        boxed = [item for item in serving if not item.sold_apart]
        return min(boxed, key=lambda item: item.code) if boxed else None

    def range(self, requirement: Requirement, *, open_: bool) -> tuple[Fraction, Fraction] | None:
        """Return the least and greatest unit price, in minor units, of items that may serve.

        Args:
            requirement: the demands that are known.
            open_: whether others hang on unknown facts; if not, the cheapest item is the one.
        """
        if requirement not in self._ranges:
            prices = [price for price, _ in self._priced(self._serving(requirement))]
            self._ranges[requirement] = (min(prices), max(prices)) if prices else None
        found = self._ranges[requirement]
        return found if found is None or open_ else (found[0], found[0])

    def _serving(self, requirement: Requirement) -> list[Item]:
        if requirement.code:
            item = self.prices.items.get(requirement.code)
            return [item] if item is not None else []
        listed = self.prices.with_role(requirement.family, requirement.role)
        return [item for item in listed if requirement.serves(item)]

    def _priced(self, items: list[Item]) -> list[tuple[Fraction, Item]]:
        offers = ((self.prices.offer(item.code), item) for item in items if item.sold_apart)
        return [(offer.unit_price_minor, item) for offer, item in offers if offer is not None]
