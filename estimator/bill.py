"""From demand to the bill: what boxes supply, what is still to buy, what comes back.

Demand for one item is merged into one line. What lies in the boxes of the things bought counts
towards a line only where its specification really serves. Among lines that could use the same
boxed part, the dearer line is served first, and a boxed part is given to another line if that
lets more of the dear ones be served; that choice is the best there is, because the sets of needs
that boxed parts can serve together form a transversal matroid, on which greed by weight is exact
(J. Edmonds, Matroids and the greedy algorithm, Mathematical Programming 1, 1971; from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from catalogue.items import Item, Offer
from catalogue.money import Money
from estimator.rules.results import Gap, Reason, Requirement


@dataclass(frozen=True, slots=True)
class BoxUse:
    """A line was served by parts that lie in the boxes of another item."""

    part: str
    quantity: int


@dataclass(frozen=True, slots=True)
class BillLine:
    """One item of the bill.

    Attributes:
        need: quantity the rules ask for; boxed: how much of it the boxes supply.
        buy: need - boxed, never negative.
        allowance: extra quantity for waste, shown apart from the measured need.
        packs, pack: whole packs of what size are bought for it.
        unit_cost: exact price of a unit in minor units; None if nothing is to be bought.
        cost: what the job is charged: used quantity at the unit price for shelf stock, whole
            packs (waste included) for an item bought for the job.
        waste_cost: the allowance in money for shelf stock; zero for an item bought for the job.
    """

    line: int
    item: Item
    need: Decimal
    boxed: Decimal
    buy: Decimal
    allowance: Decimal
    packs: int
    pack: Decimal
    offer: Offer | None
    unit_cost: Fraction | None
    cost: Money
    waste_cost: Money
    reasons: tuple[Reason, ...]
    requirements: tuple[Requirement, ...]
    boxes: tuple[BoxUse, ...] = ()
    option: bool = False


@dataclass(frozen=True, slots=True)
class Surplus:
    """Boxed parts that nothing on this job uses; they come back to the store."""

    item: Item
    quantity: int
    boxed: int


@dataclass(frozen=True)
class Bill:
    """The lines, what comes back, and what the catalogue could not supply."""

    lines: tuple[BillLine, ...]
    surplus: tuple[Surplus, ...]
    gaps: tuple[Gap, ...]
