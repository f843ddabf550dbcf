"""The price book: every item, box content and offer in force on one day, frozen.

Stages never query a database. They are handed a price book, so an old estimate can be computed
again and tests need no tables.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass, field, replace
from datetime import date
from types import MappingProxyType

from catalogue.items import BoxPart, Carriage, Item, Offer, holding_on


@dataclass(frozen=True)
class PriceBook:
    """Items by code and, for each, the offers in force on the day, cheapest unit price first.

    One supplier may have several offers for an item: packs of several sizes, and price breaks.
    `carriage` is what each supplier charges for bringing an order.
    """

    on: date
    currency: str
    items: Mapping[str, Item]
    offers: Mapping[str, tuple[Offer, ...]]
    _by_role: Mapping[tuple[str, str], tuple[Item, ...]] = field(repr=False)
    carriage: Mapping[str, tuple[Carriage, ...]] = field(default_factory=dict)

    @classmethod
    def of(
        cls, on: date, items: Iterable[Item], offers: Iterable[Offer], currency: str = "GBP",
        carriage: Iterable[Carriage] = (),
    ) -> PriceBook:
        """Build the book of a day; offers out of force or in another currency are left out."""
        by_code = {item.code: item for item in sorted(items, key=lambda item: item.code)}
        in_force = [o for o in holding_on(offers, on) if o.price.currency == currency]
        by_role: dict[tuple[str, str], list[Item]] = {}
        for item in by_code.values():
            for role in item.roles:
                by_role.setdefault((item.family, role), []).append(item)
        roles = {key: tuple(each) for key, each in by_role.items()}
        return cls(
            on, currency, MappingProxyType(by_code), _ranked(in_force),
            MappingProxyType(roles), _by_supplier(holding_on(carriage, on), currency),
        )

    def with_offers(self, offers: Iterable[Offer]) -> PriceBook:
        """Return the same book with other offers in force."""
        return replace(self, offers=_ranked(offers))

    def offer(self, code: str) -> Offer | None:
        """Return the cheapest offer of a single pack on the day; ties go to the supplier's name.

        Where every offer asks for more than one pack, the cheapest of those.
        """
        ranked = self.offers.get(code, ())
        single = (offer for offer in ranked if offer.least <= offer.pack)
        return next(single, ranked[0] if ranked else None)

    def with_role(self, family: str, role: str) -> tuple[Item, ...]:
        """Return the items of a family that serve a role, by code."""
        return self._by_role.get((family, role), ())

    def roles(self) -> frozenset[tuple[str, str]]:
        """Return every (family, role) that some item serves."""
        return frozenset(self._by_role)

    def contents(self, code: str) -> tuple[BoxPart, ...]:
        """Return what lies in an item's box on the day."""
        return tuple(
            part for part in self.items[code].contents
            if part.from_date <= self.on and (part.to_date is None or self.on <= part.to_date)
        )

    def standing_in(self, swaps: Mapping[str, str], without: Set[str] = frozenset()) -> PriceBook:
        """Return a book for choosing, in which substitutes stand in their originals' place.

        Args:
            swaps: code of the original -> code of the substitute.
            without: codes of other items that are not to be chosen.

        Returns:
            a book in which neither the originals nor those others have a role or an offer, and
            each substitute is offered as its original is here, so that it ranks where that did.
        """
        gone = {*swaps, *without}
        offers = {code: each for code, each in self.offers.items() if code not in gone}
        for original, substitute in swaps.items():
            if original in self.offers:
                offers[substitute] = tuple(
                    replace(offer, item=substitute) for offer in self.offers[original])
        roles = {key: tuple(item for item in each if item.code not in gone)
                 for key, each in self._by_role.items()}
        return replace(self, offers=MappingProxyType(offers), _by_role=MappingProxyType(roles))


def _ranked(offers: Iterable[Offer]) -> Mapping[str, tuple[Offer, ...]]:
    """Return the offers for each item, cheapest unit price first."""
    found: dict[str, list[Offer]] = {}
    for offer in offers:
        found.setdefault(offer.item, []).append(offer)
    return MappingProxyType({
        code: tuple(sorted(each, key=_rank)) for code, each in found.items()})


def _rank(offer: Offer) -> tuple[object, ...]:
    return offer.unit_price_minor, offer.supplier, offer.pack, offer.least


def _by_supplier(
    charges: Iterable[Carriage], currency: str
) -> Mapping[str, tuple[Carriage, ...]]:
    found: dict[str, list[Carriage]] = {}
    for each in sorted(charges, key=lambda c: (c.supplier, c.carriage_class)):
        if each.charge.currency == currency:
            found.setdefault(each.supplier, []).append(each)
    return MappingProxyType({name: tuple(each) for name, each in found.items()})
