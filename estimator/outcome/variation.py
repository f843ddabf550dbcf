"""What the customer pays for a variation, and the price then.

The job is priced again with what was found, by the same rules and at the same prices, with and
without it: the difference is the price of the variation. It goes on top of what was agreed, so that
the price now is the price that was accepted first and all chargeable variations, to the minor unit.
"""

from __future__ import annotations

from dataclasses import dataclass

from catalogue.money import Money

REASONS = (
    "missed at survey", "customer change", "hidden", "network", "supplier", "our error")


@dataclass(frozen=True, slots=True)
class Variation:
    """Something found on a job that changes it, as it is kept.

    Attributes:
        number: counts within the job.
        found, photo: what was found, and where the photo of it lies.
        changes: the facts as they are now, each `path = value`.
        before, after: revision that it changes, and that with it.
        cost_minor: what it costs the firm.
        price_minor: what the customer pays for it, net; 0 if it is not chargeable.
        by: who says so.
    """

    job: str
    number: int
    found: str
    photo: str
    reason: str
    changes: tuple[str, ...]
    before: int
    after: int
    chargeable: bool
    cost_minor: int
    price_minor: int
    by: str


@dataclass(frozen=True, slots=True)
class PriceOfVariation:
    """The price of a variation before tax.

    Attributes:
        charge: what the customer pays for it; below zero is paid back.
        net: price of the whole job then.
    """

    charge: Money
    net: Money

    def off(self, list_net: Money) -> Money:
        """Return by how much the price then is below a list price; 0 if it is not."""
        return list_net - self.net if self.net < list_net else Money(0, self.net.currency)


def price_of_variation(
    agreed: Money, without: Money, with_it: Money, *, chargeable: bool
) -> PriceOfVariation:
    """Return what a variation costs the customer, and the price then.

    Args:
        agreed: net price that stands.
        without: net price of the job without the variation, made again.
        with_it: net price with it, made with the same discount.
        chargeable: else the customer pays what was agreed.

    Raises:
        ValueError: if the currencies differ.
    """
    charge = with_it - without if chargeable else Money(0, agreed.currency)
    return PriceOfVariation(charge, agreed + charge)
