"""Why a line is in a bill, or why a part is not; told from the stored estimate alone."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from decimal import Decimal

from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from estimator.papers import words
from estimator.papers.contract import (
    EstimateJson,
    FactJson,
    GapJson,
    LineJson,
    NotFiredJson,
    ReasonJson,
)
from estimator.papers.exact_json import plain
from estimator.papers.fact_words import how, shown
from estimator.papers.terminal import clean, wrapped

Role = tuple[str, str]


def why(estimate: EstimateJson, asked: str) -> str:
    """Return why a line is in the bill: rule, facts with evidence, formula, boxes, price.

    Args:
        estimate: as stored.
        asked: a line number of the bill, or an item code (all its lines are told).

    Raises:
        ProblemsFound: W001 if the bill has no such line or item.
    """
    lines = [line for line in estimate.lines if asked in (line.item, str(line.line))]
    exact = [line for line in lines if line.item == asked] or lines
    if not exact:
        known = [line.item for line in estimate.lines]
        raise ProblemsFound([Problem(
            "W001", Place(f"job {estimate.job.id} revision {estimate.revision}"),
            f"the bill has no line or item '{asked}'",
            suggestion(asked, known) or f"give a line from 1 to {len(known)} or an item code",
        )])
    return _told([text for line in exact for text in (*_line(line, estimate), "")])


def why_not(estimate: EstimateJson, asked: str, roles: Collection[Role] = ()) -> str:
    """Return which rules would add a part, and for each the fact that stops it.

    Args:
        estimate: as stored.
        asked: an item code, a role or a family ("backup board", "guard"), or a rule's id.
        roles: (family, role) pairs that the item of that code serves, from the catalogue.

    Raises:
        ProblemsFound: W002 if no rule of the job would ever add it.
    """
    there = [line for line in estimate.lines if line.item == asked]
    stopped = [rule for rule in estimate.not_fired if _asks_for(rule, asked, roles)]
    missing = [gap for gap in estimate.gaps if _lacks(gap, asked, roles)]
    if not there and not stopped and not missing:
        known = [*(rule.role for rule in estimate.not_fired), *(r.rule for r in estimate.not_fired)]
        raise ProblemsFound([Problem(
            "W002", Place(f"job {estimate.job.id} revision {estimate.revision}"),
            f"no rule that was tried for this job would add '{asked}'",
            suggestion(asked, [word for word in known if word])
            or "ask for an item code, a role such as 'heat alarm', or a rule's id",
        )])
    text: list[str] = []
    for line in there:
        text += [*wrapped(f"{asked} is in the bill: line {line.line}, {line.name}", ""), ""]
    for gap in missing:
        text += [*_missing(gap), ""]
    for rule in stopped:
        text += [*_stopped(rule), ""]
    return _told(text)


def _told(lines: Sequence[str]) -> str:
    return clean("\n".join([*lines, words.DEFERRAL])) + "\n"


def _line(line: LineJson, estimate: EstimateJson) -> Iterator[str]:
    yield from wrapped(
        f"Line {line.line}: {line.name} ({line.item}), job {estimate.job.id}, revision "
        f"{estimate.revision}" + (" - an option, not in the price" if line.option else ""), "",
    )
    packs = f", {line.packs} x pack of {plain(line.pack)}" if line.packs else ""
    waste = f", waste {words.count(line.allowance, line.unit)}" if line.allowance else ""
    yield from wrapped(
        f"needed {words.count(line.need, line.unit)}, from boxes {plain(line.boxed)}, to buy "
        f"{words.count(line.buy, line.unit)}{waste}{packs}", "  ",
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
    offer = line.offer
    if offer is None:
        yield "  price: " + ("nothing to buy" if line.buy <= 0 else "NO PRICE, nobody offers it")
        return
    until = f" to {words.day(offer.to_date)}" if offer.to_date else ", no end given"
    yield from wrapped(
        f"price: {offer.supplier}, {words.money(offer.price, currency)} for a pack of "
        f"{plain(offer.pack)}, holds from {words.day(offer.from_date)}{until}", "  ",
    )
    if line.held == "job":
        how_charged = f"{line.packs} whole packs, bought for the job"
    else:
        unit = Decimal(line.unit_cost_ten_thousandths or 0).scaleb(-4)
        how_charged = (f"{words.count(line.buy, line.unit)} from the shelf at "
                       f"{words.symbol(currency)}{plain(unit)} a unit")
    waste = f", and {words.money(line.waste_cost, currency)} waste" if line.waste_cost else ""
    yield from wrapped(f"cost: {words.money(line.cost, currency)}, {how_charged}{waste}", "  ")


def _asks_for(rule: NotFiredJson, asked: str, roles: Collection[Role]) -> bool:
    word = asked.casefold()
    return (
        (rule.family, rule.role) in roles or word == rule.rule.casefold()
        or word == rule.family.casefold() or (bool(word) and word in rule.role.casefold())
    )


def _lacks(gap: GapJson, asked: str, roles: Collection[Role]) -> bool:
    word = asked.casefold()
    return (gap.family, gap.role) in roles or word == gap.rule.casefold() or (
        bool(word) and word in gap.role.casefold())


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
