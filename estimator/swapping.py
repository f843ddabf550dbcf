"""Substitutes in what the rules ask for: each demand of an original goes to its substitute.

A substitute stands in wherever the job without it uses the original, and nowhere else. It must
serve what each rule asks for: a rule may ask for more than the hard fields of the original.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from catalogue.price_book import PriceBook
from catalogue.problems import Problem, ProblemsFound
from estimator.buying.swaps import Swap, place_of
from estimator.design.kit import SLOTS, Kit
from estimator.rules.results import Demand, RuleResults

_Asked = tuple[str, str]  # rule and place


def roles_used(kit: Kit, demands: Iterable[Demand]) -> dict[str, set[str]]:
    """Return for each item of a job the roles in which it is used."""
    roles: dict[str, set[str]] = {}
    for slot, item in kit.items.items():
        if item is not None:
            roles.setdefault(item.code, set()).add(SLOTS[slot][1])
    for demand in demands:
        role = demand.requirement.role
        if role:
            roles.setdefault(demand.item.code, set()).add(role)
    return roles


def with_stand_ins(
    found: RuleResults, before: RuleResults, swaps: Iterable[Swap], prices: PriceBook
) -> RuleResults:
    """Return what the rules yield, with each substitute in the place of its original.

    Args:
        found: what the rules yield for the job as designed with the substitutes.
        before: what they yield without.

    Raises:
        ProblemsFound: E307 for each demand that the substitute does not serve.
    """
    by_code = {swap.original: swap for swap in swaps}
    was = {_asked(demand): by_code[demand.item.code]
           for demand in before.demands if demand.item.code in by_code}
    demands, problems = [], list(_lost(found, was))
    for demand in found.demands:
        swap = was.get(_asked(demand)) or by_code.get(demand.item.code)
        if swap is None or demand.item.code == swap.substitute:
            demands.append(demand)
            continue
        served = _replaced(demand, swap, prices)
        if served is None:
            problems.append(_unserved(swap, demand))
        else:
            demands.append(served)
    if problems:
        raise ProblemsFound(problems)
    return replace(found, demands=tuple(demands))


def _asked(demand: Demand) -> _Asked:
    return demand.reason.rule, demand.reason.on


def _replaced(demand: Demand, swap: Swap, prices: PriceBook) -> Demand | None:
    substitute, wants = prices.items[swap.substitute], demand.requirement
    if wants.code == swap.original:
        wants = replace(wants, code=substitute.code)
    if not wants.serves(substitute):
        return None
    return replace(demand, item=substitute, requirement=wants)


def _unserved(swap: Swap, demand: Demand) -> Problem:
    on = f" on {demand.reason.on}" if demand.reason.on else ""
    return Problem(
        "E307", place_of(swap),
        f"rule {demand.reason.rule}{on} asks for {demand.requirement}, and {swap.substitute} does "
        "not serve",
        "take a substitute that serves it, or change what the survey asks for")


def _lost(found: RuleResults, was: Mapping[_Asked, Swap]) -> Iterator[Problem]:
    """Yield a problem where the design with the substitute asks for what nothing provides."""
    for gap in found.gaps:
        swap = was.get((gap.rule, gap.on))
        if swap is not None:
            yield Problem(
                "E307", place_of(swap),
                f"with {swap.substitute} rule {gap.rule} asks for {gap.requirement}, and nothing "
                "in the catalogue serves",
                "take a substitute that serves it, or change what the survey asks for")
