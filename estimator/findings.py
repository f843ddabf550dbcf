"""Turns what the checks of the design tell into findings and questions, with those of the rules."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

from catalogue.price_book import PriceBook
from estimator.bill import Bill, BillLine
from estimator.buying.drums import RunsBought
from estimator.delivery import to_bring
from estimator.design.check import SEVERITY, Amount, Check, Unanswered
from estimator.design.kit import Kit
from estimator.design.sheet import FactSheet
from estimator.rules.complete import plain_path
from estimator.rules.facts import FactDef
from estimator.rules.results import Finding, Question

if TYPE_CHECKING:
    from estimator.buying.cutting.lines import LinePlan


def all_findings(
    found: Iterable[Finding], checked: Iterable[Check], kit: Kit
) -> tuple[Finding, ...]:
    """Return findings of the rules, of the design and of the kit, worst first."""
    told = (*_kit_findings(kit), *(finding_of(each) for each in checked), *found)
    return tuple(sorted(told, key=lambda each: SEVERITY[each.level]))


def finding_of(check: Check) -> Finding:
    """Return a check as a finding; value and limit are shown with as many digits as part them."""
    value, limit = _shown(check.value, check.limit)
    return Finding(
        check.code, check.level, check.subject, check.says, check.source, check.decides,
        value, limit, check.unit, signed=check.signed,
    )


def _shown(value: Amount, limit: Amount) -> tuple[str, str]:
    for digits in range(4, 16):
        told = amount_text(value, digits), amount_text(limit, digits)
        if told[0] != told[1] or _same(value, limit):
            return told
    return told


def _same(value: Amount, limit: Amount) -> bool:
    if isinstance(value, str) or isinstance(limit, str):
        return True
    return Fraction(value) == Fraction(limit)


def amount_text(amount: Amount, digits: int = 4) -> str:
    """Return an amount for the reader with so many digits that count; never to compare."""
    if isinstance(amount, str):
        return amount
    text = f"{float(amount):.{digits}g}"
    return f"{Decimal(text):f}" if "e" in text else text


def _kit_findings(kit: Kit) -> Iterator[Finding]:
    for slot in kit.nothing_fits:
        yield Finding(
            code=f"kit-{slot}", level="stop", subject=slot,
            says=f"no {slot} in the catalogue fits this job",
            source="the catalogue's data sheets", decides="the estimator",
        )


def bill_findings(bill: Bill) -> Iterator[Finding]:
    """Yield what cannot be bought in one length, and what is joined because bars are shorter."""
    for line in bill.lines:
        if line.laid is not None:
            yield from _too_long(line, line.laid)
        if line.cut is not None:
            yield from _joined(line, line.cut)


def carriage_findings(bill: Bill, prices: PriceBook) -> Iterator[Finding]:
    """Yield each carriage class of goods that are brought, where the supplier has no charge."""
    unpriced: dict[tuple[str, str], list[str]] = {}
    for line in bill.lines:
        for offer in (buy.offer for buy in line.buys if to_bring(line)):
            known = {row.carriage_class for row in prices.carriage.get(offer.supplier, ())}
            if offer.carriage_class and offer.carriage_class not in known:
                names = unpriced.setdefault((offer.supplier, offer.carriage_class), [])
                names.append(line.item.name)
    for (supplier, name), items in sorted(unpriced.items()):
        yield Finding(
            "carriage-unpriced", "caution", supplier,
            f"no carriage is in the price for goods of class '{name}' "
            f"({', '.join(dict.fromkeys(items))}): the supplier's carriage rows have no charge for "
            "it; ask and enter it, 0 if there is none",
            "the supplier's carriage rows", "estimator")


def _too_long(line: BillLine, laid: RunsBought) -> Iterator[Finding]:
    for at in laid.too_long:
        run, most = line.runs[at], laid.longest or Decimal(0)
        yield Finding(
            "run-too-long", "stop", line.item.name,
            f"{run.label}: longer than every length on offer, and a run of cable is never joined "
            "from two; order a longer drum or a length cut to measure, or the designer sets a "
            "joint where it stays in reach",
            "common practice, no source; joints in reach: BS 7671, 526.3 (from memory)",
            "designer", *_shown(run.length * (1 + line.item.waste), most), "m")


def _joined(line: BillLine, plan: LinePlan) -> Iterator[Finding]:
    joined = [each for each in plan.lines if each.joiners]
    if joined:
        yield Finding(
            "runs-joined", "fine", line.item.name,
            f"longer than a bar and joined: {len(joined)} of {len(plan.lines)} runs, "
            f"{plan.joiners} joints in all, as the cut list shows; couplers are counted only "
            "where a rule asks for them", "common practice, no source", "electrician on site")


def all_questions(
    asked: Iterable[Question], unanswered: Iterable[Unanswered], facts: Mapping[str, FactDef],
    sheet: FactSheet,
) -> tuple[Question, ...]:
    """Return the questions of the rules with those of the checks merged in, fact by fact.

    A question keeps its order; those that only a check asks come last, stops first.

    Args:
        asked: what the rules ask.
        unanswered: the checks that lack a fact.
        facts: the dictionary of facts, for the words of a question.
        sheet: the facts of the job, for the names of planes and legs.
    """
    merged = {question.fact: question for question in asked}
    for each in sorted(unanswered, key=lambda one: SEVERITY[one.worst.level]):
        for fact in each.facts:
            merged[fact] = _merged(merged.get(fact), fact, each, facts, sheet)
    return tuple(merged.values())


def _merged(
    asked: Question | None, fact: str, each: Unanswered, facts: Mapping[str, FactDef],
    sheet: FactSheet,
) -> Question:
    if asked is None:
        known = facts.get(plain_path(fact))
        asks = known.ask if known is not None and known.ask else each.asks
        asked = Question(fact, asks, sheet.name_of(fact), ())
    graver = not asked.at_worst or SEVERITY[each.worst.level] < SEVERITY[asked.at_worst]
    return replace(
        asked, rules=tuple(dict.fromkeys((*asked.rules, each.code))),
        worst=each.worst.says if graver else asked.worst,
        at_worst=each.worst.level if graver else asked.at_worst,
    )
