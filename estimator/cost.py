"""From bill, hours and open risks to the full cost of the job, head by head."""

from __future__ import annotations

from dataclasses import dataclass

from catalogue.money import Money


@dataclass(frozen=True, slots=True)
class HeadAmount:
    """Money under one cost head."""

    head: str
    amount: Money


@dataclass(frozen=True)
class CostSheet:
    """The build-up of cost.

    Attributes:
        heads: material and bought-in heads in the order of the bill, then labour by group.
        materials: everything bought that goes into the house; waste: its allowance.
        labour: mean person-hours at the cost rate.
        bought_in: plant hire, subcontract, preliminaries and paperwork fees.
        contingency: sum of chance times cost of the open risks.
        warranty: provision for return visits.
        direct: all of the above (D); overhead: by person-hour; total: D + overhead (C).
        p80_reserve: (P80 - mean) hours at the cost rate; shown, never priced in silence.
    """

    heads: tuple[HeadAmount, ...]
    materials: Money
    waste: Money
    labour: Money
    bought_in: Money
    contingency: Money
    warranty: Money
    direct: Money
    overhead: Money
    total: Money
    p80_reserve: Money
