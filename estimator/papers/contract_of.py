"""From a finished estimate to its JSON form; nothing is computed, only written down."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from math import ceil
from typing import Any

from catalogue.items import Offer
from catalogue.money import Money, round_half_up
from estimator.bill import BillLine, Surplus
from estimator.buying.purchase import Buy
from estimator.cost import CostSheet
from estimator.design.check import Worked
from estimator.design.sheet import FactSheet, Unknown
from estimator.estimate import Estimate
from estimator.findings import amount_text
from estimator.labour.hours import Hours, Task
from estimator.papers import contract_parts as c
from estimator.papers.contract import EstimateJson
from estimator.papers.contract_cuts import CableJson, CutJson
from estimator.papers.contract_roofs import PlaneJson
from estimator.papers.contract_walls import WallJson
from estimator.papers.digits import plain
from estimator.papers.exact_json import rounded
from estimator.price import Price
from estimator.rules.results import FactUsed, Finding, NotFired, Question, Reason
from estimator.survey.model import Header

HOUR_PLACES = 4
SHARE_PLACES = 6
TEN_THOUSANDTHS_PER_MINOR = 100


def estimate_json(estimate: Estimate, revision: int) -> EstimateJson:
    """Return the JSON form of an estimate; revisions count from 1."""
    return EstimateJson(
        job=_job(estimate.job),
        revision=revision,
        on=estimate.on,
        kind=estimate.kind,
        kind_because=estimate.kind_because,
        currency=estimate.currency,
        lines=tuple(_line(line, estimate.lifts) for line in estimate.bill.lines),
        surplus=tuple(_surplus(each) for each in estimate.bill.surplus),
        tasks=tuple(_task(task) for task in estimate.tasks),
        hours=_hours(estimate.hours),
        cost=_cost(estimate.cost),
        price=_price(estimate.price, estimate),
        price_range=c.PriceRangeJson(
            low=estimate.price_range.low.minor, high=estimate.price_range.high.minor,
            open_ended=estimate.price_range.open_ended,
        ),
        terms=_terms(estimate.sheet),
        findings=tuple(_finding(each) for each in estimate.findings),
        questions=tuple(_question(each) for each in estimate.questions),
        worked=tuple(_worked(each) for each in estimate.judgement.worked),
        walls=_walls(estimate),
        cuts=_cuts(estimate),
        cables=_cables(estimate),
        roofs=_roofs(estimate),
        gaps=tuple(
            c.GapJson(
                rule=gap.rule, wants=str(gap.requirement), family=gap.requirement.family,
                role=gap.requirement.role, quantity=gap.quantity, because=gap.because, on=gap.on,
            )
            for gap in estimate.bill.gaps
        ),
        risks=tuple(
            c.RiskJson(
                id=risk.id, chance=risk.chance, cost=risk.cost.minor, because=risk.because,
                holds_if=risk.holds_if, open_facts=risk.open_facts,
            )
            for risk in estimate.risks
        ),
        price_holds_if=estimate.price_holds_if,
        scope=estimate.scope,
        exclusions=estimate.exclusions,
        facts=_surveyed(estimate.sheet),
        not_fired=tuple(_not_fired(each) for each in estimate.not_fired),
        swaps=tuple(
            c.SwapJson(
                original=each.original.code, original_name=each.original.name,
                substitute=each.substitute.code, substitute_name=each.substitute.name,
                why=each.why, by=each.by,
            )
            for each in estimate.stand_ins
        ),
    )


def _job(job: Header) -> c.JobJson:
    return c.JobJson(
        id=job.id, title=job.title, customer=job.customer, address=job.address,
        surveyor=job.surveyor, estimator=job.estimator, surveyed_on=job.surveyed_on,
        supply_date=job.supply_date, parts=job.parts, remarks=job.remarks,
    )


def _line(line: BillLine, lifts: Mapping[str, str]) -> c.LineJson:
    item, offer, unit = line.item, line.offer, line.unit_cost
    return c.LineJson(
        line=line.line, item=item.code, name=item.name, family=item.family, head=item.head,
        unit=item.unit, bin=item.bin, held=item.held, mass_kg=item.mass_kg,
        lift=lifts.get(item.code, ""),
        waste_share=item.waste, need=line.need, boxed=line.boxed, buy=line.buy,
        allowance=line.allowance, packs=line.packs, pack=line.pack,
        rule=_joined(reason.rule for reason in line.reasons),
        because=_joined((reason.because for reason in line.reasons), "; "),
        wants=tuple(dict.fromkeys(str(each) for each in line.requirements)),
        unit_cost=None if unit is None else round_half_up(unit),
        unit_cost_ten_thousandths=(
            None if unit is None else round_half_up(unit * TEN_THOUSANDTHS_PER_MINOR)),
        cost=line.cost.minor, waste_cost=line.waste_cost.minor,
        offer=None if offer is None else _offer(offer),
        boxes=tuple(c.BoxJson(part=use.part, quantity=use.quantity) for use in line.boxes),
        reasons=tuple(_reason(reason) for reason in line.reasons),
        option=line.option, buys=tuple(_buy(each) for each in line.buys),
        left_over=line.left_over, gap=ceil(line.gap_minor),
    )


def _offer(offer: Offer) -> c.OfferJson:
    return c.OfferJson(
        supplier=offer.supplier, supplier_code=offer.supplier_code, price=offer.price.minor,
        pack=offer.pack, from_date=offer.from_date, to_date=offer.to_date,
        lead_days=offer.lead_days, per=offer.per, least=offer.least,
        cut_charge=_minor(offer.cut_charge), carriage_class=offer.carriage_class,
    )


def _buy(buy: Buy) -> c.BuyJson:
    offer = buy.offer
    return c.BuyJson(
        supplier=offer.supplier, supplier_code=offer.supplier_code, pack=offer.pack,
        packs=buy.packs, per=offer.per, price=offer.price.minor, least=offer.least, cuts=buy.cuts,
        cut_charge=_minor(offer.cut_charge), quantity=buy.quantity, cost=buy.cost.minor,
    )


def _joined(words: Any, by: str = ", ") -> str:
    return by.join(dict.fromkeys(words))


def _surplus(each: Surplus) -> c.SurplusJson:
    return c.SurplusJson(
        item=each.item.code, name=each.item.name, unit=each.item.unit, bin=each.item.bin,
        quantity=each.quantity, boxed=each.boxed,
    )


def _reason(reason: Reason) -> c.ReasonJson:
    return c.ReasonJson(
        rule=reason.rule, because=reason.because, on=reason.on, when=reason.when,
        formula=reason.formula, numbers=reason.numbers, quantity=reason.quantity,
        facts=tuple(_fact(used) for used in reason.facts), file=reason.file, line=reason.line,
        assumed=reason.assumed,
    )


def _fact(used: FactUsed) -> c.FactJson:
    return c.FactJson(
        path=used.path, value=fact_value(used.value), unit=used.unit, origin=used.origin,
        evidence=used.evidence, source=used.source, place=used.place, words=used.words,
    )


def fact_value(value: Any) -> c.FactValue:
    """Return a fact's value as JSON: whole number, flag, text, texts, decimal text, or null."""
    if value is None or isinstance(value, Unknown):
        return None
    if isinstance(value, bool | int | str):
        return value
    if isinstance(value, Decimal):
        return plain(value)
    if isinstance(value, Fraction):
        return plain(rounded(value, SHARE_PLACES))
    if isinstance(value, tuple | list):
        return tuple(str(each) for each in value)
    return str(value)


