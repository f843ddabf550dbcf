"""The whole chain for one job, from survey to price, in one function read from top to bottom."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING

from catalogue.money import Money
from catalogue.price_book import PriceBook
from catalogue.problems import ProblemsFound
from estimator.bill import Bill, BillLine, bill_of
from estimator.buying.cutting.sawing import Sawing
from estimator.buying.swaps import (
    Choosing,
    StandIn,
    Swap,
    refusals,
    refused_partner,
    sound_swaps,
)
from estimator.cost import CostSheet, cost_sheet, heads_from_bill
from estimator.delivery import delivered
from estimator.design.case import Case
from estimator.design.design import Design, design_job
from estimator.design.facts import survey_sheet, with_trips
from estimator.design.judging import Judgement, judge_design
from estimator.design.sheet import FactSheet
from estimator.findings import (
    all_findings,
    all_questions,
    bill_findings,
    carriage_findings,
)
from estimator.labour.hours import Hours, Task, job_hours, tasks_from
from estimator.labour.norms import Norm
from estimator.practice.pack import Practice
from estimator.price import Discount, Price, offer_endings, price_of, valid_until, vat_ending
from estimator.rules.choose import Chooser
from estimator.rules.complete import assume
from estimator.rules.engine import run_rules
from estimator.rules.model import RuleBook
from estimator.rules.results import Finding, NotFired, Question, Risk, RuleResults
from estimator.scope import EXCLUSIONS, scope_of
from estimator.settings import Settings
from estimator.survey.model import Header, Survey
from estimator.vat import VatCase, VatDecision, class_weights, decide_vat
from estimator.verdict import LetPass, PriceRange, let_pass, price_range, weighty, why_budget

if TYPE_CHECKING:
    from estimator.design.rail_cut import RailCut


@dataclass(frozen=True)
class Basis:
    """What a firm prices with on one day: the same for every job of that day."""

    on: date
    prices: PriceBook
    rules: RuleBook
    norms: Mapping[str, Norm]
    practice: Practice
    settings: Settings

    @cached_property
    def chooser(self) -> Chooser:
        """Return what chooses items of this price book; it holds what it has looked up."""
        return Chooser(self.prices)


@dataclass(frozen=True)
class Estimate:
    """Everything known about one quoted job; papers render it and compute nothing.

    Attributes:
        on: the day of prices, rules and practice values.
        kind: "firm" or "budget"; `kind_because` says why it is no firm price.
        sheet: every fact the rules read.
        lifts: item code -> who lifts one of it, where that is more than one person.
        price_holds_if: assumptions in words, for the customer.
        stand_ins: substitutes that stand in for what rules and kit would have taken.
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
    judgement: Judgement
    bill: Bill
    tasks: tuple[Task, ...]
    hours: Hours
    lifts: Mapping[str, str]
    risks: tuple[Risk, ...]
    cost: CostSheet
    price: Price
    price_range: PriceRange
    findings: tuple[Finding, ...]
    questions: tuple[Question, ...]
    not_fired: tuple[NotFired, ...]
    price_holds_if: tuple[str, ...]
    scope: tuple[str, ...]
    exclusions: tuple[str, ...]
    stand_ins: tuple[StandIn, ...] = ()

    @property
    def cuts(self) -> tuple[RailCut | BillLine, ...]:
        """Return what is cut from bars, each cut over the whole job: rails, then lines."""
        rails = (self.design.rails,) if self.design.rails is not None else ()
        return (*rails, *(line for line in self.bill.lines if line.cut is not None))


@dataclass(frozen=True)
class _Worked:
    """A job designed and judged, with what the rules yield for it and the hours."""

    design: Design
    judgement: Judgement
    sheet: FactSheet
    found: RuleResults
    tasks: tuple[Task, ...]
    hours: Hours


def make_estimate(
    survey: Survey, basis: Basis, discount: Discount | None = None,
    passes: Sequence[LetPass] = (), swaps: Sequence[Swap] = (), least: Money | None = None,
) -> Estimate:
    """Return the estimate of a job.

    Args:
        survey: the house as surveyed.
        basis: prices, rules, norms, practice values and settings of one day.
        discount: money off, with reason and name.
        passes: stops that a named person lets pass, with the reason.
        swaps: items that are to stand in for others; design, checks, rules, boxes, hours and price
            are worked out with them.
        least: the list price is no lower; a price that was agreed before.

    Raises:
        ProblemsFound: for a wished item the catalogue does not hold (K001), circular box
            contents (B001), a rule that fails on these facts, a discount that may not be given,
            or a substitute that may not stand in (E301 to E307).
    """
    settings, pricing = basis.settings, basis.settings.pricing
    worked = _worked(survey, basis) if not swaps else _swapped(survey, basis, swaps)
    design, judgement, sheet = worked.design, worked.judgement, worked.sheet
    found, tasks, hours = worked.found, worked.tasks, worked.hours

    delivery = delivered(
        bill_of(found.demands, found.gaps, basis.prices, _sawing(sheet)), basis.prices,
        settings.buying)
    bill, currency = delivery.bill, settings.firm.currency
    cost = cost_sheet(
        heads_from_bill(bill, currency, delivery.carriage(currency)), hours, found.risks, settings)
    vat = _vat(survey, basis, bill)
    price = price_of(cost, pricing, vat, discount, least)

    last_day, because = valid_until(
        basis.on, pricing.validity_days, (*offer_endings(bill), *vat_ending(vat))
    )
    findings = let_pass(
        all_findings((*found.findings, *bill_findings(bill),
                      *carriage_findings(bill, basis.prices)), judgement.checked, design.kit),
        passes)
    questions = all_questions(
        found.questions, judgement.unanswered, basis.rules.facts, sheet)
    bars = tuple(why_budget(
        findings, weighty(questions, basis.rules, cost, pricing), bill))
    return Estimate(
        job=survey.job, on=basis.on, valid_until=last_day, valid_because=because,
        kind="budget" if bars else "firm", kind_because=bars,
        currency=settings.firm.currency, sheet=sheet, design=design, judgement=judgement,
        bill=bill, tasks=tasks, hours=hours, lifts=_lifts(bill, judgement, sheet, basis),
        risks=found.risks, cost=cost, price=price,
        price_range=price_range(price, cost, pricing, vat, found), findings=findings,
        questions=questions, not_fired=found.not_fired,
        price_holds_if=_price_holds_if(found), scope=scope_of(sheet, design),
        exclusions=EXCLUSIONS, stand_ins=tuple(
            StandIn(basis.prices.items[swap.original], basis.prices.items[swap.substitute],
                    swap.why, swap.by) for swap in swaps),
    )


