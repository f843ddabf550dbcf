"""What a job is charged for an item: whole packs bought for it, or units from the shelf."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction

from catalogue.items import Item, Offer
from catalogue.money import Money, round_half_up, total
from estimator.buying.drums import RunsBought, bought_unbroken
from estimator.buying.packs import cheapest_packs
from estimator.buying.purchase import Buy, Purchase

NOTHING_MINOR = Fraction(0)
_MILLIMETRE = Decimal("0.001")


@dataclass(frozen=True, slots=True)
class Charge:
    """What is bought for a line of the bill and what the job pays.

    Attributes:
        buys: whole packs; none if nothing is needed or nobody offers the item.
        unit_cost: exact price of a unit in minor units, without cut charges; of a mix the average.
            None if nothing is bought.
        cost: for a job item the whole packs, each buy rounded once; for shelf stock the units used.
        waste_cost: the allowance in money for shelf stock; zero for an item bought for the job.
        gap_minor: what the cheapest mix may cost less, in minor units; zero where it is proven.
        laid: of what may not be joined, which run comes from which length.
    """

    buys: tuple[Buy, ...]
    unit_cost: Fraction | None
    cost: Money
    waste_cost: Money
    gap_minor: Fraction = NOTHING_MINOR
    laid: RunsBought | None = None

    @property
    def main(self) -> Buy | None:
        """Return the buy that costs most; of equals the first."""
        return max(self.buys, key=lambda buy: buy.exact_cost_minor, default=None)


def charge(
    item: Item, runs: Sequence[Decimal], boxed: Decimal, offers: Sequence[Offer], currency: str,
    bars: Decimal = Decimal(0),
) -> Charge:
    """Return what is bought for an item and what the job is charged.

    Args:
        item: says whether it is bought for the job or kept on the shelf, and its waste.
        runs: quantities that rules ask for; each is unbroken where the item may not be joined.
        boxed: how much of them the boxes of other items supply.
        offers: every offer in force, in the currency, cheapest unit price first.
        bars: units in the bars from which all runs are cut, where the item is cut from bars.
    """
    used = sum(runs, Decimal(0)) - boxed
    allowance = used * item.waste
    zero = Money(0, currency)
    if not offers or used <= 0:
        return Charge((), None, zero, zero)
    whole = [_to_millimetre(run * (1 + item.waste)) for run in runs] if unbroken(item) else []
    if item.held == "stock":
        return _from_shelf(used, allowance, offers, currency, bars, whole)
    laid = bought_unbroken(whole, offers) if whole else None
    purchase = laid.purchase if laid else cheapest_packs(max(used + allowance, bars), offers)
    return Charge(
        purchase.buys, _average(purchase), total([buy.cost for buy in purchase.buys], currency),
        zero, purchase.gap_minor, laid)


def unbroken(item: Item) -> bool:
    """Return whether a run of the item must be one length: cable, which is not joined."""
    return item.family == "cable" and item.unit == "m"


def _to_millimetre(run: Decimal) -> Decimal:
    """Return a run raised to the millimetre: nobody cuts finer, and none is cut short."""
    return run.quantize(_MILLIMETRE, ROUND_CEILING)


def _average(purchase: Purchase) -> Fraction:
    goods = sum((buy.offer.exact_cost_minor(buy.packs) for buy in purchase.buys), Fraction(0))
    return goods / Fraction(purchase.bought)


def _from_shelf(
    used: Decimal, allowance: Decimal, offers: Sequence[Offer], currency: str, bars: Decimal,
    runs: Sequence[Decimal],
) -> Charge:
    """Return the charge for shelf stock: by the unit, at a price that this job alone would reach.

    The shelf is filled with the packs of that offer. An offer with a cut charge is no shelf price
    as long as there is another: its unit price leaves the charge out. Runs that may not be joined
    are laid out over full drums of that offer; which drums lie there the stock knows.
    """
    offer = shelf_offer(used + allowance, offers)
    unit = offer.unit_price_minor
    laid = bought_unbroken(runs, [offer]) if runs else None
    packs = max(_packs(max(used + allowance, bars), offer), laid.purchase.packs if laid else 0)
    return Charge(
        (Buy(offer, packs),), unit,
        Money(round_half_up(unit * Fraction(used)), currency),
        Money(round_half_up(unit * Fraction(allowance)), currency), laid=laid)


def shelf_offer(quantity: Decimal, offers: Sequence[Offer]) -> Offer:
    """Return the offer whose unit price shelf stock is charged at.

    The cheapest whose least quantity the job's own, in whole packs, reaches; where none is reached,
    the one that asks for least.
    """
    def reached(offer: Offer) -> bool:
        return offer.least <= offer.pack * _packs(quantity, offer)

    if len(offers) == 1:
        return offers[0]
    return min(offers, key=lambda o: (
        not reached(o), Decimal(0) if reached(o) else o.least, o.cut_charge is not None,
        o.unit_price_minor, o.supplier, o.pack, o.least))


def _packs(quantity: Decimal, offer: Offer) -> int:
    return -int(-Fraction(quantity) / Fraction(offer.pack) // 1)
