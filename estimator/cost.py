"""From bill, hours and open risks to the full cost of the job, head by head."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from catalogue.money import Exact, Money, exact, round_half_up, total
from estimator.bill import Bill, BillLine
from estimator.labour.hours import Hours
from estimator.rules.results import Risk
from estimator.settings import Labour, Pricing, Settings

BOUGHT_IN_HEADS = ("plant hire", "scaffold", "subcontract", "preliminaries", "paperwork")
CARRIAGE_HEAD = "carriage"
WASTE_HEAD = "waste"
LABOUR_HEAD = "labour, "
CONTINGENCY_HEAD = "open risks"
WARRANTY_HEAD = "warranty"


@dataclass(frozen=True, slots=True)
class HeadAmount:
    """Money under one cost head."""

    head: str
    amount: Money


@dataclass(frozen=True)
class BillHeads:
    """The money of a bill by cost head.

    Attributes:
        materials: what goes into the house, by head, in the order of the bill.
        waste: the allowance for what is cut off, broken or spilt, of all lines.
        bought_in: plant hire, scaffold, subcontract, preliminaries and paperwork, by head.
        carriage: what suppliers charge for bringing the goods bought for the job; None = nothing.
    """

    materials: tuple[HeadAmount, ...]
    waste: Money
    bought_in: tuple[HeadAmount, ...]
    carriage: Money | None = None


@dataclass(frozen=True)
class CostSheet:
    """The build-up of cost.

    Attributes:
        heads: every line of the direct cost: material heads in the order of the bill, carriage,
            waste, bought-in heads, labour by group, open risks, warranty. They add up to `direct`.
        materials: everything bought that goes into the house, with its carriage; waste: its
            allowance.
        labour: mean person-hours at the cost rate.
        bought_in: plant hire, scaffold, subcontract, preliminaries and paperwork fees.
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


def heads_from_bill(
    bill: Bill, currency: str = "GBP", carriage: Money | None = None
) -> BillHeads:
    """Return the money of a bill by head; options are priced apart and left out.

    Args:
        bill: the bill; a line's cost and its allowance are whole minor units already.
        currency: of an empty bill.
        carriage: of the goods bought for the job.
    """
    lines = [line for line in bill.lines if not line.option]
    materials = [line for line in lines if line.item.head not in BOUGHT_IN_HEADS]
    bought_in = [line for line in lines if line.item.head in BOUGHT_IN_HEADS]
    return BillHeads(
        _by_head(materials), total([line.waste_cost for line in lines], currency),
        _by_head(bought_in), carriage,
    )


def _by_head(lines: Iterable[BillLine]) -> tuple[HeadAmount, ...]:
    found: dict[str, Money] = {}
    for line in lines:
        head = line.item.head
        found[head] = found[head] + line.cost if head in found else line.cost
    return tuple(HeadAmount(head, amount) for head, amount in found.items())


def unpriced(bill: Bill) -> tuple[BillLine, ...]:
    """Return the lines that must be bought and that no supplier offers; they cost nothing yet."""
    return tuple(line for line in bill.lines if line.buy > 0 and line.offer is None)


def cost_sheet(
    heads: BillHeads, hours: Hours, risks: Sequence[Risk], settings: Settings
) -> CostSheet:
    """Return the full cost of a job: D + overhead = C, exact to the minor unit.

    Each amount is rounded once: labour, overhead, the sum of the open risks, the warranty
    provision. Labour by group is the labour total split by the groups' hours, so the lines shown
    add up to the total shown.

    Args:
        heads: money of the bill by head, in the currency of the settings.
        hours: person-hours; labour and overhead are charged on their mean.
        risks: open risks; each adds chance times cost until its question is answered.
        settings: the firm's rates.

    Raises:
        ValueError: if the currencies differ.
    """
    currency = settings.firm.currency
    carriage = _unless_zero(CARRIAGE_HEAD, heads.carriage or Money(0, currency))
    materials = total([each.amount for each in (*heads.materials, *carriage)], currency)
    bought_in = total([each.amount for each in heads.bought_in], currency)
    labour = by_the_hour(hours.mean, settings.labour.cost_per_hour, currency)
    overhead = by_the_hour(hours.mean, settings.labour.overhead_per_hour, currency)
    open_risks = contingency(risks, currency)
    warranty = warranty_provision(settings.pricing, currency)
    direct = total([materials, heads.waste, bought_in, labour, open_risks, warranty], currency)
    return CostSheet(
        heads=(
            *heads.materials,
            *carriage,
            *_unless_zero(WASTE_HEAD, heads.waste),
            *heads.bought_in,
            *labour_by_group(labour, hours),
            *_unless_zero(CONTINGENCY_HEAD, open_risks),
            *_unless_zero(WARRANTY_HEAD, warranty),
        ),
        materials=materials, waste=heads.waste, labour=labour, bought_in=bought_in,
        contingency=open_risks, warranty=warranty, direct=direct, overhead=overhead,
        total=direct + overhead, p80_reserve=p80_reserve(hours, settings.labour, currency),
    )


def by_the_hour(hours: Exact, rate: Decimal, currency: str = "GBP") -> Money:
    """Return exact person-hours at a rate in major units, rounded once.

    Overhead recovered on hours is the same sum: the rate is the year's overhead over the year's
    productive hours.
    """
    return Money.of(rate, currency).times(hours)


def labour_by_group(labour: Money, hours: Hours) -> tuple[HeadAmount, ...]:
    """Return the labour total split by the groups' hours; the parts add up to it."""
    groups = [(group, part) for group, part in hours.by_group.items() if part > 0]
    if not groups:
        return ()
    parts = labour.share([part for _, part in groups])
    return tuple(
        HeadAmount(LABOUR_HEAD + group, amount)
        for (group, _), amount in zip(groups, parts, strict=True)
    )


def contingency(risks: Iterable[Risk], currency: str = "GBP") -> Money:
    """Return the sum of chance times cost of the open risks, summed exactly, rounded once."""
    expected = Fraction(0)
    for risk in risks:
        if risk.cost.currency != currency:
            raise ValueError(f"risk '{risk.id}' is in {risk.cost.currency}, not in {currency}")
        expected += exact(risk.chance) * risk.cost.minor
    return Money(round_half_up(expected), currency)


def warranty_provision(pricing: Pricing, currency: str = "GBP") -> Money:
    """Return the return-visit rate times the mean cost of a return visit."""
    return Money.of(pricing.return_visit_cost, currency).times(pricing.return_visit_rate)


def p80_reserve(hours: Hours, labour: Labour, currency: str = "GBP") -> Money:
    """Return what the hours between mean and P80 would cost; the float is turned exact first."""
    return by_the_hour(Fraction(hours.p80) - hours.mean, labour.cost_per_hour, currency)


def _unless_zero(head: str, amount: Money) -> tuple[HeadAmount, ...]:
    return (HeadAmount(head, amount),) if amount.minor else ()
