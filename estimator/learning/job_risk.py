"""What there is to say of one job's risk."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from catalogue.money import Money
from estimator.learning.risk import Simulated
from estimator.learning.uncertain_cost import UncertainCost


@dataclass(frozen=True)
class JobRisk:
    """The spread of one job's cost, beside what it was priced at.

    Attributes:
        revision: None for a survey that was not kept.
        cost: full cost as priced; net: price before tax.
        order_on: the day on which the goods are taken to be ordered; `spread` is how far a price
            may move until then that no offer promises, as a share.
        chance: of a loss, for which `price` is the least net price.
        left_out: what no figure holds, in sentences.
    """

    job: str
    title: str
    revision: int | None
    cost: Money
    net: Money
    model: UncertainCost
    found: Simulated
    order_on: date
    spread: Decimal
    chance: float
    price: Money
    left_out: tuple[str, ...]
