"""A job with heavy things, ready to be judged; invented figures, each test states its own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal as D
from pathlib import Path
from typing import Any

from catalogue.items import Item
from catalogue.price_book import PriceBook
from estimator.design.case import Case, Outcome
from estimator.design.check import Check, Unanswered
from estimator.design.kit import Kit
from estimator.design.lifting.judge import judge_lifting
from estimator.design.sheet import FactSheet, Unknown
from estimator.practice.pack import Practice, country_folder, read_practice
from estimator.survey.model import Header, Survey
from tests.design.lifting.rules_in_force import ON, PRACTICE
from tests.factories import ItemFactory, OfferFactory, spec_of

NOT_KNOWN: Any = None
PARTS = {"storage": "storage", "converter": "converter", "panel": "panels"}
# One level, short and straight way in; modules hang on the wall.
EASY: dict[str, Any] = {
    "storage.mount": "wall", "storage.modules": 3, "storage.third_person": False,
    "storage.floor": "slab", "storage.floor_level": True, "storage.flood_risk": False,
    "storage.wall": "dense brick", "storage.combustible_wall": False,
    "storage.habitable_behind": False,
    "site.carry_steps": 0, "site.parking_distance_m": D(5),
}
SIZES = {
    "storage": {"width_mm": 180, "height_mm": 480},
    "converter": {"width_mm": 180, "height_mm": 500},
    "panel": {"width_mm": 1134, "height_mm": 1722},
}


def lift_case(
    masses: Mapping[str, D | int | str | None], practice: Practice = PRACTICE, on: date = ON,
    sizes: Mapping[str, Mapping[str, Any]] = SIZES, others: Sequence[Item] = (),
    assumed: frozenset[str] = frozenset(), **facts: Any,
) -> Case:
    """Return a case.

    Args:
        masses: slot -> mass in kg; None leaves the data sheet blank.
        others: more items of the catalogue, each on offer.
        facts: `site__carry_steps=3`; None = nobody knows.
    """
    items: dict[str, Item | None] = dict.fromkeys(("storage", "converter", "panel", "rail"))
    job: dict[str, Any] = {**EASY, **{k.replace("__", "."): v for k, v in facts.items()}}
    job = {path: Unknown(path) if value is None else value for path, value in job.items()}
    for slot, mass in masses.items():
        item = ItemFactory(
            family=slot, code=f"{slot}-1", mass_kg=None if mass is None else D(mass),
            spec=spec_of(slot), **sizes[slot])
        items[slot] = item
        path = f"kit.{slot}.mass_kg"
        job[path] = Unknown(path) if mass is None else D(mass)
    if assumed:
        job["@assumed"] = set(assumed)
    parts = frozenset(PARTS[slot] for slot in masses) or frozenset({"backup"})
    sheet = FactSheet(parts, job, {"plane": (), "leg": ()}, {"plane": (), "leg": ()}, {})
    return Case(
        Survey(job=Header(id="J-1", parts=tuple(sorted(parts)))), sheet, Kit(items, {}, {}, ()), (),
        PriceBook.of(on, others, [OfferFactory(item=each.code) for each in others]), practice, on)


def judged(masses: Mapping[str, D | int | str | None], **more: Any) -> Outcome:
    return judge_lifting(lift_case(masses, **more))


def told(outcome: Outcome, code: str) -> Check:
    """Return the one outcome of a code."""
    (found,) = [e for e in outcome.told if isinstance(e, Check) and e.code == code]
    return found


def asked(outcome: Outcome, code: str) -> Unanswered:
    """Return the one question of a code."""
    (found,) = [e for e in outcome.told if isinstance(e, Unanswered) and e.code == code]
    return found


def plan(outcome: Outcome, slot: str) -> tuple[int, bool]:
    """Return how many people lift one, and whether the job takes an aid."""
    return outcome.facts[f"lift.{slot}_people"], outcome.facts["lift.aid"]


def figures(outcome: Outcome) -> dict[str, Any]:
    """Return the figures of the one plan of an outcome by name."""
    (worked,) = outcome.worked
    return {each.name: each.value for each in worked.sums}


def practice_with(folder: Path, text: str, country: str = "gb") -> Practice:
    """Return the pack of a country with a firm's own file over it."""
    folder.joinpath("own.toml").write_text(text, encoding="utf-8")
    return read_practice([country_folder(country), folder])
