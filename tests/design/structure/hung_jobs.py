"""Jobs with a module or a converter on a wall, ready for the judge of their fixings."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

from catalogue.items import BoxPart, Item
from catalogue.money import Money
from catalogue.price_book import PriceBook
from estimator.design.case import Case, Outcome
from estimator.design.check import Check, Unanswered
from estimator.design.kit import Kit, kit_facts
from estimator.design.sheet import FactSheet
from estimator.design.structure.judge_anchors import judge_anchors
from estimator.survey.model import Survey
from tests.catalogue.starter_reading import ITEMS, OFFERS
from tests.design.structure.rules_in_force import ON, PRACTICE
from tests.factories import PRICES_FROM, ItemFactory, OfferFactory, spec_of

STARTER = PriceBook.of(ON, ITEMS, OFFERS)
STORAGE: dict[str, Any] = {
    "storage.modules": 3, "storage.mount": "wall", "storage.wall": "dense brick",
    "storage.plaster_mm": Decimal(0), "storage.place": "garage",
    "storage.combustible_wall": False, "storage.habitable_behind": False,
    "storage.floor": "slab",
}
CONVERTER: dict[str, Any] = {
    "converter.wall": "dense brick", "converter.plaster_mm": Decimal(0),
    "converter.place": "inside",
}


def module(mass_kg: Any = 60, boxed: tuple[BoxPart, ...] = (), **spec: Any) -> Item:
    """Return a storage module of 60 kg, 180 mm deep, on a bracket of four holes."""
    return ItemFactory(family="storage", code="MODULE", mass_kg=Decimal(mass_kg),
                       contents=boxed, spec=spec_of("storage", **spec))


def converter(mass_kg: Any = 20, **spec: Any) -> Item:
    """Return a converter of 20 kg, 180 mm deep, with holes 300 mm apart."""
    return ItemFactory(family="converter", code="CONVERTER", mass_kg=Decimal(mass_kg),
                       spec=spec_of("converter", **spec))


def bracket(couple_mm: Any = 400, holes: int = 4, code: str = "BRACKET") -> Item:
    """Return a wall bracket with two rows of holes 400 mm apart."""
    return ItemFactory(family="mounting", code=code,
                       spec=spec_of("mounting", holes=holes, couple_mm=couple_mm))


def bolt(code: str = "BOLT", role: str = "wall fixing", **spec: Any) -> Item:
    """Return a bolt for brick: 900 N pull, 1000 N shear, long enough for plaster and boards."""
    return ItemFactory(family="fixing", code=code, roles=(role,), spec=spec_of("fixing", **{
        "walls": ("dense brick",), "length_mm": 120, "depth_mm": 60, "pull_n": 900,
        "shear_n": 1000, "load_rated": True, **spec}))


def book(
    *items: Item, prices: dict[str, int] | None = None, silent: tuple[str, ...] = ()
) -> PriceBook:
    """Return a price book of the items at 1.00 each, or at a price in minor units by code.

    Nobody offers those that are silent.
    """
    given = prices or {}
    return PriceBook.of(ON, items, [
        OfferFactory(item=item.code, price=Money(given.get(item.code, 100)),
                     from_date=PRICES_FROM)
        for item in items if item.sold_apart and item.code not in silent])


def judged(
    prices: PriceBook = STARTER, storage: Item | None = None, hung: Item | None = None,
    assumed: tuple[str, ...] = (), **facts: Any,
) -> Outcome:
    """Return what the judge says of a module, a converter or both.

    Args:
        storage, hung: the module and the converter of the job; a part without one is not asked for.
        assumed: facts that are only priced by assumption.
        facts: changes; `storage__wall="stone"`, and None for what nobody knows.
    """
    parts = frozenset(name for name, item in (("storage", storage), ("converter", hung)) if item)
    kit = Kit({"panel": None, "rail": None, "storage": storage, "converter": hung}, {}, {}, ())
    job: dict[str, Any] = {**(STORAGE if storage else {}), **(CONVERTER if hung else {})}
    job.update({name.replace("__", "."): value for name, value in facts.items()})
    job = {path: value for path, value in job.items() if value is not None}
    job.update(kit_facts(kit)[0])
    job["@assumed"] = set(assumed)
    sheet = FactSheet(parts, job, {"plane": (), "leg": ()}, {"plane": (), "leg": ()}, {})
    kitted = {item.code: item for item in (storage, hung) if item}
    prices = replace(prices, items={**prices.items, **kitted})
    survey = Survey.model_validate({"job": {"id": "J1", "parts": sorted(parts)}})
    return judge_anchors(Case(survey, sheet, kit, (), prices, PRACTICE, ON))


def check(outcome: Outcome, code: str) -> Check:
    """Return the one check of a code."""
    (only,) = (each for each in outcome.told if each.code == code and isinstance(each, Check))
    return only


def question(outcome: Outcome, code: str) -> Unanswered:
    """Return the one question of a code."""
    (only,) = (each for each in outcome.told
               if each.code == code and isinstance(each, Unanswered))
    return only


def figure(outcome: Outcome, name: str, part: str = "storage") -> Fraction:
    """Return a figure of the worked answer."""
    (worked,) = (each for each in outcome.worked if each.code == f"{part}-anchor")
    (value,) = (each.value for each in worked.sums if each.name == name)
    assert not isinstance(value, str)
    return Fraction(value)
