"""What is told of the fixings of a job: findings, questions and the answer with its figures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, cast

from catalogue.items import Item
from catalogue.specs import FixingSpec
from estimator.design.case import Case
from estimator.design.check import Amount, Check, Level, Sum, Unanswered, Worked
from estimator.design.limits import ENGINEER, shown
from estimator.design.sheet import Unknown
from estimator.design.structure.anchor_choice import AnchorChoice, Hole, PricedFixing, least_share
from estimator.design.structure.anchors import AnchorRule
from estimator.design.structure.bracket import FixingDuty
from estimator.design.structure.hung import Hung, Part

if TYPE_CHECKING:
    from estimator.design.structure.proof_test import ProofPlan

SHEET = "data sheet of the fixing"
PRACTICE = "common practice, no source"
NO_PLASTER = "never rate a fixing from the plaster"
REFUSED_SHOWN = 3


def plan_of(case: Case, duty: FixingDuty, fixings: int) -> ProofPlan:
    """Return how many fixings of a wall are tested by pulling, and how hard."""
    # Most walls are solid: their jobs never read the arithmetic of tests.
    from estimator.design.structure.proof_test import proof_plan, proof_rule

    return proof_plan(fixings, duty.pull_n, proof_rule(case.practice, case.on))


# --- a unit that hangs ----------------------------------------------------------------------------


def holds(
    part: Part, unit: Hung, duty: FixingDuty, hole: Hole, choice: AnchorChoice, rule: AnchorRule
) -> list[Check | Unanswered]:
    """Return that the chosen fixing carries its share, with the share used and the most."""
    item, judged = choice.item, choice.judged
    if item is None or judged is None:
        raise ValueError("a fixing that holds has been chosen and judged")
    says = (
        f"{item.name} ({item.code}) in {hole.wall}: {_loads(duty)} on each of {unit.holes} "
        f"together use {_percent(judged.value)} % of its rating"
    )
    return [Check(
        f"{part}-anchor", "fine", part, says, f"{SHEET}; {judged.source}", choice.decides,
        _hundredfold(judged.value), _hundredfold(judged.limit), "%")]


def nothing_holds(
    part: Part, duty: FixingDuty, hole: Hole, offered: Sequence[PricedFixing], rule: AnchorRule,
    stands: bool,
) -> Check:
    """Return the stop of a wall in which no fixing serves."""
    best = least_share(duty, hole, offered, rule)
    over = best is not None and not best.passes
    value: Amount = _hundredfold(best.value) if best is not None and over else ""
    limit: Amount = _hundredfold(best.limit) if best is not None and over else ""
    why = "the strongest is overloaded" if over else (
        "none is rated for that wall" if best is None
        else "those strong enough are too short, or not for out of doors")
    return Check(
        f"{part}-anchor", "stop", part,
        f"no fixing of the catalogue holds it in {hole.wall} with {_loads(duty)} on each ({why}): "
        f"{_way_out(stands)}",
        f"{SHEET}; {rule.source}", ENGINEER, value, limit, "%" if over else "", signed=True)


def no_holes(part: Part) -> tuple[Check, ...]:
    """Return the stop of storage whose sheet has no bracket; a converter may stand by itself."""
    if part == "converter":
        return ()
    return (Check(
        f"{part}-anchor", "stop", part,
        "it is to hang on the wall, and its data sheet gives no bracket with holes",
        "data sheet of the module", "maker of the module"),)


def test_first(
    case: Case, part: Part, unit: Hung, duty: FixingDuty, hole: Hole, rule: AnchorRule,
    units: int | Unknown,
) -> Check:
    """Return that fixings in a weak or uneven wall are tested before anything hangs on them."""
    plan = plan_of(case, duty, unit.holes * (1 if isinstance(units, Unknown) else units))
    count = f"{plan.pulls} of {plan.fixings}" if not isinstance(units, Unknown) else (
        f"at least {plan.pulls}")
    edge = "" if "brick" not in hole.wall else (
        f"; {shown(rule.edge_mm.value)} mm from the edge of the wall at the least")
    bare = "" if rule.walls[hole.wall].factor is not None else (
        "; no partial factor is published for this wall, so a maker's figure is only a guide")
    return Check(
        f"{part}-wall-test", "caution", part,
        f"{hole.wall}: {count} fixings are pulled to {shown(plan.test_n)} N before it hangs on "
        f"them, more if one gives way{edge}; {NO_PLASTER}{bare}",
        f"{plan.source}; which walls: {rule.source}", rule.decides, signed=True)


def lining_question(part: Part, hole: Hole, item: Item) -> Unanswered:
    """Return the question for a lining that was taken at the thickest that is usual."""
    spare = Fraction(item.length_mm or 0) - Fraction(_sheet(item).depth_mm or 0)
    worst = Check(
        f"{part}-anchor-length", "caution", part,
        f"{item.name} reaches through bracket, boards and {shown(Fraction(hole.plaster_mm))} mm "
        f"of plaster, {shown(spare)} mm in all; a thicker lining needs a longer fixing",
        PRACTICE, "electrician on site")
    return Unanswered(
        worst.code, (f"{part}.plaster_mm",), "How thick is the lining of the wall?", worst)


# --- a wall that nobody knows ---------------------------------------------------------------------


def any_wall(
    part: Part, choices: Mapping[str, AnchorChoice], priced_as: str, rule: AnchorRule,
    stands: bool,
) -> Check:
    """Return the worst outcome over the kinds of wall that it may prove to be."""
    failing = [wall for wall, choice in choices.items() if choice.item is None]
    level: Level = "stop" if failing else "caution"
    if failing:
        says = (f"if the wall proves to be {' or '.join(failing)}, no fixing of the catalogue "
                f"holds it: {_way_out(stands)}")
    else:
        says = ("every kind of wall has a fixing that holds it, the weak ones tested by "
                "pulling first" + (f"; priced as {priced_as}" if priced_as else ""))
    return Check(f"{part}-anchor", level, part, says, f"{SHEET}; {rule.source}",
                 ENGINEER if failing else rule.decides, signed=bool(failing))


def wall_question(part: Part, worst: Check) -> Unanswered:
    """Return the question for a wall of unknown make-up."""
    return Unanswered(worst.code, (f"{part}.wall",), "What is the wall made of?", worst)


def question(part: Part, facts: tuple[str, ...], worst: Check | None) -> Unanswered:
    """Return the question of a unit that cannot be judged before these facts are known."""
    return Unanswered(f"{part}-anchor", facts, f"What is {', '.join(facts)}?", worst or Check(
        f"{part}-anchor", "stop", part, "nothing says yet whether the wall would hold it",
        PRACTICE, ENGINEER))


# --- a stack on the floor -------------------------------------------------------------------------


def keeps_from_tipping(hole: Hole, duty: FixingDuty, choice: AnchorChoice) -> Check:
    """Return whether an ordinary fixing keeps a stack from tipping."""
    if choice.item is None:
        return Check(
            "storage-anchor", "stop", "storage",
            f"no fixing of the catalogue holds the anti-tip bracket to {hole.wall}: a stack that "
            "can tip may not stand there", f"{SHEET}; {PRACTICE}", duty.decides)
    return Check(
        "storage-anchor", "fine", "storage",
        f"{choice.item.name} ({choice.item.code}) in {hole.wall}: {duty.because}",
        PRACTICE, duty.decides)


def tipping_question(facts: tuple[str, ...], check: Check) -> Unanswered:
    """Return the question of a stack before a wall that is only assumed."""
    worst = check if check.level == "stop" else Check(
        check.code, "caution", check.subject,
        "the anti-tip bracket needs a fixing made for its wall, long enough for the lining; "
        f"priced: {check.says}", check.source, check.decides)
    return Unanswered(check.code, facts, "What is the wall behind the stack made of?", worst)


# --- the answer with its figures ------------------------------------------------------------------


def worked(
    part: Part, unit: Hung, duty: FixingDuty, hole: Hole, choice: AnchorChoice, rule: AnchorRule
) -> Worked:
    """Return which fixing was chosen, and the sums on the way."""
    item = choice.item
    if item is None:
        says = f"no fixing of the catalogue serves in {hole.wall} for {_loads(duty)} on each"
    else:
        others = len(choice.dearer)
        says = (f"{item.name} ({item.code}): the cheapest that holds {_loads(duty)} in "
                f"{hole.wall}" + (f"; {others} more would" if others else ""))
    taken = "".join(f"; taken: {each}" for each in unit.taken)
    return Worked(
        f"{part}-anchor", part, says + taken,
        "moments about the lowest row of holes; the cheapest fixing that passes",
        f"{rule.source}; {SHEET}; {choice.decides} decides",
        (*_duty_sums(unit, duty), *_choice_sums(hole, choice, rule), *_refused(hole, choice)))


def _duty_sums(unit: Hung, duty: FixingDuty) -> tuple[Sum, ...]:
    bracket = unit.bracket
    if bracket is None:
        return ()
    return (
        Sum("mass", unit.mass_kg, "kg"),
        Sum("wall to centre", Fraction(bracket.centre_mm), "mm"),
        Sum("between rows", Fraction(bracket.couple_mm), "mm"),
        Sum("fixings", bracket.fixings), Sum("in the top row", bracket.top_fixings),
        Sum("pull on each of the top row", duty.pull_n, "N"),
        Sum("shear on each", duty.shear_n, "N"),
    )


def _choice_sums(hole: Hole, choice: AnchorChoice, rule: AnchorRule) -> tuple[Sum, ...]:
    if choice.item is None or choice.judged is None:
        return ()
    spec, factor = _sheet(choice.item), rule.walls[hole.wall].factor
    inside = () if factor is None else (
        Sum("partial factors in what is allowed", factor * rule.load_factor),)
    return (
        Sum("allowed pull", Fraction(spec.pull_n or 0), "N"),
        Sum("allowed shear", Fraction(spec.shear_n or 0), "N"), *inside,
        Sum("share used", _hundredfold(choice.judged.value), "%"),
        Sum("most", _hundredfold(choice.judged.limit), "%"),
    )


def _refused(hole: Hole, choice: AnchorChoice) -> tuple[Sum, ...]:
    """Return a few refusals with their reasons, and how many fixings are for other walls."""
    other = f"it is not for {hole.wall}"
    told = [each for each in choice.refused if each.because != other]
    elsewhere = len(choice.refused) - len(told)
    return (
        *(Sum(f"refused {each.code}", each.because) for each in told[:REFUSED_SHOWN]),
        *([Sum("refused, each for other walls", elsewhere)] if elsewhere else []),
    )


def _sheet(item: Item) -> FixingSpec:
    return cast(FixingSpec, item.spec)


def _loads(duty: FixingDuty) -> str:
    return f"{shown(duty.pull_n)} N pull and {shown(duty.shear_n)} N shear"


def _way_out(stands: bool) -> str:
    stand = "stand it on the floor, " if stands else ""
    return f"{stand}choose another wall, or have an engineer design the fixing"


def _hundredfold(share: Amount) -> Fraction | float:
    if isinstance(share, str):
        raise TypeError("a share is a number")
    return share * 100 if isinstance(share, float) else Fraction(share) * 100


def _percent(share: Amount) -> str:
    return shown(_hundredfold(share))
