"""What holds storage and converter to the wall: which fixing is bought, and is it strong enough?

The duty of each fixing comes from mass, depth and bracket; the cheapest fixing on offer that
carries it in that wall goes into the bill. A stack on the floor is only kept from tipping.
"""

from __future__ import annotations

from decimal import Decimal
from math import ceil
from typing import Any, NamedTuple, get_args

from catalogue.specs import WallKind
from estimator.design.case import Case, Outcome
from estimator.design.check import Check, Unanswered
from estimator.design.limits import limit_of
from estimator.design.sheet import Unknown
from estimator.design.structure import anchor_told as told
from estimator.design.structure.anchor_choice import (
    AnchorChoice,
    Hole,
    PricedFixing,
    choose_plain_first,
)
from estimator.design.structure.anchors import AnchorRule, anchor_rule
from estimator.design.structure.bracket import FixingDuty, fixing_duty, tipping_duty
from estimator.design.structure.hung import (
    Hung,
    Part,
    boxed_with,
    fact,
    fixings_to_be_had,
    hole_of,
    hung_of,
    is_assumed,
    may_stand,
    resin_minor_per_ml,
    resin_ml,
    units_of,
)

Known = tuple[list[PricedFixing], list[PricedFixing]]  # those on offer, those without a price


class Hanging(NamedTuple):
    """A unit that hangs, and the rule it is judged by."""

    case: Case
    part: Part
    unit: Hung
    duty: FixingDuty
    rule: AnchorRule


def judge_anchors(case: Case) -> Outcome:
    """Return the fixings of storage and converter, and whether their walls hold them.

    Raises:
        ProblemsFound: P020 if the practice pack lacks a figure of it.
    """
    rule = anchor_rule(case.practice, case.on)
    found = []
    if "storage" in case.sheet.parts:
        found.append(_storage(case, rule))
    if "converter" in case.sheet.parts:
        found.append(_hung(case, "converter", rule))
    return Outcome(
        told=tuple(each for outcome in found for each in outcome.told),
        facts={path: value for outcome in found for path, value in outcome.facts.items()},
        because={path: why for outcome in found for path, why in outcome.because.items()},
        assumed=frozenset(path for outcome in found for path in outcome.assumed),
        worked=tuple(each for outcome in found for each in outcome.worked),
    )


def _storage(case: Case, rule: AnchorRule) -> Outcome:
    mount = fact(case, "storage.mount")
    if isinstance(mount, Unknown):
        return _open("storage", mount)
    if mount == "floor":
        return _standing(case, rule)
    return _hung(case, "storage", rule)


# --- hung on the wall -----------------------------------------------------------------------------


def _hung(case: Case, part: Part, rule: AnchorRule) -> Outcome:
    unit = hung_of(case, part)
    if isinstance(unit, Unknown):
        return _open(part, unit)
    if unit.bracket is None:
        return Outcome(told.no_holes(part), _facts(part, "", Decimal(0), 0))
    gravity = limit_of(case.practice, "gravity_m_s2", case.on).value
    hanging = Hanging(
        case, part, unit, fixing_duty("wall", unit.mass_kg, unit.bracket, gravity), rule)
    wall = fact(case, f"{part}.wall")
    if isinstance(wall, Unknown):
        return _open(part, wall, _any_wall(hanging, ""))
    hole = hole_of(case, part, wall, "wall")
    return _open(part, hole) if isinstance(hole, Unknown) else _chosen(hanging, hole)


def _chosen(hanging: Hanging, hole: Hole) -> Outcome:
    case, part, unit, duty, rule = hanging
    known = _known(hanging)
    choice = _choose(case, duty, hole, known, rule)
    units = units_of(case, part)
    tests = _tests(hanging, hole, units) if choice.item is not None else 0
    wall_assumed, lining_assumed = (
        is_assumed(case, f"{part}.{name}") for name in ("wall", "plaster_mm"))
    found: list[Check | Unanswered] = []
    if wall_assumed:
        found.append(told.wall_question(part, _any_wall(hanging, hole.wall)))
    elif choice.item is None:
        found.append(told.nothing_holds(
            part, duty, hole, (*known[0], *known[1]), rule, may_stand(case) and part == "storage"))
    else:
        found += told.holds(part, unit, duty, hole, choice, rule)
        if lining_assumed:
            found.append(told.lining_question(part, hole, choice.item))
        if rule.walls[hole.wall].test_first:
            found.append(told.test_first(case, part, unit, duty, hole, rule, units))
    facts = _facts(
        part, "" if choice.item is None else choice.item.code,
        Decimal(0) if choice.item is None else resin_ml(choice.item), tests)
    worked = told.worked(part, unit, duty, hole, choice, rule)
    return Outcome(
        tuple(found), facts, because=dict.fromkeys(facts, worked.says), worked=(worked,),
        assumed=frozenset(facts if wall_assumed else (f"{part}.fixing_code",))
        if wall_assumed or lining_assumed else frozenset(),
    )


