"""Who lifts what the job takes along: in words for each item that is too heavy for one person."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import NamedTuple

from catalogue.items import Item
from catalogue.problems import ProblemsFound
from estimator.design.check import Worked
from estimator.design.lifting.guides import Guide, guide_of, one_person
from estimator.design.lifting.hands import hands_of
from estimator.design.lifting.loads import stairs_by_steps
from estimator.design.lifting.team import people_words, plan_by_guide
from estimator.design.sheet import FactSheet
from estimator.practice.pack import Practice

PLAN = "lift-plan"
WEIGH = "weigh it first"


class Carried(NamedTuple):
    """What a job takes along, and what its checks worked out."""

    items: Iterable[Item]
    worked: Iterable[Worked]
    sheet: FactSheet


def planned_words(people: int, aid: bool) -> str:
    """Return a plan in words ("two people and an aid")."""
    return people_words(people) + (" and an aid" if aid else "")


def who_lifts(carried: Carried, practice: Practice, on: date) -> Mapping[str, str]:
    """Return item code -> who lifts one of it; an item that one person may lift is left out.

    What the checks planned holds; all else is taken as carried from the van at waist height, if
    the pack has the filter. An item sold by length or area is not lifted as a whole.
    """
    planned = dict(_planned(carried.worked))
    try:
        guide: Guide | None = guide_of(practice, on)
    except ProblemsFound:
        guide = None  # the checks have told that the pack has none
    if guide is None or guide.filter is None:
        return planned
    stairs = stairs_by_steps(carried.sheet, practice, on)
    for item in carried.items:
        if item.code not in planned and item.counted and (words := _by_hand(item, guide, stairs)):
            planned[item.code] = words
    return planned


def _planned(worked: Iterable[Worked]) -> Iterable[tuple[str, str]]:
    for each in worked:
        sums = {one.name: one.value for one in each.sums} if each.code == PLAN else {}
        if sums.get("item"):
            unknown = "" if "mass" in sums else f"; {WEIGH}"
            yield str(sums["item"]), f"{each.says}{unknown}"


def _by_hand(item: Item, guide: Guide, stairs: bool) -> str:
    if item.mass_kg is None:
        return ""
    one = one_person(guide, hands_of(guide.practice, guide.on, "carried", None), None, stairs)
    if item.mass_kg <= one.kg:
        return ""
    plan = plan_by_guide(item.mass_kg, one.kg, guide.team, 1, stairs, one.says, guide.source)
    return planned_words(plan.people, plan.takes_aid)
