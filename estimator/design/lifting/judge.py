"""Judges the lifts of a job: how many people, and whether an aid, for each heavy thing.

The guide figures are no limits in law, so a lift is never a stop: it is planned, priced and told.
What nobody knows is priced at its worst, with an aid and the larger crew.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from catalogue.problems import ProblemsFound
from estimator.design.case import Case, Outcome
from estimator.design.check import Check, Sum, Unanswered, Worked
from estimator.design.lifting.carry import SITE_MANAGER, carry_checks
from estimator.design.lifting.guides import (
    Guide,
    guide_of,
    least_people,
    one_person,
    second_opinion,
    way_of,
)
from estimator.design.lifting.hands import hands_of
from estimator.design.lifting.lines import PLAN, planned_words
from estimator.design.lifting.loads import WORDS, Load, loads_of
from estimator.design.lifting.team import LiftPlan, plan_by_guide
from estimator.design.limits import shown

PEOPLE = {"storage": "lift.storage_people", "converter": "lift.converter_people",
          "panel": "lift.panel_people"}
MOST, AID = "lift.people", "lift.aid"


class Told(NamedTuple):
    """What is planned for one load, at worst, and what is to be said of it.

    Attributes:
        open_facts: facts on which people or aid hang; `sure_aid` whether an aid is due anyhow.
        says: the plan in words, for "why".
    """

    load: Load
    people: int
    aid: bool
    sure_aid: bool
    checks: tuple[Check | Unanswered, ...]
    open_facts: tuple[str, ...]
    says: str
    worked: Worked


def judge_lifting(case: Case) -> Outcome:
    """Return the plan of every lift of a job: checks, and people and aid for bill and hours."""
    if not case.sheet.parts & {"storage", "converter", "panels"}:
        return Outcome(facts={**dict.fromkeys((*PEOPLE.values(), MOST), 0), AID: False})
    try:
        guide = guide_of(case.practice, case.on)
        loads = list(loads_of(case))
    except ProblemsFound as found:
        return _no_guide(case, found)
    told = [each for load in loads if _worth(each := _told(load, guide))]
    facts, because, assumed = _facts(told)
    checks = tuple(check for each in told for check in each.checks)
    return Outcome(
        (*checks, *carry_checks(case, guide.source)), facts, because=because, assumed=assumed,
        worked=tuple(each.worked for each in told),
    )


def _no_guide(case: Case, found: ProblemsFound) -> Outcome:
    """Return what holds without a guide: an aid, the crew of the norms, and a caution."""
    lacks = "; ".join(dict.fromkeys(problem.says for problem in found.problems))
    says = f"the pack has no lifting guide ({lacks}): assess every lift; an aid is in the price"
    check = Check(
        "lift-guide", "caution", "lifts", says, "common practice, no source", SITE_MANAGER)
    facts: Mapping[str, Any] = {**dict.fromkeys((*PEOPLE.values(), MOST), 0), AID: True}
    because = dict.fromkeys(facts, "the pack has no lifting guide")
    return Outcome((check, *carry_checks(case, check.source)), facts, because=because)


def _worth(told: Told) -> bool:
    """Return whether a lift is told: what no rule counts people for only if too heavy for one."""
    return told.load.slot in PEOPLE or any(
        isinstance(each, Unanswered) or each.level != "fine" for each in told.checks)


def _facts(told: Sequence[Told]) -> tuple[dict[str, Any], dict[str, str], frozenset[str]]:
    """Return the facts for the rules, how each was reached, and those that rest on a guess."""
    facts: dict[str, Any] = dict.fromkeys(PEOPLE.values(), 0)
    because: dict[str, str] = {}
    guessed: set[str] = set()
    for each in told:
        path = PEOPLE.get(each.load.slot)
        if path is not None:
            facts[path], because[path] = each.people, each.says
            guessed |= {path, MOST} if each.open_facts else set()
    aided = [each for each in told if each.aid]
    facts[MOST], facts[AID] = max((each.people for each in told), default=0), bool(aided)
    because[MOST] = "; ".join(each.says for each in told if each.people == facts[MOST])
    because[AID] = "; ".join(each.says for each in aided) or "no lift takes one"
    if aided and not any(each.sure_aid for each in aided):
        guessed.add(AID)
    return facts, because, frozenset(guessed)


def _told(load: Load, guide: Guide) -> Told:
    """Return the plan of a load at its worst, and whether a missing fact could make it easier."""
    code, subject = f"lift-{load.slot}", WORDS[load.slot]
    if load.mass_kg is None:
        return _unweighed(load, guide, code, subject)
    worst, easy = _plan(load, guide), _plan(_at_best(load, guide), guide)
    check, told = worst.judged(code, subject), easy.judged(code, subject)
    open_facts = (*load.missing, *load.stairs_open)
    checks: tuple[Check | Unanswered, ...] = (told,)
    if not open_facts or (easy.people, easy.takes_aid, told.level) == (
            worst.people, worst.takes_aid, check.level):
        open_facts = ()
    else:
        asked = Unanswered(code, open_facts, _asks(load), check)
        checks = (asked,) if told.level == "fine" else (told, asked)
    planned = planned_words(worst.people, worst.takes_aid)
    return Told(
        load, worst.people, worst.takes_aid, easy.takes_aid and not load.guessed, checks,
        open_facts,
        f"{subject} of {shown(worst.mass_kg)} kg: {planned}",
        _worked(load, guide, worst.people, worst.takes_aid, worst))


def _plan(load: Load, guide: Guide) -> LiftPlan:
    one = one_person(guide, load.hands, load.depth_mm, load.stairs)
    return plan_by_guide(
        load.mass_kg or 0, one.kg, guide.team, least_people(guide, load.slot), load.stairs,
        one.says, guide.source)


def _at_best(load: Load, guide: Guide) -> Load:
    """Return a load with every missing fact answered the easy way."""
    hands = load.hands
    if load.missing:
        hands = hands_of(guide.practice, guide.on, "carried", None)
    return load._replace(hands=hands, stairs=load.stairs and not load.stairs_open)


def _unweighed(load: Load, guide: Guide, code: str, subject: str) -> Told:
    """Return the plan of a load whose mass nobody knows: an aid, and the people that go with it."""
    one = one_person(guide, load.hands, load.depth_mm, load.stairs)
    people = max(guide.team.with_aid + (guide.team.stairs_more if load.stairs else 0),
                 least_people(guide, load.slot))
    planned = planned_words(people, aid=True)
    worst = Check(
        code, "caution", subject, f"nobody knows what it weighs: {planned} in the price",
        guide.source, guide.team.decides, "not known", shown(one.kg), "kg")
    open_facts = (*load.missing, *load.stairs_open)
    asked = Unanswered(code, open_facts, _asks(load), worst)
    return Told(
        load, people, True, False, (asked,), open_facts,
        f"{subject} of a mass nobody knows: {planned}", _worked(load, guide, people, True, None))


def _asks(load: Load) -> str:
    return (f"How heavy and how high is the {WORDS[load.slot]} by its data sheet, and how is it "
            "brought in?")


def _worked(
    load: Load, guide: Guide, people: int, aid: bool, plan: LiftPlan | None
) -> Worked:
    """Return the plan with its figures; the papers read the item and whether its mass is known."""
    one = one_person(guide, load.hands, load.depth_mm, load.stairs)
    sums = [Sum("item", "" if load.item is None else load.item.code)]
    if plan is not None:
        sums.append(Sum("mass", plan.mass_kg, "kg"))
    sums += [
        Sum("hands, lowest", load.hands.lowest_m, "m"),
        Sum("hands, highest", load.hands.highest_m, "m"), Sum("guide for one", one.kg, "kg")]
    if plan is not None:
        sums.append(Sum("guide for the largest crew without an aid", plan.crew_kg, "kg"))
    sums += [Sum("people", people), Sum("aid", "yes" if aid else "no")]
    opinion = second_opinion(guide, load.mass_kg, load.hands, load.depth_mm)
    method, source = way_of(guide)
    return Worked(PLAN, WORDS[load.slot], planned_words(people, aid), method, source,
                  (*sums, *opinion))
