"""What every set of checks is given, and what it gives back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from catalogue.price_book import PriceBook
from estimator.design.check import Check, Unanswered, Worked
from estimator.design.facts import with_facts
from estimator.design.kit import Kit
from estimator.design.sheet import LENGTHS, Detail, FactSheet
from estimator.practice.pack import Practice
from estimator.survey.model import Survey

if TYPE_CHECKING:
    from estimator.design.plane_design import PlaneDesign
    from estimator.design.siting.wall_layout import WallLayout


@dataclass(frozen=True)
class Case:
    """A designed job that is to be checked.

    Attributes:
        sheet: the facts so far: survey, practice values, kit, planes and what earlier checks found.
        on: the day of the design, which says what edition of a value holds.
    """

    survey: Survey
    sheet: FactSheet
    kit: Kit
    planes: tuple[PlaneDesign, ...]
    prices: PriceBook
    practice: Practice
    on: date


@dataclass(frozen=True)
class Outcome:
    """What one set of checks found.

    Attributes:
        told: checks with their outcome, and checks that lack a fact.
        facts: facts of the job for the rules, by path ("circuit.flat_mm2"); each is listed in
            `judged_facts`. A value that hangs on a missing fact is `Unknown` and names it.
        planes: facts of each plane ("plane.fixings"), in the order of the planes, or ().
        because: path of a fact -> how it was reached, for "why".
        assumed: paths of facts that rest on a fact that is assumed; those of a plane with its
            number ("plane[0].fixings").
        worked: answers with the way they were reached, kept with the estimate.
        walls: layouts of walls, by what hangs or stands there ("storage").
        strings: for each group of planes that face alike, number of the plane -> panels of each
            string that begins on it; a string may run on to another plane of the group.
        lengths: path of a fact that counts lengths of cable -> each of them in metres, with its
            ends and turns.
    """

    told: tuple[Check | Unanswered, ...] = ()
    facts: Mapping[str, Any] = field(default_factory=dict)
    planes: tuple[Mapping[str, Any], ...] = ()
    because: Mapping[str, str] = field(default_factory=dict)
    assumed: frozenset[str] = frozenset()
    worked: tuple[Worked, ...] = ()
    walls: Mapping[str, WallLayout] = field(default_factory=dict)
    strings: tuple[Mapping[int, tuple[int, ...]], ...] = ()
    lengths: Mapping[str, tuple[Decimal, ...]] = field(default_factory=dict)


def with_outcome(case: Case, outcome: Outcome) -> Case:
    """Return the case with the facts that a set of checks found laid on its sheet."""
    if not outcome.facts and not outcome.planes:
        return case
    details: dict[str, Detail] = {}
    for path in outcome.facts:
        details[path] = _detail(path, path, outcome)
    planes = []
    for i, env in enumerate(case.sheet.scopes["plane"]):
        found = outcome.planes[i] if outcome.planes else {}
        marks = set(env.get("@assumed", ()))
        for path in found:
            full = f"plane[{i}].{path.removeprefix('plane.')}"
            details[full] = _detail(full, path, outcome)
            if full in outcome.assumed:
                marks.add(path)
        planes.append({**found, "@assumed": marks | (outcome.assumed & set(outcome.facts))})
    facts = dict(outcome.facts)
    if outcome.lengths:
        facts[LENGTHS] = {**case.sheet.job.get(LENGTHS, {}), **outcome.lengths}
    sheet = with_facts(case.sheet, facts, tuple(planes), details)
    marked = outcome.assumed & set(outcome.facts)
    return replace(case, sheet=_marked(sheet, marked) if marked else sheet)


def _detail(full: str, path: str, outcome: Outcome) -> Detail:
    because = outcome.because.get(full) or outcome.because.get(path, "design check")
    return Detail("computed", "assumed" if full in outcome.assumed else "", because)


def _marked(sheet: FactSheet, paths: frozenset[str]) -> FactSheet:
    """Return the sheet with facts of the job marked as resting on an assumption."""
    legs = tuple({**env, "@assumed": set(env.get("@assumed", ())) | paths}
                 for env in sheet.scopes["leg"])
    job = {**sheet.job, "@assumed": set(sheet.job.get("@assumed", ())) | paths, "@leg": legs}
    return replace(sheet, job=job, scopes={**sheet.scopes, "leg": legs})
