"""What a kept estimate reckoned, as plan lines that add up to its full cost, and as one row.

A line of goods holds its waste allowance, in quantity and in money, since what was used is counted
with what was cut off and broken. Labour is one line a task: the labour of its group, as the
estimate has it, split by mean minutes with the largest remainder, so that the tasks add up to the
groups and these to the labour. Options are no part of the job.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from decimal import ROUND_HALF_UP, Decimal

from catalogue.money import Money
from estimator.cost import (
    BOUGHT_IN_HEADS,
    CARRIAGE_HEAD,
    CONTINGENCY_HEAD,
    LABOUR_HEAD,
    WARRANTY_HEAD,
)
from estimator.outcome.plan import KindOfJob, PlanLine, QuotedJob
from estimator.papers.contract import EstimateJson
from estimator.papers.contract_parts import FactValue, TaskJson

LABOUR, OVERHEAD = "labour", "overhead"
PANEL_FAMILY, MODULE_FAMILY = "panel", "storage"

_NONE = Decimal(0)
_THOUSANDTH = Decimal("0.001")
_MINUTES_PER_HOUR = 60
# Outward and inward part of a postcode of the United Kingdom: BS 7666, from memory.
_POSTCODE = re.compile(r"\b([A-Z]{1,2}[0-9][A-Z0-9]?)\s*[0-9][A-Z]{2}\b", re.IGNORECASE)


def plan_lines(kept: EstimateJson) -> tuple[PlanLine, ...]:
    """Return what the job was reckoned to cost, line by line.

    Raises:
        ValueError: if the estimate's own lines do not add up to its full cost.
    """
    cost = kept.cost
    found = (
        *_goods(kept), *_labour(kept), *_unless_nothing("overhead", OVERHEAD, cost.overhead,
                                                        _rounded(kept.hours.mean)),
        *_unless_nothing("provision", CONTINGENCY_HEAD, cost.contingency),
        *_unless_nothing("provision", WARRANTY_HEAD, cost.warranty))
    reached = sum(line.amount_minor for line in found)
    if reached != cost.total:
        raise ValueError(f"the lines of job {kept.job.id}, revision {kept.revision}, add up to "
                         f"{reached} minor units, and its full cost is {cost.total}")
    return found


def _goods(kept: EstimateJson) -> Iterator[PlanLine]:
    carriage = kept.cost.materials
    for line in kept.lines:
        quantity, amount = line.buy + line.allowance, line.cost + line.waste_cost
        if line.option or not (quantity or amount):
            continue
        bought_in = line.head in BOUGHT_IN_HEADS
        carriage -= 0 if bought_in else line.cost
        yield PlanLine(
            "bought in" if bought_in else "goods", line.head, line.item, "",
            line.offer.supplier if line.offer else "", _rounded(quantity), amount)
    yield from _unless_nothing("goods", CARRIAGE_HEAD, carriage)  # what materials hold beside lines


def _unless_nothing(
    kind: str, head: str, amount: int, quantity: Decimal = _NONE
) -> Iterator[PlanLine]:
    if amount:
        yield PlanLine(kind, head, "", "", "", quantity, amount)  # type: ignore[arg-type]


def _labour(kept: EstimateJson) -> Iterator[PlanLine]:
    by_group: dict[str, list[TaskJson]] = {}
    for task in kept.tasks:
        by_group.setdefault(task.group, []).append(task)
    amounts = {each.head.removeprefix(LABOUR_HEAD): each.amount for each in kept.cost.heads
               if each.head.startswith(LABOUR_HEAD)}
    for group, tasks in by_group.items():
        shares = _split(amounts.get(group, 0), kept.currency, [task.mean for task in tasks])
        for task, amount in zip(tasks, shares, strict=True):
            hours = _rounded(task.mean / _MINUTES_PER_HOUR)
            yield PlanLine("labour", LABOUR, task.task, group, "", hours, amount)


def _split(minor: int, currency: str, weights: Sequence[Decimal]) -> Sequence[int]:
    if not minor:
        return [0] * len(weights)
    return [each.minor for each in Money(minor, currency).share(weights)]


def _rounded(quantity: Decimal) -> Decimal:
    return quantity.quantize(_THOUSANDTH, ROUND_HALF_UP)


def quoted_job(kept: EstimateJson) -> QuotedJob:
    """Return what a revision is about, as jobs are held side by side.

    Covering and wall are those of the parts that are fitted: a roof that a storage job only
    mentions is none of its.
    """
    job, facts = kept.job, {fact.path: fact.value for fact in kept.facts}
    roof, store = "panels" in job.parts, "storage" in job.parts
    storeys, postcode = facts.get("site.storeys"), _POSTCODE.findall(job.address)
    return QuotedJob(
        kind_of_job=_kind(roof, store), covering=_covering(facts) if roof else "",
        wall=_text(facts.get("storage.wall")) if store else "", estimator=job.estimator,
        surveyor=job.surveyor, lead_source="", area=postcode[-1].upper() if postcode else "",
        storeys=storeys if isinstance(storeys, int) else None,
        panels=_units(kept, PANEL_FAMILY), modules=_units(kept, MODULE_FAMILY),
        hours=_rounded(kept.hours.mean), direct_minor=kept.cost.direct,
        cost_minor=kept.cost.total, valid_until=kept.price.valid_until)


def _kind(roof: bool, store: bool) -> KindOfJob:
    if roof and store:
        return "panels and storage"
    if roof or store:
        return "panels" if roof else "storage"
    return "other"


def _covering(facts: dict[str, FactValue]) -> str:
    """Return the covering of the largest plane by eaves times slope; of equals, of the first."""
    planes = sorted({int(path[6:path.index("]")]) for path in facts if path.startswith("plane[")})
    largest = max(planes, key=lambda at: (_area(facts, at), -at), default=None)
    return "" if largest is None else _text(facts.get(f"plane[{largest}].covering"))


def _area(facts: dict[str, FactValue], at: int) -> Decimal:
    sides = [facts.get(f"plane[{at}].{name}") for name in ("eaves_length_m", "slope_length_m")]
    if any(not isinstance(side, str) for side in sides):
        return _NONE
    return Decimal(str(sides[0])) * Decimal(str(sides[1]))


def _text(value: FactValue) -> str:
    return value if isinstance(value, str) else ""


def _units(kept: EstimateJson, family: str) -> int:
    wanted = (line.need for line in kept.lines if line.family == family and not line.option)
    return int(sum(wanted, _NONE))
