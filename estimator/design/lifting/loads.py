"""The heavy things of a job, each with its hands and the way it comes in.

A load that hangs on a missing fact is taken at its worst, and names the fact.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from typing import Any, NamedTuple

from catalogue.items import Item
from catalogue.specs import PanelSpec, SheetSpec, StorageSpec
from estimator.design.case import Case
from estimator.design.check import limit_in
from estimator.design.lifting.hands import Hands, Way, hands_of
from estimator.design.sheet import Environment, FactSheet, Unknown
from estimator.practice.pack import Practice

HARD_WAY, STEPS = "storage.third_person", "site.carry_steps"
WORDS = {"storage": "storage module", "converter": "converter", "panel": "panel",
         "base": "base of a stack", "board": "board behind the storage"}


class Load(NamedTuple):
    """One heavy thing.

    Attributes:
        slot: one of `WORDS`.
        mass_kg: None if its data sheet is blank or nothing is chosen yet.
        depth_mm: from the wall or from the back of a panel to its front; None if not known.
        missing: facts without which mass or hands are not known; the hands are then the worst.
        stairs: whether it comes in by stairs; `stairs_open` the facts that would tell.
        guessed: whether it is on the job at all only by a fact that is assumed.
    """

    slot: str
    item: Item | None
    mass_kg: Fraction | None
    depth_mm: Fraction | None
    hands: Hands
    missing: tuple[str, ...]
    stairs: bool
    stairs_open: tuple[str, ...]
    guessed: bool = False


def loads_of(case: Case) -> Iterator[Load]:
    """Yield the heavy things of the parts that the job asks for.

    Raises:
        ProblemsFound: P020 if the pack does not say where the hands are.
    """
    parts = case.sheet.parts
    if "storage" in parts:
        yield _load(case, "storage", *_storage_hands(case))
        yield from _added(case)
    if "converter" in parts:
        item = case.kit.items["converter"]
        yield _load(case, "converter", _hands(case, "hung on a wall", item),
                    _no_height("converter", item))
    if "panels" in parts:
        yield _load(case, "panel", hands_of(case.practice, case.on, "panel", None), ())


def _hands(case: Case, way: Way, item: Item | None, stands_on_mm: int = 0) -> Hands:
    height = None if item is None else item.height_mm
    return hands_of(case.practice, case.on, way, height, stands_on_mm)


def _no_height(slot: str, item: Item | None) -> tuple[str, ...]:
    return (f"kit.{slot}.height_mm",) if item is not None and item.height_mm is None else ()


def _load(case: Case, slot: str, hands: Hands, missing: tuple[str, ...]) -> Load:
    item = case.kit.items[slot]
    mass = case.sheet.job[f"kit.{slot}.mass_kg"]
    if isinstance(mass, Unknown):
        missing = (*sorted(mass.facts), *missing)
    stairs, stairs_open = _stairs(case, slot)
    known = None if isinstance(mass, Unknown) else Fraction(mass)
    return Load(slot, item, known, _depth_mm(item), hands, tuple(dict.fromkeys(missing)),
                stairs, stairs_open)


def _depth_mm(item: Item | None) -> Fraction | None:
    if item is None:
        return None
    if isinstance(item.spec, PanelSpec):
        return Fraction(item.spec.frame_mm)
    if isinstance(item.spec, SheetSpec):
        return Fraction(item.spec.thickness_mm)
    if isinstance(item.spec, StorageSpec) and item.spec.depth_mm is not None:
        return Fraction(item.spec.depth_mm)
    return None if item.width_mm is None else Fraction(item.width_mm)


def _storage_hands(case: Case) -> tuple[Hands, tuple[str, ...]]:
    """Return the hands for the module that is lifted highest, and what leaves them open."""
    job, item = case.sheet.job, case.kit.items["storage"]
    mount, missing = job["storage.mount"], list(_no_height("storage", item))
    hung = _hands(case, "hung on a wall", item)
    if _surely(mount == "wall"):
        return hung, tuple(missing)
    levels, modules = 1, job["storage.modules"]
    if item is not None and isinstance(item.spec, StorageSpec):
        levels = item.spec.max_per_stack
    if isinstance(modules, Unknown):
        missing += modules.facts if levels > 1 else ()
    else:
        levels = min(levels, modules)
    # A stack of modules whose height nobody knows may rise as high as a hung one.
    below = 0 if item is None or item.height_mm is None else (levels - 1) * item.height_mm
    standing = _hands(case, "standing on the floor", item, below)
    if isinstance(mount, Unknown):
        missing += mount.facts
    unsure = isinstance(mount, Unknown) or bool(_no_height("storage", item))
    return standing.joined(hung) if unsure else standing, tuple(missing)


def _added(case: Case) -> Iterator[Load]:
    """Yield what the rules add under and behind storage: base, slab, stand, boards.

    The rules run after the checks, so the same is chosen here as there, the cheapest on offer;
    what hangs on a missing fact is not in the bill and not told either.
    """
    stairs, stairs_open = _stairs(case, "base")
    hands = hands_of(case.practice, case.on, "carried", None)
    assumed = case.sheet.job.get("@assumed", ())
    for slot, family, role, why in _due(case.sheet.job):
        item = _cheapest(case, family, role)
        if item is not None and item.mass_kg is not None:
            yield Load(
                slot, item, Fraction(item.mass_kg), _depth_mm(item), hands, (), stairs,
                stairs_open, all(path in assumed for path in why))


def _due(job: Environment) -> Iterator[tuple[str, str, str, tuple[str, ...]]]:
    """Yield slot, family and role of what is due, and the facts each of which makes it so."""

    def whys(**holds: bool) -> tuple[str, ...]:
        return tuple(f"storage.{name}" for name, held in holds.items() if held)

    on_floor, hung = (_surely(job["storage.mount"] == mount) for mount in ("floor", "wall"))
    floor = job["storage.floor"]
    if on_floor:
        yield "base", "mounting", "storage floor base", ("storage.mount",)
        uneven, wet = not _may(job["storage.floor_level"]), _surely(job["storage.flood_risk"])
        slab = whys(floor=_surely(floor == "soft ground"), floor_level=uneven)
        stand = whys(floor=_surely(floor == "suspended timber"), flood_risk=wet)
        for role, why in (("plinth slab", slab), ("storage floor stand", stand)):
            if why:
                yield "base", "mounting", role, why
    faced = whys(**{
        name: _surely(job[f"storage.{name}"]) for name in ("combustible_wall", "habitable_behind")})
    if faced:
        yield "board", "sheet", "fire board", faced
    if hung and _surely(job["storage.wall"] == "stud"):
        yield "board", "sheet", "backing board", ("storage.wall",)


def _cheapest(case: Case, family: str, role: str) -> Item | None:
    """Return the cheapest item on offer that serves; a board is no smaller than a full sheet."""
    least = {side: case.practice.at(f"sheet_{side}_mm", case.on) for side in ("width", "height")}
    found = []
    for item in case.prices.with_role(family, role):
        spec, offer = item.spec, case.prices.offer(item.code)
        small = isinstance(spec, SheetSpec) and any(
            value is not None and getattr(spec, f"{side}_mm") < limit_in(value)
            for side, value in least.items())
        if offer is not None and item.sold_apart and not small:
            found.append((offer.unit_price_minor, item.code, item))
    return min(found, key=lambda each: each[:2])[2] if found else None


def _may(answer: Any) -> bool:
    return isinstance(answer, Unknown) or bool(answer)


def _surely(answer: Any) -> bool:
    return not isinstance(answer, Unknown) and bool(answer)


def _stairs(case: Case, slot: str) -> tuple[bool, tuple[str, ...]]:
    """Return whether a load comes in by stairs, at worst, and the facts that would tell.

    The surveyor says it of storage; of the rest the number of steps does.
    """
    job, steps = case.sheet.job, isinstance(case.sheet.job[STEPS], Unknown)
    many = stairs_by_steps(case.sheet, case.practice, case.on)
    if many and not steps:
        return True, ()
    if slot in ("converter", "panel"):
        return many, (STEPS,) if steps else ()
    hard = job[HARD_WAY]
    unsure = isinstance(hard, Unknown) or HARD_WAY in job.get("@assumed", ())
    return _may(hard), (HARD_WAY,) if unsure else ()


def stairs_by_steps(sheet: FactSheet, practice: Practice, on: date) -> bool:
    """Return whether the steps on the way in are as many as make stairs; not known = they are."""
    stated = practice.at("lift_stairs_steps", on) is not None
    return _may(sheet.job[STEPS] >= (practice.number("lift_stairs_steps", on) if stated else 1))