def _worked(survey: Survey, basis: Basis, choosing: Choosing | None = None) -> _Worked:
    """Design and judge a job and run the rules; in the design items stand in for others."""
    surveyed = assume(basis.rules, _sheet(survey, basis))
    design, sheet = design_job(surveyed, basis.prices, choosing)
    judgement, sheet = judge_design(Case(
        survey, sheet, design.kit, design.planes, choosing.prices if choosing else basis.prices,
        basis.practice, basis.on))
    return _Worked(design, judgement, *_work(sheet, basis))


def _swapped(survey: Survey, basis: Basis, swaps: Sequence[Swap]) -> _Worked:
    """Work a job out with substitutes, wherever the job without them uses their originals."""
    from estimator.swapping import roles_used, with_stand_ins  # few jobs have a substitute

    by_code = sound_swaps(swaps, basis.prices)
    before = _worked(survey, basis)
    roles = roles_used(before.design.kit, before.found.demands)
    problems = list(refusals(swaps, roles, basis.prices))
    if not problems:
        after = _worked(survey, basis, Choosing.of(by_code, roles, basis.prices))
        kit = after.design.kit.items
        problems = list(refused_partner(swaps, kit["converter"], kit["storage"]))
    if problems:
        raise ProblemsFound(problems)
    return replace(after, found=with_stand_ins(after.found, before.found, swaps, basis.prices))


def _work(
    sheet: FactSheet, basis: Basis
) -> tuple[FactSheet, RuleResults, tuple[Task, ...], Hours]:
    """Run the rules, and once more where the hours on site need more than one journey.

    What comes with each journey (parking) is in the bill; no task on site may hang on the
    journeys, so the second run has as many as the first found.
    """
    found = run_rules(basis.rules, sheet, basis.prices, basis.chooser)
    tasks, hours = job_hours(tasks_from(found.tasks, basis.norms), basis.settings.labour)
    if hours.trips == 1:
        return sheet, found, tasks, hours
    sheet = with_trips(sheet, hours.trips)
    found = run_rules(basis.rules, sheet, basis.prices, basis.chooser)
    tasks, hours = job_hours(tasks_from(found.tasks, basis.norms), basis.settings.labour)
    return sheet, found, tasks, hours


def _sawing(sheet: FactSheet) -> Sawing:
    """Return how bars of trunking and conduit are sawn, by the practice in force."""
    kerf, least, keep = (
        int(sheet.job.get(f"practice.{name}", 0) * 1000)
        for name in ("saw_cut_m", "containment_piece_m", "containment_offcut_m"))
    return Sawing(kerf, max(1, least), keep)


def _lifts(
    bill: Bill, judgement: Judgement, sheet: FactSheet, basis: Basis
) -> Mapping[str, str]:
    from estimator.design.lifting.lines import Carried, who_lifts  # loaded with the first quote

    carried = Carried([line.item for line in bill.lines], judgement.worked, sheet)
    return who_lifts(carried, basis.practice, basis.on)


def _price_holds_if(found: RuleResults) -> tuple[str, ...]:
    """Return the assumptions in words: facts taken for granted, then the open risks reversed."""
    risks = (risk.holds_if for risk in found.risks if risk.holds_if)
    return tuple(dict.fromkeys((*found.assumptions, *risks)))


def _sheet(survey: Survey, basis: Basis) -> FactSheet:
    in_force = basis.practice.on(basis.on)
    return survey_sheet(
        survey,
        {name: value.value for name, value in in_force.items()},
        {name: f"{value.source} ({value.standing})" for name, value in in_force.items()},
    )


def _vat(survey: Survey, basis: Basis, bill: Bill) -> VatDecision:
    """Tax the job on its day of supply; one that has passed is taken as today."""
    return decide_vat(
        VatCase(
            on=max(survey.job.supply_date or basis.on, basis.on),
            home_or_charity=survey.site.home_or_charity.value,
            panels="panels" in survey.job.parts,
            storage="storage" in survey.job.parts,
            registered=basis.settings.firm.vat_registered,
        ),
        class_weights(bill), basis.practice,
    )
