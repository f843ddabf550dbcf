"""Runs that may not be joined, bought on drums, by the metre or cut to measure.

A drum is a pack that is one length: a run longer than it does not fit, and its end may be shorter
than the next run. An offer that is cut to measure (`purchase.cut_to_measure`) is bought as one
length for all runs that are taken from it, in whole packs of its own, with one cut charge; the
firm parts it on site. A knife takes nothing off a cable.

`run_search` finds which run comes from which length. Ties: least length bought, then the first
found. What packs cost for the measured total alone, were it poured like water, is a lower bound;
it is the bound of the result where the search stopped at its limit.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil

from catalogue.items import Offer
from estimator.buying.packs import cheapest_packs, first_packs
from estimator.buying.purchase import Buy, Purchase, cut_to_measure, preferred
from estimator.buying.run_search import Layout, best_layout


@dataclass(frozen=True, slots=True)
class Length:
    """One bought length and the runs that are taken from it, longest first."""

    offer: Offer
    length: Decimal
    runs: tuple[Decimal, ...]

    @property
    def end(self) -> Decimal:
        """Return what is left of the length."""
        return self.length - sum(self.runs, Decimal(0))


@dataclass(frozen=True, slots=True)
class RunsBought:
    """The purchase that serves the runs, and which run comes from which length."""

    purchase: Purchase
    lengths: tuple[Length, ...]


def longest(offers: Sequence[Offer]) -> Decimal | None:
    """Return the longest unbroken length on offer; None if one is cut to any measure."""
    if any(cut_to_measure(offer) for offer in offers):
        return None
    return max(offer.pack for offer in offers)


def cheapest_lengths(runs: Sequence[Decimal], offers: Sequence[Offer]) -> RunsBought:
    """Return the cheapest lengths from which all runs can be taken unbroken.

    Args:
        runs: lengths above zero in the unit of the packs.
        offers: of one item, in one currency; price breaks are offers of their own.

    Raises:
        ValueError: if a run is longer than every length on offer, or as `cheapest_packs`.
    """
    total = sum(runs, Decimal(0))
    poured = cheapest_packs(total, offers)
    if not runs:
        return RunsBought(poured, ())
    most = longest(offers)
    if most is not None and max(runs) > most:
        raise ValueError(f"a run of {max(runs)} is longer than the longest length, {most}")
    ordered, ranked = sorted(runs, reverse=True), sorted(offers, key=preferred)
    layout = best_layout(ordered, ranked, poured)
    lengths = tuple(_lengths(layout, ordered, ranked))
    found = Purchase(total, tuple(_buys(lengths, ranked)), poured.bound_minor)
    bound = found.exact_cost_minor if layout.proven else poured.bound_minor
    return RunsBought(Purchase(total, found.buys, bound), lengths)


def _lengths(
    layout: Layout, runs: Sequence[Decimal], offers: Sequence[Offer]
) -> Iterator[Length]:
    """Yield the lengths by offer; where a least quantity asks for more of them, empty ones too."""
    for row, offer in enumerate(offers):
        held = [taken for at, taken in layout.lengths if at == row]
        if held and cut_to_measure(offer):
            taken = tuple(runs[at] for each in held for at in each)
            packs = max(first_packs(offer), ceil(Fraction(sum(taken)) / Fraction(offer.pack)))
            yield Length(offer, offer.pack * packs, taken)
        elif held:
            held += [()] * (first_packs(offer) - len(held))
            for each in held:
                yield Length(offer, offer.pack, tuple(runs[at] for at in each))


def _buys(lengths: Sequence[Length], offers: Sequence[Offer]) -> Iterator[Buy]:
    for offer in offers:
        held = [each for each in lengths if each.offer is offer]
        if held:
            packs = int(sum((each.length for each in held), Decimal(0)) / offer.pack)
            yield Buy(offer, packs, cuts=int(offer.cut_charge is not None))
