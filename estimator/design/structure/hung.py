"""What hangs on a wall or leans against it: its bracket, its holes and the fixings on offer.

Reads the facts and data sheets of a job into the values that the sums of a fixing need. Where a
sheet is blank the worse end of what is usual is taken from the practice pack.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any, Literal, NamedTuple, cast

from catalogue.items import Item
from catalogue.specs import FixingSpec, MountingSpec, SheetSpec, StorageSpec
from estimator.design.case import Case
from estimator.design.limits import Number, limit_of
from estimator.design.sheet import Unknown
from estimator.design.structure.anchor_choice import Hole, PricedFixing
from estimator.design.structure.bracket import Bracket

Part = Literal["storage", "converter"]
HOLES: Mapping[Part, str] = {
    "storage": "kit.storage.bracket_holes", "converter": "kit.converter.wall_holes"}
OUTSIDE: Mapping[Part, str] = {"storage": "outside wall", "converter": "outside"}


class Hung(NamedTuple):
    """A unit that hangs on a wall; several alike hang on a bracket each.

    Attributes:
        holes: fixings of its bracket; 0 = its sheet says that nothing is fixed.
        bracket: lever arms and fixings; None without holes.
        taken: what its sheet leaves out and was taken, in words.
    """

    mass_kg: Number
    holes: int
    bracket: Bracket | None
    taken: tuple[str, ...]


def fact(case: Case, path: str) -> Any:
    """Return the value of a fact of the job; unknown where the sheet does not hold it."""
    return case.sheet.job.get(path, Unknown(path))


def is_assumed(case: Case, path: str) -> bool:
    """Return whether a fact is only priced by assumption."""
    return path in case.sheet.job.get("@assumed", ())


def hung_of(case: Case, part: Part) -> Hung | Unknown:
    """Return what hangs on the wall, or the facts without which that cannot be told."""
    mass_kg, holes = fact(case, f"kit.{part}.mass_kg"), fact(case, HOLES[part])
    for value in (mass_kg, holes):
        if isinstance(value, Unknown):
            return value
    if holes == 0:
        return Hung(mass_kg, 0, None, ())
    taken: list[str] = []

    def figure(value: Any, name: str, what: str) -> Fraction:
        if value is not None and not isinstance(value, Unknown):
            return Fraction(value)
        usual = limit_of(case.practice, name, case.on).value
        taken.append(f"{what} {int(usual)} mm, since no sheet gives it")
        return usual

    depth_mm = figure(fact(case, f"kit.{part}.depth_mm"), "fixing_depth_mm", "depth")
    couple_mm = figure(_couple_mm(case, part, holes), "fixing_couple_mm", "height between rows")
    standoff_mm = limit_of(case.practice, "fixing_standoff_mm", case.on).value
    # Of an odd number of holes, and of two, no more than the half may stand in the top row.
    bracket = Bracket(depth_mm / 2 + standoff_mm, couple_mm, holes, max(1, holes // 2))
    return Hung(mass_kg, holes, bracket, tuple(taken))


def _couple_mm(case: Case, part: Part, holes: int) -> Any:
    """Return the height between the rows of holes: the least of the brackets that may serve."""
    if part == "converter":
        return fact(case, "kit.converter.couple_mm")
    brackets = [
        cast(MountingSpec, item.spec)
        for item in case.prices.with_role("mounting", "storage wall bracket")
    ]
    serving = [spec.couple_mm for spec in brackets if spec.holes == holes]
    known = [each for each in serving if each is not None]
    return min(known) if known and len(known) == len(serving) else None


def hole_of(case: Case, part: Part, wall: str, mount: str) -> Hole | Unknown:
    """Return where a fixing goes: through bracket, boards and plaster into the wall.

    What decides on a board or on the weather and is not known counts as there: a longer fixing,
    or one for out of doors, serves either way.
    """
    plaster_mm = fact(case, f"{part}.plaster_mm")
    if isinstance(plaster_mm, Unknown):
        return plaster_mm
    place = fact(case, f"{part}.place")
    fixture = limit_of(case.practice, "fixing_fixture_mm", case.on).value
    return Hole(
        wall, fixture + _boards_mm(case, part, wall, mount), plaster_mm,
        isinstance(place, Unknown) or place == OUTSIDE[part],
    )


def _boards_mm(case: Case, part: Part, wall: str, mount: str) -> Fraction:
    faced = part == "storage" and any(
        isinstance(value, Unknown) or value is True
        for value in (fact(case, "storage.combustible_wall"),
                      fact(case, "storage.habitable_behind")))
    spread = wall == "stud" and mount == "wall"
    return (_thickest_mm(case, "fire board") if faced else Fraction(0)) + (
        _thickest_mm(case, "backing board") if spread else Fraction(0))


def _thickest_mm(case: Case, role: str) -> Fraction:
    sheets = (cast(SheetSpec, item.spec) for item in case.prices.with_role("sheet", role))
    return max((Fraction(sheet.thickness_mm) for sheet in sheets), default=Fraction(0))


def fixings_to_be_had(
    case: Case, role: str, needed: int, boxes: Mapping[str, int]
) -> tuple[list[PricedFixing], list[PricedFixing]]:
    """Return the fixings of a role with the price of one for this job, and those without a price.

    Pieces that lie in the boxes of what is bought cost nothing; one that only ever comes in a box
    can be had where the boxes hold enough. An item that is sold and has no offer on the day is
    taken last: the bill then says that nobody offers it.

    Args:
        role: "wall fixing" or "anti-tip fixing".
        needed: pieces that the job needs.
        boxes: pieces in the boxes, by item code.
    """
    priced: list[PricedFixing] = []
    unpriced: list[PricedFixing] = []
    for item in case.prices.with_role("fixing", role):
        missing = max(0, needed - boxes.get(item.code, 0))
        offer = case.prices.offer(item.code) if item.sold_apart else None
        if offer is not None:
            priced.append(PricedFixing(
                item, offer.unit_price_minor * Fraction(missing, max(needed, 1))))
        elif item.sold_apart:
            unpriced.append(PricedFixing(item, Fraction(0)))
        elif not missing:
            priced.append(PricedFixing(item, Fraction(0)))
    return priced, unpriced


def boxed_with(case: Case, part: Part, units: int) -> dict[str, int]:
    """Return what lies in the boxes of so many units, by item code."""
    item = case.kit.items.get(part)
    if item is None:
        return {}
    return {each.item: each.quantity * units for each in case.prices.contents(item.code)}


def resin_minor_per_ml(case: Case) -> Fraction:
    """Return what a millilitre of resin costs at the cheapest, less what a cartridge wastes."""
    offers = (case.prices.offer(item.code)
              for item in case.prices.with_role("consumable", "injection resin"))
    prices = [offer.unit_price_minor for offer in offers if offer is not None]
    if not prices:
        return Fraction(0)
    full, purged = (limit_of(case.practice, name, case.on).value
                    for name in ("resin_cartridge_ml", "resin_purge_ml"))
    return min(prices) / (full - purged)


def units_of(case: Case, part: Part) -> int | Unknown:
    """Return how many units hang, each on its bracket."""
    return cast("int | Unknown", fact(case, "storage.modules")) if part == "storage" else 1


def may_stand(case: Case) -> bool:
    """Return whether the storage module may also stand on the floor."""
    item = case.kit.items.get("storage")
    return item is not None and cast(StorageSpec, item.spec).mounts in ("both", "floor")


def resin_ml(item: Item) -> Decimal:
    """Return the resin that one fixing takes."""
    return cast(FixingSpec, item.spec).resin_ml

