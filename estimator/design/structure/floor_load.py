"""What a stack of storage asks of a timber floor.

Check values for the engineer who looks at the joists: a stack bears on a small area, while a house
floor is reckoned for a load spread all over it and for one on a spot.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from catalogue.items import Item
from estimator.design.case import Case
from estimator.design.check import Check, Unanswered
from estimator.design.limits import ENGINEER, limit_of, shown
from estimator.design.sheet import Unknown
from estimator.design.structure.hung import fact

CODE = "storage-floor-load"
MM2_PER_M2 = 1_000_000
N_PER_KN = 1000


def floor_load(case: Case) -> list[Check | Unanswered]:
    """Return what is told of the floor under stacks: nothing unless it is, or may be, of timber."""
    floor = fact(case, "storage.floor")
    if isinstance(floor, Unknown):
        return [Unanswered(CODE, tuple(sorted(floor.facts)), "What is the floor?", _check(case))]
    return [_check(case)] if floor == "suspended timber" else []


def _check(case: Case) -> Check:
    spread, spot = (limit_of(case.practice, name, case.on)
                    for name in ("floor_spread_kn_m2", "floor_spot_kn"))
    gravity = limit_of(case.practice, "gravity_m_s2", case.on).value
    most, most_spot = (each.value * N_PER_KN / gravity for each in (spread, spot))
    stack_kg = _stack_kg(case)
    area_m2 = _area_m2(case)
    if stack_kg is None or area_m2 is None:
        return Check(CODE, "caution", "storage", "a stack on a timber floor is a heavy load on a "
                     "small area: joists must be looked at", spread.source, ENGINEER, signed=True)
    load = stack_kg / area_m2
    says = (
        f"on a timber floor a stack of {shown(stack_kg)} kg bears on {shown(area_m2, 2)} m²; a "
        f"house floor is reckoned for {shown(most)} kg/m² all over and {shown(most_spot)} kg on "
        "one spot: joists must be looked at"
    )
    return Check(CODE, "caution", "storage", says, spread.source, ENGINEER, load, most, "kg/m²",
                 signed=True)


def _stack_kg(case: Case) -> Fraction | None:
    """Return the mass of the heaviest stack with the stand under it."""
    mass, most = fact(case, "kit.storage.mass_kg"), fact(case, "kit.storage.max_per_stack")
    modules = fact(case, "storage.modules")
    if isinstance(mass, Unknown) or isinstance(most, Unknown):
        return None
    count = most if isinstance(modules, Unknown) else min(modules, most)
    stands = max((each.mass_kg for each in _stands(case) if each.mass_kg is not None), default=0)
    load: Fraction = Fraction(mass) * count + Fraction(stands)
    return load


def _area_m2(case: Case) -> Fraction | None:
    """Return the least area that a stack bears on: that of a stand that spreads its load."""
    module = case.kit.items.get("storage")
    plates = [each for each in (_stands(case) or ([module] if module else []))
              if each.length_mm and each.width_mm]
    return min((Fraction((each.length_mm or 0) * (each.width_mm or 0), MM2_PER_M2)
                for each in plates), default=None)


def _stands(case: Case) -> Sequence[Item]:
    """Return the stands on offer: the rules put one under each stack on a timber floor."""
    return [item for item in case.prices.with_role("mounting", "storage floor stand")
            if case.prices.offer(item.code) is not None]
