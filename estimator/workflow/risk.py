"""How far the cost of a job may spread: its estimate as an uncertain cost, then the simulation."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from math import sqrt

from catalogue.money import Money
from catalogue.problems import Place, Problem, ProblemsFound
from estimator.learning.job_risk import JobRisk
from estimator.learning.risk import CHANCE, RUNS, SEED, simulated
from estimator.learning.uncertain_cost import (
    ANSWERS,
    PRICES,
    Between,
    OpenRisk,
    TaskHours,
    UncertainCost,
)
from estimator.papers.contract import EstimateJson
from estimator.papers.contract_parts import QuestionJson, RiskJson
from estimator.workflow.firm import firm_settings
from estimator.workflow.job_named import estimate_named

_MINUTES = 60
_NAMED = 5  # open questions that a sentence names


@dataclass(frozen=True)
class RiskRequest:
    """Which job, and how it is simulated; None takes the usual.

    Attributes:
        named: a survey's file or the id of a quoted job.
        on: day of prices for a survey.
        order_on: day on which the goods are ordered; the quote's last day if None.
        spread: how far prices may move, as a share; the firm's own figure if None.
    """

    named: str
    on: date
    database: str | None = None
    order_on: date | None = None
    spread: Decimal | None = None
    seed: int = SEED
    runs: int = RUNS
    chance: float = CHANCE


def job_risk(request: RiskRequest, tell: Callable[[int, int], None]) -> JobRisk:
    """Return the spread of a job's cost; nothing is kept or written.

    Raises:
        ProblemsFound: as `estimate_named`; Z501 for goods ordered before the day of their prices.
    """
    kept, files, is_kept = estimate_named(request.named, request.on, request.database)
    pricing = firm_settings(files).pricing
    order_on = request.order_on or kept.price.valid_until
    if order_on < kept.on:
        raise ProblemsFound([Problem(
            "Z501", Place(f"the order on {order_on}"),
            f"the prices of job {kept.job.id} are those of {kept.on}, which is later",
            f"name {kept.on} or a later day")])
    spread = pricing.price_spread if request.spread is None else request.spread
    model = uncertain_cost(kept, order_on, spread)
    found = simulated(model, kept.currency, request.seed, request.runs, tell)
    step = max(1, Money.of(pricing.price_step).minor)
    return JobRisk(
        job=kept.job.id, title=kept.job.title, revision=kept.revision if is_kept else None,
        cost=Money(kept.cost.total, kept.currency), net=Money(kept.price.net, kept.currency),
        model=model, found=found, order_on=order_on, spread=spread, chance=request.chance,
        price=found.price_for(request.chance, step), left_out=tuple(_left_out(kept)))


def uncertain_cost(kept: EstimateJson, order_on: date, spread: Decimal) -> UncertainCost:
    """Return an estimate's cost as what is sure of it and what is not.

    The mean is the cost as priced, open questions apart: they are priced at nothing, and lie
    between the least and the most that their lines cost. Where an open risk stands for the doubt,
    it counts alone, unless some lines come with any answer: then they lie between the least and the
    most without the risk. All prices of one supplier move together.

    Args:
        kept: the estimate.
        order_on: prices that no offer promises until this day may move.
        spread: by how much either way, as a share.
    """
    cost = kept.cost
    tasks = tuple(TaskHours(each.name, *(float(points) / _MINUTES for points in (
        each.low, each.likely, each.high))) for each in kept.tasks)
    hours = float(kept.hours.mean)
    own = sum(task.sd**2 for task in tasks)
    cv = sqrt(max(0.0, float(kept.hours.sd) ** 2 - own)) / hours if hours else 0.0
    return UncertainCost(
        sure_minor=cost.total - cost.labour - cost.overhead - cost.contingency,
        tasks=tasks, job_cv=cv, hour_minor=(cost.labour + cost.overhead) / hours if hours else 0.0,
        risks=tuple(OpenRisk(each.because, float(each.chance), each.cost) for each in kept.risks),
        ranges=(*_prices(kept, order_on, spread), *_answers(kept)))


def _prices(kept: EstimateJson, order_on: date, spread: Decimal) -> Iterator[Between]:
    """Yield by supplier how far the cost of goods may move whose price nobody promises so long."""
    by_supplier: dict[str, int] = {}
    for line in kept.lines:
        offer = line.offer
        if line.option or offer is None:
            continue
        if offer.to_date is None or offer.to_date < order_on:
            by_supplier[offer.supplier] = (
                by_supplier.get(offer.supplier, 0) + line.cost + line.waste_cost)
    for supplier, minor in sorted(by_supplier.items()):
        moves = float(minor * spread)
        if moves:
            yield Between(supplier, PRICES, -moves, moves)


def _answers(kept: EstimateJson) -> Iterator[Between]:
    for question in kept.questions:
        low, in_risks = question.low or 0, _in_risks(question, kept.risks)
        high = (question.high or 0) - in_risks
        if high > low and (low or not in_risks):
            yield Between(question.asks, ANSWERS, float(low), float(high))


def _in_risks(question: QuestionJson, risks: tuple[RiskJson, ...]) -> int:
    """Return what the open risks of a question's fact cost; its own most has that in it."""
    return sum(risk.cost for risk in risks if question.fact in risk.open_facts)


def _left_out(kept: EstimateJson) -> Iterator[str]:
    unpriced = [each for each in kept.questions if each.high is None and not each.assumed]
    if unpriced:
        number, more = len(unpriced), len(unpriced) - _NAMED
        yield (f"{number} open question{'s' if number > 1 else ''} that cannot be priced: "
               + "; ".join(each.asks for each in unpriced[:_NAMED])
               + (f"; and {more} more" if more > 0 else ""))
    for gap in kept.gaps:
        yield f"what the catalogue has nothing for: {gap.wants}"
    missing = [line.name for line in kept.lines if line.buy > 0 and line.offer is None]
    if missing:
        yield f"what no supplier offers: {', '.join(missing)}"
    stops = [each.says for each in kept.findings if each.level == "stop" and not each.let_pass_by]
    if stops:
        yield f"what it takes to mend: {'; '.join(stops)}"
