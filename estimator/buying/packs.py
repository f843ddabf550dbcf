"""From a needed quantity to the cheapest mix of whole packs that covers it.

Each offer is a row of a price list: a supplier's pack, its price, and the least quantity from
which that price holds. The rules:

- A minimum order or price break counts the units bought of that supplier's pack size on this
  purchase; packs of another size or supplier do not count towards it. The price of a row holds for
  all units bought on it (an all-units break), so buying more to reach a break may be cheaper.
- An offer that is cut to measure bears its cut charge once: the need is bought from it as one
  length and parted by the buyer.
- Costs are compared exactly; only what a buy costs is rounded, once. Two buys may so be a penny
  dearer on paper than the exact sums say.
- Ties: least surplus, then fewest packs, then as much as possible from the offer that is first by
  supplier, pack and least quantity.

Method: a covering knapsack with whole packs, solved by dynamic programming over the quantity still
to be covered, in units of the greatest common divisor of the packs (a need counts up to the next
such unit, since every mix does). Cost, quantity and packs are laid in one whole number, so that one
comparison decides money first and the ties after it.

Huge needs: let b be the offer with the lowest unit price and s its pack in grid units. Among any s
packs of other offers there are some whose sizes add up to a multiple of s (of the s + 1 sums from
the first on, two are alike modulo s). Packs of b in their place hold as much and cost no more. So
some cheapest purchase has, beyond the least quantities of their rows, fewer than s packs of other
offers, and all that lies above this is bought from b before anything is searched. What is left is
bounded by the packs, not by the need. An offer b that has a cut charge is left out of this, since
its first pack costs more than the others.

The search is exact up to `CELLS_MOST` cells. Beyond, which takes large packs without a common
divisor, all but that much of the need is bought from b and the rest searched; if even that breaks
a minimum order, one offer alone is bought. `Purchase.gap_minor` says what it may be too dear.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import ceil, gcd, lcm

from catalogue.items import Offer
from estimator.buying.purchase import Buy, Purchase, preferred

CELLS_MOST = 2_000_000


@dataclass(frozen=True, slots=True)
class _Row:
    """An offer in whole numbers.

    Attributes:
        size: of a pack, in grid units; `first`: packs bought at least, if any are.
        weight: of one pack and `opening` of its first ones: cost, quantity and packs in one number.
    """

    offer: Offer
    size: int
    first: int
    weight: int = 0
    opening: int = 0


def cheapest_packs(need: Decimal, offers: Sequence[Offer]) -> Purchase:
    """Return the cheapest whole packs that cover a need.

    Args:
        need: in the unit of the packs; nothing is bought for zero or less.
        offers: of one item, in one currency; price breaks are offers of their own.

    Raises:
        ValueError: if something is needed and nothing offered, or the offers are not of one item
            in one currency.
    """
    if need <= 0:
        return Purchase(max(need, Decimal(0)), (), Fraction(0))
    _check(offers)
    ranked = sorted(offers, key=preferred)
    unit = _grid([offer.pack for offer in ranked])
    rows = [
        _Row(offer, int(Fraction(offer.pack) / unit), first_packs(offer)) for offer in ranked
    ]
    target = ceil(Fraction(need) / unit)
    if len(rows) == 1:
        return _proven(need, rows, [max(rows[0].first, ceil(Fraction(target, rows[0].size)))])
    best, bulk = _bulk(rows, target)
    if len(rows) * (target - bulk * rows[best].size) > CELLS_MOST:
        return _near(need, rows, target)
    return _proven(need, rows, _mix_above(rows, target, best, bulk))


def first_packs(offer: Offer) -> int:
    """Return the packs that a row's least quantity takes, one at least."""
    return max(1, ceil(Fraction(offer.least) / Fraction(offer.pack)))


def _check(offers: Sequence[Offer]) -> None:
    if not offers:
        raise ValueError("nothing is offered")
    if len({(offer.item, offer.price.currency) for offer in offers}) > 1:
        raise ValueError("the offers are not of one item in one currency")


def _grid(packs: Sequence[Decimal]) -> Fraction:
    """Return the greatest length of which every pack is a whole multiple."""
    exact = [Fraction(pack) for pack in packs]
    common = lcm(*(each.denominator for each in exact))
    return Fraction(gcd(*(int(each * common) for each in exact)), common)


def _buys(rows: Sequence[_Row], packs: Sequence[int]) -> tuple[Buy, ...]:
    return tuple(
        Buy(row.offer, many, cuts=int(row.offer.cut_charge is not None))
        for row, many in zip(rows, packs, strict=True) if many
    )


def _proven(need: Decimal, rows: Sequence[_Row], packs: Sequence[int]) -> Purchase:
    found = Purchase(need, _buys(rows, packs), Fraction(0))
    return replace(found, bound_minor=found.exact_cost_minor)


def _bulk(rows: Sequence[_Row], target: int) -> tuple[int, int]:
    """Return the row of the lowest unit price and the packs of it that are bought in any case."""
    best = min(range(len(rows)), key=lambda i: (rows[i].offer.unit_price_minor, -rows[i].size, i))
    row = rows[best]
    others = [each for i, each in enumerate(rows) if i != best]
    rest = sum(each.first * each.size for each in others)
    rest += (row.size - 1) * max(each.size for each in others)
    packs = (target - rest) // row.size
    return best, packs if packs >= row.first and row.offer.cut_charge is None else 0


