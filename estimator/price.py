"""From full cost to the quoted price: margin, price step, discount, tax by date, sign-off.

Margin and markup are never confused: a margin is a share of the price, a markup a share of the
cost. A margin here is net (over full cost with overhead) unless it is called contribution.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from catalogue.money import Exact, Money, exact, raised_to_step, total
from catalogue.problems import Place, Problem, ProblemsFound
from estimator.bill import Bill
from estimator.cost import CostSheet
from estimator.settings import Pricing
from estimator.vat import VatDecision, VatLine, vat_split

__all__ = [
    "Discount", "Price", "VatLine", "deposit", "list_price", "margin_from_markup",
    "markup_from_margin", "markup_on", "net_margin", "offer_endings", "price_of",
    "sales_needed_after_discount", "signed_by", "valid_until", "vat_ending",
]

Ending = tuple[date, str]


@dataclass(frozen=True, slots=True)
class Discount:
    """Money off, with the reason and the name of who allowed it."""

    amount: Money
    reason: str
    name: str


@dataclass(frozen=True)
class Price:
    """The quoted price.

    Attributes:
        list_net: cost / (1 - margin), raised to the price step, or a higher price that was agreed
            before; net: after discount.
        margin: (net - cost) / net; markup: (net - cost) / cost; contribution: (net - direct) / net;
            all exact, computed after rounding the price.
        signed_by: "estimator", "manager" or "owner": who may let the quote go at this margin.
        vat_says: one sentence on the tax, for the customer.
        cautions: what somebody has to look at before the quote goes out.
    """

    list_net: Money
    discount: Discount | None
    net: Money
    vat: tuple[VatLine, ...]
    gross: Money
    margin: Fraction
    markup: Fraction
    contribution: Fraction
    signed_by: str
    vat_says: str = ""
    cautions: tuple[str, ...] = ()


def price_of(
    cost: CostSheet, pricing: Pricing, vat: VatDecision, discount: Discount | None = None,
    least: Money | None = None,
) -> Price:
    """Return the price of a job from its full cost.

    The exact price C / (1 - m) is raised to the price step, then the discount comes off, then the
    tax goes on. Margin, markup and contribution are those of the price after all that.

    Args:
        cost: the cost sheet.
        pricing: the firm's target margin, price step and sign-off bands.
        vat: how the price is taxed.
        discount: money off, if any.
        least: the list price is no lower: what was agreed before stands, though the job costs less.

    Raises:
        ProblemsFound: M001 to M004 for a discount that may not be given.
        ValueError: if the discount or the least price is in another currency.
    """
    step_minor = Money.of(pricing.price_step).minor
    list_net = list_price(cost.total, pricing.margin_target, max(1, step_minor))
    if least is not None and list_net < least:
        list_net = least
    net = list_net
    if discount is not None:
        _check(discount, list_net)
        net = list_net - discount.amount
    lines = vat_split(net, vat.parts)
    margin = net_margin(net, cost.total)
    return Price(
        list_net=list_net, discount=discount, net=net, vat=lines,
        gross=total([net, *(line.vat for line in lines)]),
        margin=margin, markup=markup_on(net, cost.total),
        contribution=net_margin(net, cost.direct), signed_by=signed_by(margin, pricing),
        vat_says=vat.says, cautions=vat.cautions,
    )


def list_price(cost: Money, margin: Exact, step_minor: int = 1) -> Money:
    """Return cost / (1 - margin), raised to the price step before any other rounding.

    Raises:
        ValueError: if the margin is not below one, or the step is less than one minor unit.
    """
    share = exact(margin)
    if share >= 1:
        raise ValueError("a margin is below 100 % of the price")
    return Money(raised_to_step(cost.minor / (1 - share), step_minor), cost.currency)


def _check(discount: Discount, list_net: Money) -> None:
    """Refuse a discount without reason or name, or one that leaves nothing to pay."""
    where = Place("discount")
    problems = []
    if not discount.reason.strip():
        problems.append(Problem("M001", where, "the discount has no reason", "say why"))
    if not discount.name.strip():
        problems.append(Problem("M002", where, "nobody has put a name to the discount",
                                "say who allows it"))
    if discount.amount.minor <= 0:
        problems.append(Problem("M003", where, f"the discount is {discount.amount}",
                                "a discount is more than nothing; leave it out otherwise"))
    if discount.amount >= list_net:
        problems.append(Problem(
            "M004", where,
            f"the discount of {discount.amount} leaves nothing of the net price of {list_net}",
            "give less, or take work out of the scope"))
    if problems:
        raise ProblemsFound(problems)


def signed_by(margin: Fraction, pricing: Pricing) -> str:
    """Return who may let a quote go at a net margin; limits are compared unrounded.

    At the target or above: the estimator. Less than the target by no more than the manager's
    band, and not under the minimum: the manager. Anything below: the owner, in writing.

    Source: common practice, no source; the bands are the firm's own.
    """
    if margin < Fraction(pricing.margin_minimum):
        return "owner"
    if margin >= Fraction(pricing.margin_target):
        return "estimator"
    if margin >= Fraction(pricing.margin_target) - Fraction(pricing.manager_below_target):
        return "manager"
    return "owner"


def net_margin(price: Money, cost: Money) -> Fraction:
    """Return (price - cost) / price, exact; zero for a job that costs and earns nothing.

    Over the full cost this is the net margin, over the direct cost the contribution.

    Raises:
        ValueError: if there is a cost but no price.
    """
    return _share_of((price - cost).minor, price.minor)


def markup_on(price: Money, cost: Money) -> Fraction:
    """Return (price - cost) / cost, exact; zero for a job that costs and earns nothing.

    Raises:
        ValueError: if there is a price but no cost.
    """
    return _share_of((price - cost).minor, cost.minor)


def _share_of(part: int, whole: int) -> Fraction:
    if whole == 0 and part:
        raise ValueError("there is no share of nothing")
    return Fraction(part, whole) if whole else Fraction(0)


def markup_from_margin(margin: Exact) -> Fraction:
    """Return m / (1 - m): the markup on cost that gives a margin on the price.

    Raises:
        ValueError: if the margin is not below one.
    """
    share = exact(margin)
    if share >= 1:
        raise ValueError("a margin is below 100 % of the price")
    return share / (1 - share)


def margin_from_markup(markup: Exact) -> Fraction:
    """Return k / (1 + k): the margin on the price that a markup on cost gives.

    Raises:
        ValueError: if the markup is -100 % or less.
    """
    share = exact(markup)
    if share <= -1:
        raise ValueError("a markup is above -100 % of the cost")
    return share / (1 + share)


def sales_needed_after_discount(discount: Exact, margin: Exact) -> Fraction:
    """Return d / (m - d): how much more must be sold to earn as much as without the discount.

    Raises:
        ValueError: if the discount is negative or takes the whole margin, so that no volume
            makes up for it.
    """
    off, share = exact(discount), exact(margin)
    if not 0 <= off < share:
        raise ValueError("the discount is at least zero and less than the margin")
    return off / (share - off)


def deposit(gross: Money, firm_share: Exact, most_share: Exact) -> Money:
    """Return the deposit: the firm's share of the price with tax, within the most allowed.

    Rounded down, so that it never exceeds the limit. The same sum gives the limit for deposit
    and advance payment together.

    Raises:
        ValueError: if a share is not between zero and one.
    """
    share = min(exact(firm_share), exact(most_share))
    if share < 0 or max(exact(firm_share), exact(most_share)) > 1:
        raise ValueError("a share of the price is between zero and one")
    return Money(int(gross.minor * share), gross.currency)


def valid_until(on: date, validity_days: int, endings: Iterable[Ending] = ()) -> Ending:
    """Return the last day on which a quote holds, and what ends it.

    Args:
        on: day of the prices.
        validity_days: the firm's own term.
        endings: last days of offers, rates and bought-in quotes, each with its reason.

    The earliest day counts; on a tie the first reason given, the firm's own term before all.
    """
    own = (on + timedelta(days=validity_days), f"quotes hold for {validity_days} days")
    return min([own, *endings], key=lambda ending: ending[0])


def offer_endings(bill: Bill) -> tuple[Ending, ...]:
    """Return the last day of every supplier's price in the bill, without naming the supplier."""
    return tuple(
        (buy.offer.to_date, f"the buying price of {line.item.name} ends")
        for line in bill.lines if not line.option
        for buy in line.buys if buy.offer.to_date is not None
    )


def vat_ending(vat: VatDecision) -> tuple[Ending, ...]:
    """Return the last day of the VAT rates in the price, if a change is known."""
    return ((vat.last_day, "the VAT rate changes"),) if vat.last_day else ()