def _surveyed(sheet: FactSheet) -> tuple[c.FactJson, ...]:
    """Return the surveyed and the assumed facts of the sheet by path."""
    found = []
    for path, detail in sorted(sheet.details.items()):
        if detail.origin in ("survey", "assumed"):
            found.append(c.FactJson(
                path=path, value=fact_value(_on_sheet(sheet, path)), unit="",
                origin=detail.origin, evidence=detail.evidence, source=detail.source,
                place=detail.place, words=detail.words,
            ))
    return tuple(found)


def _on_sheet(sheet: FactSheet, path: str) -> Any:
    """Return the value of a path; "plane[0].covering" is `plane.covering` of the first plane."""
    scope, bracket, rest = path.partition("[")
    if not bracket:
        return sheet.job.get(path)
    at, _, field = rest.partition("].")
    for prefix, _, environment in sheet.environments("plane" if scope == "plane" else "leg"):
        if prefix == f"{scope}[{at}]":
            return environment.get(f"{scope}.{field}")
    return None


def _task(task: Task) -> c.TaskJson:
    return c.TaskJson(
        task=task.task, name=task.name, group=task.group, per=task.per, units=task.units,
        trips=task.trips, low=rounded(task.low, HOUR_PLACES),
        likely=rounded(task.likely, HOUR_PLACES), high=rounded(task.high, HOUR_PLACES),
        mean=rounded(task.mean, HOUR_PLACES), crew=task.crew, on_site=task.on_site,
        reasons=tuple(_reason(reason) for reason in task.reasons),
    )


def _hours(hours: Hours) -> c.HoursJson:
    return c.HoursJson(
        mean=rounded(hours.mean, HOUR_PLACES), likely=rounded(hours.likely, HOUR_PLACES),
        p80=rounded(hours.p80, HOUR_PLACES), sd=rounded(hours.sd, HOUR_PLACES),
        elapsed=rounded(hours.elapsed, HOUR_PLACES), days=hours.days, crew=hours.crew,
        trips=hours.trips,
        by_group=tuple(
            c.GroupHoursJson(group=group, hours=rounded(part, HOUR_PLACES))
            for group, part in hours.by_group.items()
        ),
    )


