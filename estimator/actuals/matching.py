"""What of a charge for goods is a cost beside what the ledger of stock holds already.

Goods that were taken in by an order stand in the ledger at what they were taken in at, and go from
there to jobs. A bill for them is a cost only as far as it differs:

    difference = net charged * m / quantity charged - value taken in * m / quantity taken in
    m = the smaller of both quantities

so charges count at their mean, whatever their order, what was charged and has not come costs
nothing yet, and once all has come the difference is net charged less value taken in, exact. It is
rounded once, halves away from zero, and split over the jobs of the order line by their quantities
with the largest remainder; the shelf's share is the firm's. Each bill books what the split has
grown by, so the shares of all bills add up to the penny.

Source: the price variance of standard costing with the value taken in as the standard; CIMA
Official Terminology, "direct material price variance" (from memory).

What was bought for a job and written on its sheet without an order is matched in the same way, by
job and item; what is charged beyond what was written down was never in the ledger, and is the
job's.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from catalogue.money import Money, round_half_up

FIRM = ""  # whose cost it is without a job


@dataclass
class Pool:
    """What came of one order line, or to one site, against what it was charged.

    Attributes:
        received, value_minor: quantity taken in, good or damaged, and what it was taken in at.
        recipients: job (or `FIRM`) and the quantity that is for it, in the order of the order.
        beyond: whether what is charged beyond what came is a cost all the same.
        charged, net_minor: quantity and money of all charges so far.
        booked: job -> what was booked of the difference so far.
    """

    received: Decimal
    value_minor: int
    recipients: Sequence[tuple[str, Decimal]]
    beyond: bool = False
    charged: Decimal = Decimal(0)
    net_minor: int = 0
    booked: dict[str, int] = field(default_factory=dict)

    @property
    def not_come(self) -> Decimal:
        """Return how much is charged and has not come."""
        return max(self.charged - self.received, Decimal(0))

    def difference(self) -> Fraction:
        """Return what the charges differ from the value taken in, exact; above zero = dearer."""
        if self.charged <= 0:
            return Fraction(self.net_minor) if self.received > 0 or self.beyond else Fraction(0)
        matched = Fraction(min(self.charged, self.received))
        share = Fraction(1) if self.beyond else matched / Fraction(self.charged)
        taken_in = Fraction(self.value_minor) * matched / Fraction(self.received) if (
            self.received > 0) else Fraction(0)
        return self.net_minor * share - taken_in

    def charge(self, quantity: Decimal, net_minor: int) -> dict[str, int]:
        """Add a charge and return what each job (or the firm) bears of it, in minor units."""
        self.charged += quantity
        self.net_minor += net_minor
        return self.settle()

    def settle(self) -> dict[str, int]:
        """Return what each recipient bears beyond what is booked, and count it as booked."""
        weights = [weight for _, weight in self.recipients]
        shares = split(round_half_up(self.difference()), weights)
        grown = {}
        for (job, _), share in zip(self.recipients, shares, strict=True):
            grown[job] = share - self.booked.get(job, 0)
            self.booked[job] = share
        return grown


def split(minor: int, weights: Sequence[Decimal | Fraction]) -> list[int]:
    """Return an amount in parts by weight that add up to it; the largest remainders get the rest.

    Source: `catalogue.money.Money.share`.
    """
    return [part.minor for part in Money(minor).share(list(weights))]
