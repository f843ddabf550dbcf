"""What is bought of one item: whole packs of offers, what they cost, what is left over."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from catalogue.items import Offer
from catalogue.money import Money, round_half_up


@dataclass(frozen=True, slots=True)
class Buy:
    """So many packs of one offer.

    Attributes:
        packs: whole packs, at least one.
        cuts: lengths that are cut to measure for it; each bears the offer's cut charge.
    """

    offer: Offer
    packs: int
    cuts: int = 0

    @property
    def quantity(self) -> Decimal:
        """Return the units bought."""
        return self.offer.pack * self.packs

    @property
    def exact_cost_minor(self) -> Fraction:
        """Return the exact cost in minor units: packs and cut charges."""
        charge = self.offer.cut_charge.minor if self.offer.cut_charge is not None else 0
        return self.offer.exact_cost_minor(self.packs) + charge * self.cuts

    @property
    def cost(self) -> Money:
        """Return the cost, rounded once, halves away from zero."""
        return Money(round_half_up(self.exact_cost_minor), self.offer.price.currency)


@dataclass(frozen=True, slots=True)
class Purchase:
    """What covers a need.

    Attributes:
        need: units that are needed.
        buys: by supplier, pack and least quantity; none if nothing is needed.
        bound_minor: no purchase of whole packs costs less, exact minor units. Equal to the exact
            cost where the purchase is proven the cheapest.
    """

    need: Decimal
    buys: tuple[Buy, ...]
    bound_minor: Fraction

    @property
    def bought(self) -> Decimal:
        """Return the units bought."""
        return sum((buy.quantity for buy in self.buys), Decimal(0))

    @property
    def surplus(self) -> Decimal:
        """Return the units bought over the need."""
        return self.bought - self.need

    @property
    def packs(self) -> int:
        """Return the number of packs bought."""
        return sum(buy.packs for buy in self.buys)

    @property
    def exact_cost_minor(self) -> Fraction:
        """Return the exact cost in minor units, before any rounding."""
        return sum((buy.exact_cost_minor for buy in self.buys), Fraction(0))

    @property
    def gap_minor(self) -> Fraction:
        """Return by how much the purchase may miss the cheapest, in minor units; 0 if proven."""
        return self.exact_cost_minor - self.bound_minor


def preferred(offer: Offer) -> tuple[str, Decimal, Decimal]:
    """Return the order of the offers of an item where money, surplus and packs tie."""
    return offer.supplier, offer.pack, offer.least


def cut_to_measure(offer: Offer) -> bool:
    """Return whether an offer is cut to a measured length, as against lengths as they are packed.

    One with a cut charge is, be the charge zero; so is one sold by the metre or less at a time.
    """
    return offer.cut_charge is not None or offer.pack <= 1