def _cost(cost: CostSheet) -> c.CostJson:
    return c.CostJson(
        heads=tuple(c.HeadJson(head=each.head, amount=each.amount.minor) for each in cost.heads),
        materials=cost.materials.minor, waste=cost.waste.minor, labour=cost.labour.minor,
        bought_in=cost.bought_in.minor, contingency=cost.contingency.minor,
        warranty=cost.warranty.minor, direct=cost.direct.minor, overhead=cost.overhead.minor,
        total=cost.total.minor, p80_reserve=cost.p80_reserve.minor,
    )


def _price(price: Price, estimate: Estimate) -> c.PriceJson:
    off = price.discount
    return c.PriceJson(
        list_net=price.list_net.minor,
        discount=None if off is None else c.DiscountJson(
            amount=off.amount.minor, reason=off.reason, name=off.name),
        net=price.net.minor,
        vat=tuple(
            c.VatJson(rate=each.rate, net=each.net.minor, vat=each.vat.minor, because=each.because)
            for each in price.vat
        ),
        gross=price.gross.minor, margin=rounded(price.margin, SHARE_PLACES),
        markup=rounded(price.markup, SHARE_PLACES),
        contribution=rounded(price.contribution, SHARE_PLACES), signed_by=price.signed_by,
        vat_says=price.vat_says, cautions=price.cautions, valid_until=estimate.valid_until,
        valid_because=estimate.valid_because,
    )


def _terms(sheet: FactSheet) -> c.TermsJson:
    def number(name: str) -> Decimal | None:
        value = sheet.job.get(f"practice.{name}")
        return value if isinstance(value, Decimal) else None

    return c.TermsJson(**{name: number(name) for name in c.TermsJson.model_fields})


def _finding(each: Finding) -> c.FindingJson:
    return c.FindingJson(
        code=each.code, level=each.level, subject=each.subject, says=each.says, value=each.value,
        limit=each.limit, unit=each.unit, source=each.source, decides=each.decides,
        let_pass_by=each.let_pass_by, let_pass_because=each.let_pass_because,
        signed=each.signed,
    )


def _question(each: Question) -> c.QuestionJson:
    return c.QuestionJson(
        fact=each.fact, asks=each.asks, on=each.on, rules=each.rules, low=_minor(each.low),
        high=_minor(each.high), assumed=each.assumed, worst=each.worst, at_worst=each.at_worst,
    )


def _worked(each: Worked) -> c.WorkedJson:
    return c.WorkedJson(
        code=each.code, subject=each.subject, says=each.says, method=each.method,
        source=each.source, sums=tuple(
            c.SumJson(name=one.name, value=amount_text(one.value), unit=one.unit)
            for one in each.sums
        ),
    )


def _walls(estimate: Estimate) -> tuple[WallJson, ...]:
    """Return the walls; most jobs of panels alone have none, and never load their form."""
    if not estimate.judgement.walls:
        return ()
    from estimator.papers.walls_of import walls_json

    return walls_json(estimate.judgement.walls)


def _cuts(estimate: Estimate) -> tuple[CutJson, ...]:
    """Return what is cut from bars; a job with nothing to cut never loads its form."""
    if not estimate.cuts:
        return ()
    from estimator.papers.cuts_of import cuts_json

    return cuts_json(estimate.cuts)


def _cables(estimate: Estimate) -> tuple[CableJson, ...]:
    """Return which run of cable comes from which drum."""
    laid = [line for line in estimate.bill.lines if line.laid is not None]
    if not laid:
        return ()
    from estimator.papers.cables_of import cables_json

    return cables_json(laid)


def _roofs(estimate: Estimate) -> tuple[PlaneJson, ...]:
    """Return the planes with panels; a job without any never loads their form."""
    if not estimate.design.planes:
        return ()
    from estimator.design.roof_set_out import roofs_set_out
    from estimator.papers.roofs_of import roofs_json

    return roofs_json(roofs_set_out(
        estimate.design.planes, estimate.sheet, estimate.design.kit.items["rail"],
        estimate.judgement.strings))


def _minor(money: Money | None) -> int | None:
    return None if money is None else money.minor


def _not_fired(each: NotFired) -> c.NotFiredJson:
    return c.NotFiredJson(
        rule=each.rule, family=each.family, role=each.role, because=each.because, on=each.on,
        when=each.when, numbers=each.numbers,
        stopped_by=tuple(_fact(used) for used in each.stopped_by), undecided=each.undecided,
    )
