"""The whole chain for one job, from survey to price, in one function read from top to bottom."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from catalogue.price_book import PriceBook
from estimator.bill import Bill, bill_of
from estimator.cost import CostSheet, cost_sheet, heads_from_bill, unpriced
from estimator.design.design import Design, design_job
from estimator.design.facts import survey_sheet
from estimator.design.sheet import FactSheet
from estimator.labour.hours import Hours, Task, job_hours, tasks_from
from estimator.labour.norms import Norm
from estimator.practice.pack import Practice
from estimator.price import Discount, Price, offer_endings, price_of, valid_until, vat_ending
from estimator.rules.complete import assume
from estimator.rules.engine import run_rules
from estimator.rules.model import RuleBook
from estimator.rules.results import Finding, NotFired, Question, Risk, RuleResults
from estimator.scope import EXCLUSIONS, scope_of
from estimator.settings import Settings
from estimator.survey.model import Header, Survey
from estimator.vat import VatCase, VatDecision, class_weights, decide_vat


@dataclass(frozen=True)
class Basis:
    """What a firm prices with on one day: the same for every job of that day."""

    on: date
    prices: PriceBook
    rules: RuleBook
    norms: Mapping[str, Norm]
    practice: Practice
    settings: Settings


@dataclass(frozen=True)
class Estimate:
    """Everything known about one quoted job; papers render it and compute nothing.

    Attributes:
        on: the day of prices, rules and practice values.
        kind: "firm" or "budget"; `kind_because` says why it is no firm price.
        sheet: every fact the rules read.
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
    design: Design
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


def make_estimate(survey: Survey, basis: Basis, discount: Discount | None = None) -> Estimate:
    """Return the estimate of a job.

    Args:
        survey: the house as surveyed.
        basis: prices, rules, norms, practice values and settings of one day.
        discount: money off, with reason and name.

    Raises:
        ProblemsFound: for a wished item the catalogue does not hold (K001), circular box
            contents (B001), a rule that fails on these facts, or a discount that may not be given.
    """
    settings = basis.settings
    surveyed = assume(basis.rules, _sheet(survey, basis))
    design, sheet = design_job(surveyed, basis.prices)
    found = run_rules(basis.rules, sheet, basis.prices)

    bill = bill_of(found.demands, found.gaps, basis.prices)
    tasks, hours = job_hours(tasks_from(found.tasks, basis.norms), settings.labour)
    cost = cost_sheet(heads_from_bill(bill, settings.firm.currency), hours, found.risks, settings)
    vat = _vat(survey, basis, bill)
    price = price_of(cost, settings.pricing, vat, discount)

    last_day, because = valid_until(
        basis.on, settings.pricing.validity_days, (*offer_endings(bill), *vat_ending(vat))
    )
    findings = _worst_first((*found.findings, *_kit_findings(design)))
    why_budget = tuple(_why_budget(findings, found, bill))
    return Estimate(
        job=survey.job, on=basis.on, valid_until=last_day, valid_because=because,
        kind="budget" if why_budget else "firm", kind_because=why_budget,
        currency=settings.firm.currency, sheet=sheet, design=design, bill=bill, tasks=tasks,
        hours=hours, risks=found.risks, cost=cost, price=price, findings=findings,
        questions=found.questions, not_fired=found.not_fired,
        price_holds_if=(*found.assumptions, *(risk.because for risk in found.risks)),
        scope=scope_of(sheet, design), exclusions=EXCLUSIONS,
    )


def _sheet(survey: Survey, basis: Basis) -> FactSheet:
    in_force = basis.practice.on(basis.on)
    return survey_sheet(
        survey,
        {name: value.value for name, value in in_force.items()},
        {name: f"{value.source} ({value.standing})" for name, value in in_force.items()},
    )


def _vat(survey: Survey, basis: Basis, bill: Bill) -> VatDecision:
    return decide_vat(
        VatCase(
            on=survey.job.supply_date or basis.on,
            home_or_charity=survey.site.home_or_charity.value,
            panels="panels" in survey.job.parts,
            storage="storage" in survey.job.parts,
            registered=basis.settings.firm.vat_registered,
        ),
        class_weights(bill), basis.practice,
    )


def _kit_findings(design: Design) -> Iterator[Finding]:
    for slot in design.kit.nothing_fits:
        yield Finding(
            code=f"kit-{slot}", level="stop", subject=slot,
            says=f"no {slot} in the catalogue fits this job",
            source="the catalogue's data sheets", decides="the estimator",
        )


def _worst_first(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    rank = {"stop": 0, "caution": 1, "fine": 2}
    return tuple(sorted(findings, key=lambda finding: rank[finding.level]))


def _why_budget(
    findings: tuple[Finding, ...], found: RuleResults, bill: Bill
) -> Iterator[str]:
    """Say everything that bars a firm price: a stop, an open question, a gap, no offer."""
    for finding in findings:
        if finding.level == "stop":
            yield f"stop: {finding.says}"
    if found.questions:
        plural = "s are" if len(found.questions) > 1 else " is"
        yield f"{len(found.questions)} question{plural} open that the bill or the hours hang on"
    for gap in bill.gaps:
        yield f"the catalogue has nothing for: {gap.requirement}"
    for line in unpriced(bill):
        yield f"no supplier offers {line.item.name} ({line.item.code}) on this day"