def _choose(
    case: Case, duty: FixingDuty, hole: Hole, known: Known, rule: AnchorRule
) -> AnchorChoice:
    """Return the cheapest fixing on offer that serves, or else one that nobody offers today."""
    priced, unpriced = known
    resin = resin_minor_per_ml(case)
    found = choose_plain_first(duty, hole, priced, rule, resin)
    if found.item is not None or not unpriced:
        return found
    return choose_plain_first(duty, hole, [*priced, *unpriced], rule, resin)


def _known(hanging: Hanging) -> Known:
    units = units_of(hanging.case, hanging.part)
    count = units if isinstance(units, int) else 1
    return fixings_to_be_had(
        hanging.case, "wall fixing", count * hanging.unit.holes,
        boxed_with(hanging.case, hanging.part, count))


def _tests(hanging: Hanging, hole: Hole, units: int | Unknown) -> int | Unknown:
    """Return how many fixings are tested by pulling."""
    if not hanging.rule.walls[hole.wall].test_first:
        return 0
    if isinstance(units, Unknown):
        return units
    return told.plan_of(hanging.case, hanging.duty, units * hanging.unit.holes).pulls


def _any_wall(hanging: Hanging, priced_as: str) -> Check:
    """Return the worst outcome over every kind of wall that it may prove to be."""
    known = _known(hanging)
    choices: dict[str, AnchorChoice] = {}
    for wall in get_args(WallKind):
        hole = hole_of(hanging.case, hanging.part, wall, "wall")
        if wall in hanging.rule.walls and not isinstance(hole, Unknown):
            choices[wall] = _choose(hanging.case, hanging.duty, hole, known, hanging.rule)
    return told.any_wall(
        hanging.part, choices, priced_as, hanging.rule,
        may_stand(hanging.case) and hanging.part == "storage")


# --- standing on the floor ------------------------------------------------------------------------


def _standing(case: Case, rule: AnchorRule) -> Outcome:
    """Return what keeps a stack from tipping, and what it asks of a timber floor."""
    from estimator.design.structure.floor_load import floor_load

    floor = floor_load(case)
    wall = fact(case, "storage.wall")
    hole = wall if isinstance(wall, Unknown) else hole_of(case, "storage", wall, "floor")
    if isinstance(hole, Unknown):
        return Outcome((*_open("storage", hole).told, *floor), _standing_facts(hole))
    duty = tipping_duty()
    choice = _choose(case, duty, hole, _anti_tip_known(case), rule)
    assumed = tuple(path for path in ("storage.plaster_mm", "storage.wall")
                    if is_assumed(case, path))
    check = told.keeps_from_tipping(hole, duty, choice)
    found: Check | Unanswered = told.tipping_question(assumed, check) if assumed else check
    code = "" if choice.item is None else choice.item.code
    return Outcome(
        (found, *floor), _standing_facts(code),
        because={"storage.anti_tip_code": check.says},
        assumed=frozenset({"storage.anti_tip_code"} if assumed else ()),
    )


def _standing_facts(code: str | Unknown) -> dict[str, Any]:
    return _facts("storage", "", Decimal(0), 0, code)


def _anti_tip_known(case: Case) -> Known:
    modules, stack = fact(case, "storage.modules"), fact(case, "kit.storage.max_per_stack")
    if isinstance(modules, Unknown) or isinstance(stack, Unknown):
        return fixings_to_be_had(case, "anti-tip fixing", 1, {})
    holes = limit_of(case.practice, "anti_tip_holes", case.on).value
    needed = ceil(ceil(modules / stack) * holes)
    return fixings_to_be_had(
        case, "anti-tip fixing", needed, boxed_with(case, "storage", modules))


# --- facts for the rules --------------------------------------------------------------------------


def _facts(part: Part, code: Any, resin: Any, tests: Any, anti_tip: Any = "") -> dict[str, Any]:
    found = {
        f"{part}.fixing_code": code, f"{part}.fixing_resin_ml": resin,
        f"{part}.proof_tests": tests,
    }
    return {**found, "storage.anti_tip_code": anti_tip} if part == "storage" else found


def _open(part: Part, missing: Unknown, worst: Check | None = None) -> Outcome:
    """Return the outcome of a unit that cannot be judged: facts unknown, and a question."""
    return Outcome(
        (told.question(part, tuple(sorted(missing.facts)), worst),),
        _facts(part, missing, missing, missing, missing),
    )