def _mix_above(rows: Sequence[_Row], target: int, best: int, bulk: int) -> list[int]:
    """Return the packs of each row if so many packs of one row are bought in any case."""
    left = list(rows)
    if bulk:
        left[best] = replace(left[best], first=1)
        target -= bulk * left[best].size
    packs = _mix(_weighed(left, target), target)
    packs[best] += bulk
    return packs


def _weighed(rows: Sequence[_Row], target: int) -> list[_Row]:
    """Return the rows with their weights: cost, then quantity, then packs, in one whole number."""
    most = 1 + 4 * (target + sum((row.first + 1) * row.size for row in rows))
    whole = lcm(*(row.offer.exact_cost_minor(1).denominator for row in rows))
    weighed = []
    for row in rows:
        cost = int(row.offer.exact_cost_minor(1) * whole)
        charge = row.offer.cut_charge.minor * whole if row.offer.cut_charge is not None else 0
        weight = (cost * most + row.size) * most + 1
        weighed.append(replace(
            row, weight=weight, opening=row.first * weight + charge * most * most))
    return weighed


@dataclass(frozen=True, slots=True)
class CostTable:
    """Lower bounds of what packs cost: for a need of n `unit`, costs[n] / `whole` minor units."""

    unit: Fraction
    whole: int
    costs: Sequence[int]


def cost_table(most: Decimal, offers: Sequence[Offer], opened: Collection[int]) -> CostTable:
    """Return what packs cost at least, for every need up to a greatest one.

    Args:
        most: the greatest need that will be asked for.
        offers: as for `cheapest_packs`.
        opened: positions of the offers whose least quantity and cut charge are paid already.
    """
    unit = _grid([offer.pack for offer in offers])
    whole = lcm(*(offer.exact_cost_minor(1).denominator for offer in offers))
    target = ceil(Fraction(most) / unit)
    if len(offers) * target > CELLS_MOST // 10:
        rate = min(offer.unit_price_minor for offer in offers) * unit * whole
        return CostTable(unit, whole, [n * rate.numerator // rate.denominator
                                       for n in range(target + 1)])
    rows = []
    for at, offer in enumerate(offers):
        buy = Buy(offer, 1 if at in opened else first_packs(offer), cuts=int(at not in opened))
        rows.append(_Row(offer, int(Fraction(offer.pack) / unit), buy.packs,
                         int(offer.exact_cost_minor(1) * whole), int(buy.exact_cost_minor * whole)))
    costs = [0] + [sum(row.opening for row in rows) + (target + 1) * sum(
        row.weight for row in rows)] * target
    for row in rows:
        costs = list(map(min, _used(row, costs), costs))
    return CostTable(unit, whole, costs)


def _mix(rows: Sequence[_Row], target: int) -> list[int]:
    """Return the packs of each row in the mix of least weight that covers the target."""
    never = 1 + sum(row.opening for row in rows) + (target + 1) * max(row.weight for row in rows)
    after = [0] + [never] * target
    tables = []
    for row in reversed(rows):
        used = _used(row, after)
        tables.append((used, after))
        after = list(map(min, used, after))
    packs = []
    for row, (used, without) in zip(rows, reversed(tables), strict=True):
        many = 0
        if used[target] <= without[target]:
            many, spent = row.first, used[target]
            while target >= row.size and spent == used[target - row.size] + row.weight:
                many, target = many + 1, target - row.size
                spent = used[target]
            target = max(0, target - row.first * row.size)
        packs.append(many)
    return packs


def _used(row: _Row, after: Sequence[int]) -> list[int]:
    """Return the least weight of covering 0, 1, 2 ... with this row in use and later rows free."""
    size, opened = row.size, row.first * row.size
    used = [after[0] + row.opening] * min(opened + 1, len(after))
    used += [weight + row.opening for weight in after[1:max(1, len(after) - opened)]]
    for covered in range(size, len(used)):
        more = used[covered - size] + row.weight
        if more < used[covered]:
            used[covered] = more
    return used


def _near(need: Decimal, rows: Sequence[_Row], target: int) -> Purchase:
    """Return a purchase for a need beyond the limit of the search, with the gap to a bound."""
    spare = target - CELLS_MOST // len(rows)
    open_rows = [
        i for i, row in enumerate(rows)
        if row.first * row.size <= spare and row.offer.cut_charge is None
    ]
    found = [_buys([row], [max(row.first, ceil(Fraction(target, row.size)))]) for row in rows]
    if open_rows:
        best = min(open_rows, key=lambda i: (rows[i].offer.unit_price_minor, -rows[i].size, i))
        found.append(_buys(rows, _mix_above(rows, target, best, spare // rows[best].size)))
    bound = Fraction(need) * min(row.offer.unit_price_minor for row in rows)
    return min(
        (Purchase(need, buys, bound) for buys in found),
        key=lambda each: (each.exact_cost_minor, each.surplus, each.packs,
                          [(preferred(buy.offer), buy.packs) for buy in each.buys]),
    )
