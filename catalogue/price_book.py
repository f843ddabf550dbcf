"""The price book: every item, box content and offer in force on one day, frozen.

Stages never query a database. They are handed a price book, so an old estimate can be computed
again and tests need no tables.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from types import MappingProxyType

from catalogue.items import BoxPart, Item, Offer


@dataclass(frozen=True)
class PriceBook:
    """Items by code and, for each, the offers in force on the day, cheapest unit price first."""

    on: date
    currency: str
    items: Mapping[str, Item]
    offers: Mapping[str, tuple[Offer, ...]]
    _by_role: Mapping[tuple[str, str], tuple[Item, ...]] = field(repr=False)

    @classmethod
    def of(
        cls, on: date, items: Iterable[Item], offers: Iterable[Offer], currency: str = "GBP"
    ) -> PriceBook:
        """Build the book of a day; offers out of force or in another currency are left out."""
        by_code = {item.code: item for item in sorted(items, key=lambda item: item.code)}
        in_force: dict[str, list[Offer]] = {}
        for offer in offers:
            if offer.in_force(on) and offer.price.currency == currency:
                in_force.setdefault(offer.item, []).append(offer)
        ranked = {
            code: tuple(sorted(each, key=lambda o: (o.unit_price_minor, o.supplier, o.pack)))
            for code, each in in_force.items()
        }
        by_role: dict[tuple[str, str], list[Item]] = {}
        for item in by_code.values():
            for role in item.roles:
                by_role.setdefault((item.family, role), []).append(item)
        roles = {key: tuple(each) for key, each in by_role.items()}
        return cls(
            on, currency, MappingProxyType(by_code), MappingProxyType(ranked),
            MappingProxyType(roles),
        )

    def offer(self, code: str) -> Offer | None:
        """Return the cheapest offer for an item on the day; ties go to the supplier's name."""
        ranked = self.offers.get(code, ())
        return ranked[0] if ranked else None

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
