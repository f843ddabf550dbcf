"""The way in: what the lifting guide does not cover, whatever a load weighs."""

from __future__ import annotations

from fractions import Fraction

from estimator.design.case import Case
from estimator.design.check import Check, Level, Unanswered
from estimator.design.lifting.loads import HARD_WAY, STEPS
from estimator.design.limits import limit_of, shown
from estimator.design.sheet import Unknown

FAR = "site.parking_distance_m"
WAY_IN = "way in"
SITE_MANAGER = "site manager"
Told = Check | Unanswered


def carry_checks(case: Case, source: str) -> tuple[Told, ...]:
    """Return what makes the carry from the van harder than the guide: distance, steps, turns.

    Args:
        source: where the guide is printed.
    """
    told = [_steps(case, source)]
    if case.practice.at("carry_m", case.on) is not None:
        told.insert(0, _distance(case))
    if "storage" in case.sheet.parts:
        told.append(_turns(case))
    return tuple(told)


def _distance(case: Case) -> Told:
    limit = limit_of(case.practice, "carry_m", case.on)
    far = case.sheet.job[FAR]
    code, holds = "lift-carry", f"the lifting guide holds to {shown(limit.value)} m"
    if isinstance(far, Unknown):
        worst = Check(code, "caution", WAY_IN, f"the van may stand too far off: {holds}",
                      limit.source, limit.decides, "not known", shown(limit.value), limit.unit)
        return Unanswered(code, (FAR,), "How far is it from the van to the work?", worst)
    value = Fraction(far)
    near = value <= limit.value
    says = f"carried {shown(value)} m from the van; {holds} without a rest"
    return Check(
        code, "fine" if near else "caution", WAY_IN,
        says if near else f"{says}: plan the carry, with rests or a trolley",
        limit.source, limit.decides, value, limit.value, limit.unit)


def _steps(case: Case, source: str) -> Told:
    steps, code = case.sheet.job[STEPS], "lift-steps"

    def outcome(level: Level, says: str, value: int | str) -> Check:
        return Check(code, level, WAY_IN, says, source, SITE_MANAGER, value,
                     0 if isinstance(value, int) else "no steps")

    if isinstance(steps, Unknown):
        worst = outcome("caution", "there may be steps: the lifting guide is for level ground",
                        "not known")
        return Unanswered(code, (STEPS,), "How many steps are on the way in?", worst)
    if steps == 0:
        return outcome("fine", "no steps on the way in", 0)
    counted = "one step" if steps == 1 else f"{steps} steps"
    says = f"{counted} on the way in: the lifting guide is for level ground, plan the carry"
    return outcome("caution", says, steps)


def _turns(case: Case) -> Told:
    hard, code = case.sheet.job[HARD_WAY], "lift-turns"

    def outcome(level: Level, says: str, value: str) -> Check:
        return Check(code, level, WAY_IN, says, "common practice, no source", SITE_MANAGER, value,
                     "a straight and level way")

    steep = outcome("caution", "steps or tight turns for the storage: one person more or a stair "
                    "device for each heavy load; the guide does not cover twisting",
                    "steps or turns")
    if isinstance(hard, Unknown) or HARD_WAY in case.sheet.job.get("@assumed", ()):
        return Unanswered(code, (HARD_WAY,), "Are there steps or tight turns for a heavy module?",
                          steep)
    return steep if hard else outcome("fine", "no steps or tight turns for the storage",
                                      "a straight and level way")
