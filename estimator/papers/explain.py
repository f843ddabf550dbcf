"""Why a line is in a bill, or why a part is not; told from the stored estimate alone."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from estimator.papers import words
from estimator.papers.contract import EstimateJson
from estimator.papers.contract_parts import (
    BuyJson,
    FactJson,
    GapJson,
    LineJson,
    NotFiredJson,
    OfferJson,
    ReasonJson,
)
from estimator.papers.digits import plain
from estimator.papers.fact_words import how, shown
from estimator.papers.packs import packs_to_buy
from estimator.papers.terminal import clean, wrapped

Role = tuple[str, str]


@dataclass(frozen=True)
class Absence:
    """What is to be said of a part that was asked for as missing.

    Attributes:
        there: lines of the bill that hold it after all.
        missing: rules that ask for it while the catalogue has no item for it.
        stopped: rules that would add it, each with the facts that stop it.
    """

    there: tuple[LineJson, ...]
    missing: tuple[GapJson, ...]
    stopped: tuple[NotFiredJson, ...]


def lines_asked(estimate: EstimateJson, asked: str) -> tuple[LineJson, ...]:
    """Return the lines of an item code, else the line of that number.

    Raises:
        ProblemsFound: W001 if the bill has no such line or item.
    """
    by_code = tuple(line for line in estimate.lines if line.item == asked)
    found = by_code or tuple(line for line in estimate.lines if str(line.line) == asked)
    if not found:
        known = [line.item for line in estimate.lines]
        raise ProblemsFound([Problem(
            "W001", Place(f"job {estimate.job.id} revision {estimate.revision}"),
            f"the bill has no line or item '{asked}'",
            suggestion(asked, known) or f"give a line from 1 to {len(known)} or an item code",
        )])
    return found


def absence_of(estimate: EstimateJson, asked: str, roles: Collection[Role] = ()) -> Absence:
    """Return the rules that would add a part; see `why_not`.

    Raises:
        ProblemsFound: W002 if no rule of the job would ever add it.
    """
    found = Absence(
        tuple(line for line in estimate.lines if line.item == asked),
        tuple(gap for gap in estimate.gaps if _asks_for(gap, asked, roles)),
        tuple(rule for rule in estimate.not_fired if _asks_for(rule, asked, roles)),
    )
    if not (found.there or found.missing or found.stopped):
        known = [*(rule.role for rule in estimate.not_fired), *(r.rule for r in estimate.not_fired)]
        raise ProblemsFound([Problem(
            "W002", Place(f"job {estimate.job.id} revision {estimate.revision}"),
            f"no rule that was tried for this job would add '{asked}'",
            suggestion(asked, [word for word in known if word])
            or "ask for an item code, a role such as 'heat alarm', or a rule's id",
        )])
    return found


def why(estimate: EstimateJson, asked: str) -> str:
    """Return why a line is in the bill: rule, facts with evidence, formula, boxes, price.

    Args:
        estimate: as stored.
        asked: a line number of the bill, or an item code (all its lines are told).

    Raises:
        ProblemsFound: W001 if the bill has no such line or item.
    """
    lines = lines_asked(estimate, asked)
    return _told([text for line in lines for text in (*_line(line, estimate), "")])


def why_not(estimate: EstimateJson, asked: str, roles: Collection[Role] = ()) -> str:
    """Return which rules would add a part, and for each the fact that stops it.

    Args:
        estimate: as stored.
        asked: an item code, a role or a family ("backup board", "guard"), or a rule's id.
        roles: (family, role) pairs that the item of that code serves, from the catalogue.

    Raises:
        ProblemsFound: W002 if no rule of the job would ever add it.
    """
    found = absence_of(estimate, asked, roles)
    text: list[str] = []
    for line in found.there:
        text += [*wrapped(f"{asked} is in the bill: line {line.line}, {line.name}", ""), ""]
    for gap in found.missing:
        text += [*_missing(gap), ""]
    for rule in found.stopped:
        text += [*_stopped(rule), ""]
    return _told(text)


def why_json(estimate: EstimateJson, asked: str) -> str:
    """Return the lines that `why` tells of as JSON, each as in the published schema."""
    return _json({"lines": [each.model_dump(mode="json") for each in lines_asked(estimate, asked)]})


def why_not_json(estimate: EstimateJson, asked: str, roles: Collection[Role] = ()) -> str:
    """Return what `why_not` tells of as JSON: lines, gaps and not_fired of the schema."""
    found = absence_of(estimate, asked, roles)
    return _json({
        "lines": [each.model_dump(mode="json") for each in found.there],
        "gaps": [each.model_dump(mode="json") for each in found.missing],
        "not_fired": [each.model_dump(mode="json") for each in found.stopped],
    })


def _json(data: object) -> str:
    return json.dumps(data, indent=2, ensure_ascii=False) + "\n"


def _told(lines: Sequence[str]) -> str:
    return clean("\n".join([*lines, words.DEFERRAL])) + "\n"


def _line(line: LineJson, estimate: EstimateJson) -> Iterator[str]:
    yield from wrapped(
        f"Line {line.line}: {line.name} ({line.item}), job {estimate.job.id}, revision "
        f"{estimate.revision}" + (" - an option, not in the price" if line.option else ""), "",
    )
    packs = f", {packs_to_buy(line)}" if line.packs else ""
    over = f", left over {words.count(line.left_over, line.unit)}" if line.left_over else ""
    waste = f", waste {words.count(line.allowance, line.unit)}" if line.allowance else ""
    yield from wrapped(
        f"needed {words.count(line.need, line.unit)}, from boxes {plain(line.boxed)}, to buy "
        f"{words.count(line.buy, line.unit)}{waste}{packs}{over}", "  ",
    )
    for reason in line.reasons:
        yield from _reason(reason)
    for wants in line.wants:
        yield from wrapped(f"the item must be: {wants}", "  ")
    for box in line.boxes:
        yield from wrapped(f"from boxes: {box.quantity} x {box.part}", "  ")
    yield from _money(line, estimate.currency)


def _reason(reason: ReasonJson) -> Iterator[str]:
    on = f" (on {reason.on})" if reason.on else ""
    yield from wrapped(f"because {reason.because}{on}", "  ")
    yield from wrapped(f"{reason.rule}, {reason.file}:{reason.line}", "    rule   ")
    yield from wrapped(reason.when, "    when   ")
    sums = [reason.formula, *([reason.numbers] if reason.numbers != reason.formula else [])]
    result = plain(reason.quantity)
    yield from wrapped(" = ".join([*sums, *([result] if sums[-1] != result else [])]),
                       "    sum    ")
    for fact in reason.facts:
        yield from _fact(fact)
    if reason.assumed:
        yield "    a fact was not known and was priced by assumption"


def _fact(fact: FactJson) -> Iterator[str]:
    said = f', "{fact.words}"' if fact.words else ""
    place = f", {fact.place}" if fact.place else ""
    yield from wrapped(f"{fact.path} = {shown(fact)}: {how(fact)}{place}{said}", "    fact   ")


def _money(line: LineJson, currency: str) -> Iterator[str]:
    if line.offer is None:
        yield "  price: " + ("nothing to buy" if line.buy <= 0 else "NO PRICE, nobody offers it")
        return
    until = f" to {words.day(line.offer.to_date)}" if line.offer.to_date else ", no end given"
    yield from wrapped(
        f"price: {line.offer.supplier}, {_priced(line.offer, currency)}, holds from "
        f"{words.day(line.offer.from_date)}{until}", "  ",
    )
    if len(line.buys) > 1:
        for buy in line.buys:
            yield from wrapped(
                f"{buy.packs} x pack of {plain(buy.pack)} from {buy.supplier}, "
                f"{_priced(buy, currency)}: {words.money(buy.cost, currency)}", "    buy    ")
    if line.held == "job":
        many = sum(buy.packs for buy in line.buys) or line.packs
        how_charged = f"whole packs ({many}), bought for the job"
    else:
        unit = Decimal(line.unit_cost_ten_thousandths or 0).scaleb(-4)
        how_charged = (f"{words.count(line.buy, line.unit)} from the shelf at "
                       f"{words.symbol(currency)}{plain(unit)} a unit")
    waste = f", and {words.money(line.waste_cost, currency)} waste" if line.waste_cost else ""
    yield from wrapped(f"cost: {words.money(line.cost, currency)}, {how_charged}{waste}", "  ")
    if line.gap:
        yield from wrapped(
            f"another mix of packs may cost up to {words.money(line.gap, currency)} less: there "
            "are too many mixes to try them all", "  ")


def _priced(offer: OfferJson | BuyJson, currency: str) -> str:
    """Return a price in words: for a pack or so many units, from what quantity on, with cuts."""
    priced = f"{words.money(offer.price, currency)} for "
    priced += f"a pack of {plain(offer.pack)}" if offer.per is None else (
        f"{plain(offer.per)} in packs of {plain(offer.pack)}")
    least = f", from {plain(offer.least)} on" if offer.least else ""
    cut = "" if offer.cut_charge is None else (
        f", cut to measure for {words.money(offer.cut_charge, currency)} a length")
    return priced + least + cut


def _asks_for(rule: NotFiredJson | GapJson, asked: str, roles: Collection[Role]) -> bool:
    word = asked.casefold()
    if (rule.family, rule.role) in roles:
        return True
    named = (rule.rule.casefold(), rule.family.casefold())
    return bool(word) and (word in named or word in rule.role.casefold())


def _missing(gap: GapJson) -> Iterator[str]:
    yield from wrapped(
        f"{gap.wants}: rule {gap.rule} asks for {plain(gap.quantity)}, because {gap.because}, but "
        "the catalogue has no item that will do", "",
    )


def _stopped(rule: NotFiredJson) -> Iterator[str]:
    on = f" (on {rule.on})" if rule.on else ""
    yield from wrapped(f"{rule.role or rule.family}: rule {rule.rule} would add it{on}, because "
                       f"{rule.because}", "")
    yield from wrapped(f"{rule.when} = {rule.numbers}", "    when   ")
    for fact in rule.stopped_by:
        yield from _fact(fact)
    yield ("    It waits: nobody knows that fact yet." if rule.undecided
           else "    It is stopped by what is said above.")
