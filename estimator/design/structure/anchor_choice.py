"""The cheapest fixing of the catalogue that carries a bracket in a wall, and why others do not.

Pure: items and prices in; the choice, and a reason for every refusal, out.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple, cast

from catalogue.items import Item
from catalogue.specs import FixingSpec
from estimator.design.check import Check
from estimator.design.limits import Number, shown
from estimator.design.structure.anchors import AnchorRule, judge_anchor
from estimator.design.structure.bracket import FixingDuty


class PricedFixing(NamedTuple):
    """A fixing on offer and the price of one, in minor units of money."""

    item: Item
    price_minor: Fraction


class Hole(NamedTuple):
    """Where the fixing goes.

    Attributes:
        wall: kind of wall, of the catalogue's list.
        fixture_mm: thickness of what is fixed.
        plaster_mm: plaster or render before the structural wall.
        outdoor: whether it stands in the weather.
        edge_mm: distance to the nearest edge of the wall; None = not measured.
    """

    wall: str
    fixture_mm: Number
    plaster_mm: Number
    outdoor: bool
    edge_mm: Number | None = None


class Refusal(NamedTuple):
    """A fixing that does not serve, and why."""

    code: str
    name: str
    because: str


class AnchorChoice(NamedTuple):
    """The fixing chosen, or None.

    Attributes:
        item: the cheapest that passes; ties go to the lower code.
        cost_minor: price of one set, resin included.
        judged: pull and shear of the chosen one together; None without rated loads.
        refused: every other fixing that does not serve, and why, in order of code.
        dearer: codes that pass too and cost more.
        cautions: what holds whatever is chosen.
        decides: who must decide.
    """

    item: Item | None
    cost_minor: Fraction | None
    judged: Check | None
    refused: tuple[Refusal, ...]
    dearer: tuple[str, ...]
    cautions: tuple[str, ...]
    decides: str


def needed_length_mm(hole: Hole, embedment_mm: Number) -> Fraction:
    """Return fixture + plaster + embedment [mm]: the plaster carries nothing."""
    return Fraction(hole.fixture_mm) + Fraction(hole.plaster_mm) + Fraction(embedment_mm)


def choose_anchor(
    duty: FixingDuty,
    hole: Hole,
    fixings: Sequence[PricedFixing],
    rule: AnchorRule,
    resin_minor_per_ml: Fraction = Fraction(0),
) -> AnchorChoice:
    """Return the cheapest fixing that serves.

    Args:
        duty: what the bracket asks of each fixing.
        hole: where it goes.
        fixings: the catalogue's fixings on offer.
        rule: partial factors and interaction in force.
        resin_minor_per_ml: price of resin, so that a resin fixing is compared with its resin.

    Raises:
        KeyError: for a wall that the rule does not know.
    """
    cautions = _cautions(hole, duty, rule)
    served: list[tuple[Fraction, str, PricedFixing]] = []
    refused: list[Refusal] = []
    for each in sorted(fixings, key=lambda fixing: fixing.item.code):
        reason = refusal(each.item, duty, hole, rule)
        if reason:
            refused.append(Refusal(each.item.code, each.item.name, reason))
        else:
            resin = Fraction(_spec(each.item).resin_ml) * resin_minor_per_ml
            served.append((each.price_minor + resin, each.item.code, each))
    served.sort(key=lambda found: found[:2])
    if not served:
        return AnchorChoice(None, None, None, tuple(refused), (), cautions, duty.decides)
    cost, _, best = served[0]
    return AnchorChoice(
        best.item, cost, _loads(best.item, duty, hole, rule) if duty.load_rated else None,
        tuple(refused), tuple(code for _, code, _ in served[1:]), cautions, duty.decides,
    )


def choose_plain_first(
    duty: FixingDuty,
    hole: Hole,
    fixings: Sequence[PricedFixing],
    rule: AnchorRule,
    resin_minor_per_ml: Fraction = Fraction(0),
) -> AnchorChoice:
    """Return the cheapest fixing that serves without resin, or else the cheapest of all.

    Resin saves pence and costs hours: holes are cleaned, and nothing hangs before it has cured
    (common practice, no source). So it is taken only in a wall that nothing else holds in.
    """
    plain = [each for each in fixings if not _spec(each.item).resin_ml]
    found = choose_anchor(duty, hole, plain, rule)
    if found.item is not None or len(plain) == len(fixings):
        return found
    return choose_anchor(duty, hole, fixings, rule, resin_minor_per_ml)


def least_share(
    duty: FixingDuty, hole: Hole, fixings: Sequence[PricedFixing], rule: AnchorRule
) -> Check | None:
    """Return pull and shear together of the strongest rated fixing for the wall, or None."""
    judged = [
        _loads(each.item, duty, hole, rule) for each in fixings
        if hole.wall in (spec := _spec(each.item)).walls and spec.load_rated
        and spec.pull_n and spec.shear_n
    ]
    return min(judged, key=lambda check: (Fraction(check.value) / Fraction(check.limit)),
               default=None)


def refusal(item: Item, duty: FixingDuty, hole: Hole, rule: AnchorRule) -> str:
    """Return why a fixing does not serve, or "" if it does; a blank data sheet never serves."""
    spec = _spec(item)
    if duty.role not in item.roles:
        return f"it is no {duty.role}"
    if hole.wall not in spec.walls:
        return f"it is not for {hole.wall}"
    if duty.load_rated and not spec.load_rated:
        return "it is not rated for a load"
    if hole.outdoor and not spec.outdoor:
        return "it is not for outdoors"
    return _too_short(spec, hole) or _too_near_edge(spec, hole, rule) or (
        _too_weak(item, duty, hole, rule) if duty.load_rated else "")


def _spec(item: Item) -> FixingSpec:
    return cast(FixingSpec, item.spec)


def _too_short(spec: FixingSpec, hole: Hole) -> str:
    if spec.depth_mm is None:
        return "its sheet gives no depth in the wall"
    needed = needed_length_mm(hole, spec.depth_mm)
    if Fraction(spec.length_mm) >= needed:
        return ""
    return (
        f"{shown(Fraction(spec.length_mm))} mm is shorter than fixture, plaster and embedment "
        f"together ({shown(needed)} mm)"
    )


def _too_near_edge(spec: FixingSpec, hole: Hole, rule: AnchorRule) -> str:
    brick = "brick" in hole.wall and spec.resin_ml > 0
    if hole.edge_mm is None or not brick or Fraction(hole.edge_mm) >= rule.edge_mm.value:
        return ""
    return (
        f"{shown(Fraction(hole.edge_mm))} mm from the edge of the wall is less than "
        f"{shown(rule.edge_mm.value)} mm"
    )


def _too_weak(item: Item, duty: FixingDuty, hole: Hole, rule: AnchorRule) -> str:
    spec = _spec(item)
    if not spec.pull_n or not spec.shear_n:
        return "its sheet gives no recommended load"
    judged = _loads(item, duty, hole, rule)
    return "" if judged.passes else (
        f"{shown(duty.pull_n)} N pull and {shown(duty.shear_n)} N shear against "
        f"{shown(Fraction(spec.pull_n))} N and {shown(Fraction(spec.shear_n))} N: {judged.says}"
    )


def _loads(item: Item, duty: FixingDuty, hole: Hole, rule: AnchorRule) -> Check:
    spec = _spec(item)
    pull, shear = Fraction(spec.pull_n or 1), Fraction(spec.shear_n or 1)
    return judge_anchor(duty.pull_n / pull, duty.shear_n / shear, hole.wall, rule)


def _cautions(hole: Hole, duty: FixingDuty, rule: AnchorRule) -> tuple[str, ...]:
    if not duty.load_rated:
        return ()
    always = (
        "the full embedment lies in the structural wall: never rate a fixing from the plaster",
    )
    if not rule.walls[hole.wall].test_first:
        return always
    return (*always, f"{hole.wall}: test fixings by pulling before anything heavy hangs on them")
