"""What must be ordered, how much, by when: what accepted jobs lack, and what the shelf lacks.

Wanted is what nothing serves, neither what lies there nor what comes (`free`); it is ordered its
lead time earlier (`planning.plan`), in whole lots where the shelf has its own. The shelf is filled
up when what is promised to nobody falls to its reorder point, counted as the books of trade do it:
what lies there and what comes, less what is reserved.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from decimal import Decimal

from catalogue.stock.free import Claim, Shared
from catalogue.stock.planning import Planned, Stocked, Want, plan


@dataclass(frozen=True, slots=True)
class ShelfRule:
    """When the shelf is filled up, and in which lots.

    Attributes:
        least: the reorder point: what is free falls to it, or below it.
        order: what is ordered then, or a multiple of it.
    """

    least: Decimal
    order: Decimal


@dataclass(frozen=True, slots=True)
class Shortage:
    """So much of an item must be ordered.

    Attributes:
        needed_on: the day on which it must be there.
        order_by: the last day on which it can be ordered for that; a day that is over is late.
        jobs: for which jobs, in the order in which they need it; none = for the shelf alone.
        shares: how much of it is for each of the jobs; the rest is for the shelf.
    """

    item: str
    quantity: Decimal
    needed_on: date
    order_by: date
    jobs: tuple[str, ...] = ()
    shares: tuple[Decimal, ...] = field(default=(), compare=False)


def shortages(
    who: Shared, leads: Mapping[str, int], rules: Mapping[str, ShelfRule], today: date, until: date
) -> tuple[Shortage, ...]:
    """Return what is to be ordered for all that is needed until a day, by last day and item.

    Args:
        who: who gets what of all that lies there and comes.
        leads: item -> days from order to delivery; an item that is not in it comes at once.
        rules: item -> when its shelf is filled up.
        today: from which day on things can be ordered.
        until: what is needed later is left out.
    """
    short = [claim for claim in who.short if claim.needed_on <= until]
    wants = [Want(each.item, (each.needed_on - today).days, each.quantity) for each in short]
    lots = {item: rule.order for item, rule in rules.items()}
    stocked = {item: Stocked(lead=leads.get(item, 0), lot=lots.get(item))
               for item in {each.item for each in short}}
    orders = plan(wants, stocked)
    found = list(_for_jobs(orders, short, today))
    for item in sorted(rules):
        rest = sum((each.quantity for each in orders if each.item == item), Decimal(0)) - sum(
            (each.quantity for each in short if each.item == item), Decimal(0))
        found += _for_the_shelf(item, rules[item], (who, rest), leads.get(item, 0), (today, until))
    return tuple(sorted(found, key=lambda s: (s.order_by, s.item, s.needed_on, s.jobs)))


def less(
    found: Iterable[Shortage], saved: Mapping[tuple[str, str], Decimal]
) -> tuple[Shortage, ...]:
    """Return shortages without what jobs need not have, since offcuts serve instead.

    What a job saves is taken off its own share; where that share is smaller, since the shelf serves
    the rest, the shelf serves so much more of the others, the last needed first.

    Args:
        found: shortages that jobs alone make, none for the shelf.
        saved: item and job -> how much less it needs.
    """
    left = dict(saved)
    mine = [_without(each, left) for each in found]
    rest: dict[str, Decimal] = {}
    for (item, _), quantity in left.items():
        rest[item] = rest.get(item, Decimal(0)) + quantity
    for at in sorted(range(len(mine)), key=lambda n: mine[n].needed_on, reverse=True):
        taken = min(rest.get(mine[at].item, Decimal(0)), mine[at].quantity)
        if taken:
            rest[mine[at].item] -= taken
            mine[at] = _cut_down(mine[at], taken)
    return tuple(each for each in mine if each.quantity)


def _without(each: Shortage, left: dict[tuple[str, str], Decimal]) -> Shortage:
    """Return a shortage less what its own jobs save, which is taken out of `left`."""
    shares = []
    for job, share in zip(each.jobs, each.shares, strict=True):
        taken = min(share, left.get((each.item, job), Decimal(0)))
        shares.append(share - taken)
        if taken:
            left[each.item, job] -= taken
    return _of_shares(each, shares)


def _cut_down(each: Shortage, taken: Decimal) -> Shortage:
    """Return a shortage that is so much less, of the last of its jobs first."""
    shares = list(each.shares)
    for at in reversed(range(len(shares))):
        less_here = min(shares[at], taken)
        shares[at] -= less_here
        taken -= less_here
    return _of_shares(each, shares)


def _of_shares(each: Shortage, shares: list[Decimal]) -> Shortage:
    kept = [(job, share) for job, share in zip(each.jobs, shares, strict=True) if share]
    return replace(each, quantity=sum(shares, Decimal(0)), jobs=tuple(job for job, _ in kept),
                   shares=tuple(share for _, share in kept))


def _for_jobs(
    orders: Iterable[Planned], short: Iterable[Claim], today: date
) -> Iterator[Shortage]:
    """Yield each order with the jobs that it serves: who needs it first takes of it first."""
    in_turn = sorted(short, key=lambda c: (c.item, c.needed_on, c.accepted_at, c.job))
    still = [claim.quantity for claim in in_turn]
    for order in sorted(orders, key=lambda o: (o.item, o.due)):
        jobs: dict[str, Decimal] = {}
        left = order.quantity
        for at, claim in enumerate(in_turn):
            if claim.item == order.item and still[at] and left:
                taken = min(still[at], left)
                still[at] -= taken
                left -= taken
                jobs[claim.job] = jobs.get(claim.job, Decimal(0)) + taken
        yield Shortage(order.item, order.quantity, today + timedelta(order.due),
                       today + timedelta(order.release), tuple(jobs), tuple(jobs.values()))


def _for_the_shelf(
    item: str, rule: ShelfRule, free: tuple[Shared, Decimal], lead: int, days: tuple[date, date]
) -> Iterator[Shortage]:
    """Yield an order for each day on which what is free falls to the reorder point."""
    who, ordered = free
    today, until = days
    mine = [each for each in who.left if each.item == item and not each.job]
    ends = {each.until + timedelta(1) for each in mine if each.until is not None}
    for day in sorted({today, *(each for each in ends if today < each <= until)}):
        position = ordered + sum((each.quantity for each in mine if each.keeps(day)), Decimal(0))
        if position > rule.least:
            continue
        lots = (rule.least - position) // rule.order + 1
        yield Shortage(item, lots * rule.order, day + timedelta(lead), day)
        ordered += lots * rule.order
