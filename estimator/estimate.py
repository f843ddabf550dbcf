"""The whole chain for one job, from survey to price, in one function read from top to bottom."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from estimator.bill import Bill
from estimator.cost import CostSheet
from estimator.design.sheet import FactSheet
from estimator.labour.hours import Hours, Task
from estimator.price import Price
from estimator.rules.results import Finding, NotFired, Question, Risk
from estimator.survey.model import Header


@dataclass(frozen=True)
class Estimate:
    """Everything known about one quoted job; papers render it and compute nothing.

    Attributes:
        kind: "firm" or "budget"; a budget has open questions of weight, gaps or a stop finding.
        on: the day of prices, rules and practice values.
        price_holds_if: assumptions in words, for the customer.
    """

    job: Header
    on: date
    valid_until: date
    valid_because: str
    kind: str
    kind_because: tuple[str, ...]
    currency: str
    sheet: FactSheet
    bill: Bill
    tasks: tuple[Task, ...]
    hours: Hours
    risks: tuple[Risk, ...]
    cost: CostSheet
    price: Price
    findings: tuple[Finding, ...]
    questions: tuple[Question, ...]
    not_fired: tuple[NotFired, ...]
    price_holds_if: tuple[str, ...]
    scope: tuple[str, ...]
    exclusions: tuple[str, ...]
