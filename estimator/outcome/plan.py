"""What was reckoned for a job, line by line: the standard that its actual costs are held against.

The values only; `estimator.papers.planned` reads them off a kept estimate.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

PlanKind = Literal["goods", "bought in", "labour", "overhead", "provision"]
WARRANTY_HEAD = "warranty"  # of the provision for returns; `estimator.cost` names it so too
KindOfJob = Literal["panels", "storage", "panels and storage", "other"]


@dataclass(frozen=True, slots=True)
class PlanLine:
    """One line of what a job was reckoned to cost.

    Attributes:
        kind: goods with their waste and carriage; what is bought in (hire, scaffold, other firms,
            fees); labour; the office's share of the hours; provision for open risks and warranty.
        head: cost head; that of all labour is "labour".
        code: item or norm; "" = neither.
        task_group: of a task, else "".
        supplier: whose offer it was reckoned with, else "".
        quantity: units of the item with its waste allowance, person-hours of a task or of the
            overhead; 0 where there is no measure.
        amount_minor: minor units of the job's currency.
    """

    kind: PlanKind
    head: str
    code: str
    task_group: str
    supplier: str
    quantity: Decimal
    amount_minor: int


@dataclass(frozen=True, slots=True)
class QuotedJob:
    """What a revision is about, as jobs are held side by side; "" = unknown or none.

    Attributes:
        covering: of the largest roof plane; `wall`: behind the storage.
        area: first part of the postcode.
        storeys: None = unknown.
        panels, modules: on the bill, options aside.
        hours: mean person-hours; the costs are in minor units.
    """

    kind_of_job: KindOfJob
    covering: str
    wall: str
    estimator: str
    surveyor: str
    lead_source: str
    area: str
    storeys: int | None
    panels: int
    modules: int
    hours: Decimal
    direct_minor: int
    cost_minor: int
    valid_until: date
