"""What is promised to accepted jobs out of what lies there and comes, and what is free.

Claims are served in the order in which the jobs were accepted, ties by job id. A claim takes what
is brought to its own site; then what comes last of all that is there in time, so that what lies
there already stays for whoever needs it sooner; of that, what expires first; then by place (as
listed) and lot. Where nothing more is there in time, it takes what comes next, late. A batch serves
until its last day, included: what has expired is promised to nobody and is not free. Quarantine
and sites serve nobody, and an end of a stick serves no claim on whole sticks.

So what is free is what may be promised to somebody else without harm to any accepted job.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal

from catalogue.stock.ledger import Stock

# From where goods are taken first: a van's own standing stock is the last to be touched.
TAKEN_FROM = ("store", "counter", "van")
ON_ITS_WAY = "on its way"


@dataclass(frozen=True, slots=True)
class Supply:
    """So much of an item that lies in a place, or comes.

    Attributes:
        lot: length, batch or serial number; "" is not told apart. Of what comes: its order.
        comes_on: the day on which it comes; None = it lies there.
        until: last day on which it may be used; None = it keeps.
        job: the only job that it serves, to whose site it is brought; "" = any.
    """

    item: str
    quantity: Decimal
    place: str
    lot: str = ""
    comes_on: date | None = None
    until: date | None = None
    job: str = ""

    def is_there(self, on: date) -> bool:
        """Return whether it lies there on a day and may be used then."""
        return (self.comes_on is None or self.comes_on <= on) and self.keeps(on)

    def keeps(self, on: date) -> bool:
        """Return whether it may still be used on a day."""
        return self.until is None or on <= self.until


@dataclass(frozen=True, slots=True)
class Claim:
    """So much of an item is reserved for an accepted job, for a day."""

    item: str
    quantity: Decimal
    needed_on: date
    job: str
    accepted_at: datetime


@dataclass(frozen=True, slots=True)
class Promise:
    """So much of a supply is a job's."""

    claim: Claim
    supply: Supply
    quantity: Decimal

    @property
    def late(self) -> bool:
        """Return whether it comes after the day on which the job needs it."""
        return self.supply.comes_on is not None and self.supply.comes_on > self.claim.needed_on


@dataclass(frozen=True)
class Shared:
    """Who gets what.

    Attributes:
        promises: in the order of the claims; those that come late stand last.
        left: what is promised to nobody, and has not expired.
        short: claims with the quantity that nothing serves, not even late.
    """

    promises: tuple[Promise, ...]
    left: tuple[Supply, ...]
    short: tuple[Claim, ...]

    def free(self, item: str, on: date, place: str | None = None) -> Decimal:
        """Return how much of an item may be promised to somebody else for a day."""
        return sum((each.quantity for each in self.left
                    if each.item == item and each.is_there(on) and not each.job
                    and place in (None, each.place)), Decimal(0))


def supplies_of(
    stock: Stock, until: Mapping[str, date | None], coming: Iterable[Supply] = ()
) -> tuple[Supply, ...]:
    """Return what can serve a claim, in the order of places from which it is taken.

    Args:
        stock: what lies where.
        until: lot -> last day on which it may be used.
        coming: what is ordered and has not come.
    """
    rank = {kind: number for number, kind in enumerate(TAKEN_FROM)}
    lying = [Supply(item, quantity, place, lot, until=until.get(lot))
             for (item, place, lot), quantity in stock.levels.items()
             if stock.kinds[place] in rank and lot not in stock.ends]
    lying.sort(key=lambda s: (s.item, rank[stock.kinds[s.place]], s.place, s.lot))
    return (*lying, *sorted(coming, key=lambda s: (s.item, s.comes_on or date.min, s.lot)))


def shared(supplies: Iterable[Supply], claims: Iterable[Claim], today: date) -> Shared:
    """Return who gets what; see the head of this module for the rules."""
    left: dict[str, list[Supply]] = {}
    for supply in supplies:
        if supply.keeps(max(today, supply.comes_on or today)):
            left.setdefault(supply.item, []).append(supply)
    promises: list[Promise] = []
    in_order = sorted(claims, key=lambda c: (c.accepted_at, c.job, c.item))
    still = [claim.quantity for claim in in_order]
    for late in (False, True):
        for number, claim in enumerate(in_order):
            there = left.get(claim.item, [])
            mine = [each for each in there if each.job in ("", claim.job)]
            turn = _in_turn(mine, max(claim.needed_on, today), late)
            taken = _taken(claim, still[number], turn, there)
            promises += taken
            still[number] -= sum((each.quantity for each in taken), Decimal(0))
    short = [replace(claim, quantity=wanted)
             for claim, wanted in zip(in_order, still, strict=True) if wanted]
    return Shared(
        tuple(promises), tuple(each for item in sorted(left) for each in left[item]), tuple(short))


def _taken(
    claim: Claim, wanted: Decimal, turn: Iterable[Supply], left: list[Supply]
) -> list[Promise]:
    """Return what a claim takes of the supplies in turn, and take it out of what is left."""
    promises = []
    for supply in turn:
        taken = min(wanted, supply.quantity)
        if taken <= 0:
            break
        promises.append(Promise(claim, supply, taken))
        wanted -= taken
        at = left.index(supply)
        if taken == supply.quantity:
            del left[at]
        else:
            left[at] = replace(supply, quantity=supply.quantity - taken)
    return promises


def _in_turn(left: list[Supply], day: date, late: bool) -> list[Supply]:
    """Return what may serve on a day, or after it, in the order in which it is taken."""
    if late:
        after = [each for each in left if each.comes_on is not None and each.comes_on > day]
        return sorted(after, key=lambda s: s.comes_on or day)
    return sorted(
        (each for each in left if each.is_there(day)),
        key=lambda s: (not s.job, -(s.comes_on or date.min).toordinal(), s.until or date.max))
