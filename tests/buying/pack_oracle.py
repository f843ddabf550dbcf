"""The cheapest whole packs by trying every mix, written apart from the search that it judges."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import product
from math import ceil

from catalogue.items import Offer

Mix = tuple[int, ...]


def row_cost(offer: Offer, packs: int) -> Fraction:
    """Return what packs of a row cost in minor units, from the fields of the offer alone."""
    if not packs:
        return Fraction(0)
    units = Fraction(offer.pack) * packs
    charge = offer.cut_charge.minor if offer.cut_charge is not None else 0
    per = offer.pack if offer.per is None else offer.per
    return Fraction(offer.price.minor) * units / Fraction(per) + charge


def every_mix(need: Fraction, offers: Sequence[Offer]) -> Iterator[Mix]:
    """Yield every mix in which no offer is bought beyond what it takes to cover the need alone.

    A mix with more than that is never better: with the packs above taken away it still covers
    the need and its least quantity, and costs no more. The last offer covers what is left.
    """
    first, rest = offers[0], offers[1:]
    pack = Fraction(first.pack)
    least = max(1, ceil(Fraction(first.least) / pack))
    most = max(least, ceil(need / pack))
    for packs in [0, *range(least, most + 1)] if rest else [0 if need <= 0 else most]:
        if not rest:
            yield (packs,)
            continue
        for others in every_mix(need - packs * pack, rest):
            yield (packs, *others)


def best_mix(need: Fraction, offers: Sequence[Offer]) -> tuple[Fraction, Fraction, int, Mix]:
    """Return cost, surplus, packs and the mix, least first; ties go to the first offers."""
    def rank(mix: Mix) -> tuple[Fraction, Fraction, int, Mix]:
        cost, bought = Fraction(0), Fraction(0)
        for offer, packs in zip(offers, mix, strict=True):
            if packs:
                cost += row_cost(offer, packs)
                bought += Fraction(offer.pack) * packs
        return cost, bought - need, sum(mix), tuple(-packs for packs in mix)

    cost, surplus, packs, negative = min(map(rank, every_mix(need, offers)))
    return cost, surplus, packs, tuple(-each for each in negative)


def partitions(runs: tuple[int, ...]) -> Iterator[list[list[int]]]:
    """Yield every way to part runs (by index) into groups."""
    if not runs:
        yield []
        return
    for groups in partitions(runs[1:]):
        yield [[runs[0]], *groups]
        for at in range(len(groups)):
            yield [*groups[:at], [runs[0], *groups[at]], *groups[at + 1:]]


def best_lengths(runs: Sequence[Fraction], offers: Sequence[Offer]) -> Fraction | None:
    """Return the least cost of drums and cut lengths that hold the runs; None if none do.

    An offer with a cut charge is one length of any measure in whole packs, the others are drums.
    """
    costs = []
    for groups in partitions(tuple(range(len(runs)))):
        for rows in product(range(len(offers)), repeat=len(groups)):
            cost = _laid_cost([sum(runs[i] for i in group) for group in groups], rows, offers)
            if cost is not None:
                costs.append(cost)
    return min(costs, default=None)


def _laid_cost(
    sums: Sequence[Fraction], rows: Sequence[int], offers: Sequence[Offer]
) -> Fraction | None:
    cost = Fraction(0)
    for row, offer in enumerate(offers):
        held = [sums[at] for at, chosen in enumerate(rows) if chosen == row]
        if not held:
            continue
        pack = Fraction(offer.pack)
        if offer.cut_charge is None and any(each > pack for each in held):
            return None
        packs = len(held) if offer.cut_charge is None else ceil(sum(held) / pack)
        cost += row_cost(offer, max(packs, ceil(Fraction(offer.least) / pack)))
    return cost
