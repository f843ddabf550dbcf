"""Runs that may not be joined, bought on drums, by the metre or cut to measure.

A drum is a pack that is one length: a run longer than it does not fit, and its end may be shorter
than the next run. An offer that is cut to measure (`purchase.cut_to_measure`) is bought as one
length for all runs that are taken from it, in whole packs of its own, with one cut charge; the
firm parts it on site. A knife takes nothing off a cable.

A run longer than every length on offer is served by nothing, and never by two lengths joined. Packs
that hold as many metres stand for its price (`bought_unbroken`), and whoever asked must say so.

`run_search` finds which run comes from which length. Ties: least length bought, then the first
found. What packs cost for the measured total alone, were it poured like water, is a lower bound;
it is the bound of the result where the search stopped at its limit.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import ceil

from catalogue.items import Offer
from estimator.buying.packs import cheapest_packs, first_packs
from estimator.buying.purchase import Buy, Purchase, cut_to_measure, preferred
from estimator.buying.run_search import Layout, best_layout


@dataclass(frozen=True, slots=True)
class Length:
    """One bought length and the runs that are taken from it, longest first.

    `at`: where each of the runs stands among those that were asked for, from 0.
    """

    offer: Offer
    length: Decimal
    runs: tuple[Decimal, ...]
    at: tuple[int, ...] = ()

    @property
    def end(self) -> Decimal:
        """Return what is left of the length."""
        return self.length - sum(self.runs, Decimal(0))


@dataclass(frozen=True, slots=True)
class RunsBought:
    """The purchase that serves the runs, and which run comes from which length.

    `longest` is the longest length on offer, None where one is cut to any measure; `too_long` are
    the runs, counted from 0, that it does not serve.
    """

    purchase: Purchase
    lengths: tuple[Length, ...]
    longest: Decimal | None = None
    too_long: tuple[int, ...] = ()


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
    places = sorted(range(len(runs)), key=lambda at: (-runs[at], at))
    ordered, ranked = [runs[at] for at in places], sorted(offers, key=preferred)
    layout = best_layout(ordered, ranked, poured)
    lengths = tuple(replace(each, at=tuple(places[i] for i in each.at))
                    for each in _lengths(layout, ordered, ranked))
    found = Purchase(total, tuple(_buys(lengths, ranked)), poured.bound_minor)
    bound = found.exact_cost_minor if layout.proven else poured.bound_minor
    return RunsBought(Purchase(total, found.buys, bound), lengths)


def bought_unbroken(runs: Sequence[Decimal], offers: Sequence[Offer]) -> RunsBought:
    """Return the cheapest lengths for the runs that a length serves, and which ones none does.

    Args:
        runs, offers: as for `cheapest_lengths`, but a run may be of any length.
    """
    most = longest(offers)
    too_long = [at for at, run in enumerate(runs) if most is not None and run > most]
    served = [at for at in range(len(runs)) if at not in too_long]
    laid = cheapest_lengths([runs[at] for at in served], offers)
    lengths = tuple(replace(each, at=tuple(served[i] for i in each.at)) for each in laid.lengths)
    bought = [laid.purchase, *(cheapest_packs(runs[at], offers) for at in too_long)]
    packs: dict[Offer, int] = {}
    for buy in (buy for each in bought for buy in each.buys):
        packs[buy.offer] = packs.get(buy.offer, 0) + buy.packs
    purchase = laid.purchase if not too_long else Purchase(
        sum(runs, Decimal(0)), tuple(Buy(offer, packs[offer]) for offer in sorted(
            packs, key=preferred)), sum((each.bound_minor for each in bought), Fraction(0)))
    return RunsBought(purchase, lengths, most, tuple(too_long))


def _lengths(
    layout: Layout, runs: Sequence[Decimal], offers: Sequence[Offer]
) -> Iterator[Length]:
    """Yield the lengths by offer; where a least quantity asks for more of them, empty ones too."""
    for row, offer in enumerate(offers):
        held = [taken for at, taken in layout.lengths if at == row]
        if held and cut_to_measure(offer):
            taken = tuple(runs[at] for each in held for at in each)
            packs = max(first_packs(offer), ceil(Fraction(sum(taken)) / Fraction(offer.pack)))
            yield Length(offer, offer.pack * packs, taken, tuple(
                at for each in held for at in each))
        elif held:
            held += [()] * (first_packs(offer) - len(held))
            for each in held:
                yield Length(offer, offer.pack, tuple(runs[at] for at in each), tuple(each))


def _buys(lengths: Sequence[Length], offers: Sequence[Offer]) -> Iterator[Buy]:
    for offer in offers:
        held = [each for each in lengths if each.offer is offer]
        if held:
            packs = int(sum((each.length for each in held), Decimal(0)) / offer.pack)
            yield Buy(offer, packs, cuts=int(offer.cut_charge is not None))
