"""From the offers for an item to the ways in which each supplier can bring what is needed of it.

For each supplier the cheapest whole packs (`packs`). Where its offers differ in lead days or in
carriage class, also the cheapest of those that come sooner, and of those that are of no class: a
basket may do better with dearer goods that come in time or need no pallet.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal

from catalogue.items import Offer
from estimator.buying.basket_values import Choice
from estimator.buying.packs import cheapest_packs


def choices_of(need: Decimal, offers: Iterable[Offer]) -> tuple[Choice, ...]:
    """Return every supplier's ways to bring a need, in the order of `Choice.rank`.

    Each offer's packs are priced as the supplier's paper prices them, rounded once per offer.

    Args:
        need: above zero, in the unit of the packs.
        offers: of one item, in one currency, in force on the day.
    """
    by_supplier: dict[str, list[Offer]] = {}
    for offer in offers:
        by_supplier.setdefault(offer.supplier, []).append(offer)
    found: list[Choice] = []
    for _, own in sorted(by_supplier.items()):
        for some in _ranges(own):
            choice = _choice(need, some)
            if not any(_as_good(other, choice) for other in found):
                found.append(choice)
    return tuple(sorted(found, key=lambda choice: choice.rank))


def _ranges(offers: Sequence[Offer]) -> Iterator[list[Offer]]:
    """Yield the offers that come within so many days, the most days first; all, then classless."""
    for most in sorted({offer.lead_days for offer in offers}, reverse=True):
        soon = [offer for offer in offers if offer.lead_days <= most]
        yield soon
        plain = [offer for offer in soon if not offer.carriage_class]
        if 0 < len(plain) < len(soon):
            yield plain


def _choice(need: Decimal, offers: Sequence[Offer]) -> Choice:
    buys = cheapest_packs(need, offers).buys
    return Choice(
        buys[0].offer.supplier, sum(buy.cost.minor for buy in buys),
        max(buy.offer.lead_days for buy in buys),
        frozenset(buy.offer.carriage_class for buy in buys if buy.offer.carriage_class), buys)


def _as_good(one: Choice, other: Choice) -> bool:
    """Return whether one choice of a supplier is in no way worse than another."""
    return (
        one.supplier == other.supplier and one.goods_minor <= other.goods_minor
        and one.lead_days <= other.lead_days and one.classes <= other.classes
    )
