"""Reads the walls of a survey and the chosen items into jobs for the set-out."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any, NamedTuple

from catalogue.items import Item
from catalogue.specs import ConverterSpec, MountingSpec, StorageSpec
from estimator.design.check import Check, Level, Unanswered
from estimator.design.sheet import Unknown
from estimator.design.siting.bodies import Body, Modules
from estimator.design.siting.brackets import Bracket
from estimator.design.siting.clearances import Clearance, clearance_of
from estimator.design.siting.shapes import Wall, wall_of
from estimator.design.siting.wall_layout import MANUAL, SPACE_SOURCE, WallJob
from estimator.practice.pack import Practice
from estimator.survey.model import Survey
from estimator.survey.places import Converter, Storage

# What a surveyor would have noted of a wall that anybody has looked at.
SEEN = ("place", "wall", "wall_width_m", "wall_height_m")


class WallItems(NamedTuple):
    """The chosen items that go on a wall; None where nothing is chosen.

    Attributes:
        bracket: what a module hangs on, or what holds a standing stack against tipping.
        under: what a standing stack stands on, one on the other.
    """

    storage: Item | None = None
    converter: Item | None = None
    bracket: Item | None = None
    under: tuple[Item, ...] = ()


class WallJobs(NamedTuple):
    """The walls of a job, by subject, and what is missing to set them out."""

    jobs: tuple[tuple[str, WallJob], ...]
    unanswered: tuple[Unanswered, ...]


class _Reading:
    """One survey being read.

    Attributes:
        env: facts of the sheet by path, those that are assumed among them.
    """

    def __init__(
        self, survey: Survey, env: Mapping[str, Any], items: WallItems, practice: Practice,
        on: date,
    ) -> None:
        self.survey = survey
        self.env = env
        self.items = items
        self.practice = practice
        self.on = on
        self.jobs: list[tuple[str, WallJob]] = []
        self.asked: list[Unanswered] = []

    def known(self, path: str) -> Any:
        """Return the value of a fact, or None while nobody knows it."""
        value = self.env.get(path)
        return None if isinstance(value, Unknown) else value


def wall_jobs(
    survey: Survey, env: Mapping[str, Any], items: WallItems, practice: Practice, on: date
) -> WallJobs:
    """Return what goes on which wall: one wall for both, or one each.

    A wall is asked for only where the job has something to put on it.

    Args:
        survey: for the things on the walls.
        env: the facts of the job by path; an unknown one is `Unknown` or left out.
    """
    reading = _Reading(survey, env, items, practice, on)
    both = items.storage is not None and items.converter is not None
    together = one_wall(env) if both else False
    if items.storage is not None:
        _add("storage", reading, together is True)
    if together is None:
        reading.asked.append(unmeasured(
            "converter", ("converter.same_wall",),
            "Does the converter hang on the same wall as the storage?", env))
    # While it is not known which wall the converter hangs on, its size is asked for only once.
    if items.converter is not None and not together and (
            together is False or not _missing("converter", reading)):
        _add("converter", reading, False)
    return WallJobs(tuple(reading.jobs), tuple(reading.asked))


def one_wall(env: Mapping[str, Any]) -> bool | None:
    """Return whether converter and storage share a wall; None while nobody knows.

    One out of doors and one inside never do, even if both are at the same bricks.
    """
    told = env.get("converter.same_wall")
    if isinstance(told, bool):
        return told
    place, side = env.get("storage.place"), env.get("converter.place")
    if isinstance(place, str) and isinstance(side, str) and (
            (place == "outside wall") != (side == "outside")):
        return False
    return None


def unmeasured(
    subject: str, facts: tuple[str, ...], asks: str, env: Mapping[str, Any]
) -> Unanswered:
    """Return the question whether a wall is large enough.

    The worst that can come of it is that another wall or place must be found. Where somebody has
    seen the place that seldom fails and seldom moves the price, so it is a caution and does not
    bar a firm price; where nothing at all is known of the place, it is a stop.
    """
    seen = any(not isinstance(env.get(f"{subject}.{name}"), Unknown | None) for name in SEEN)
    level: Level = "caution" if seen else "stop"
    says = "what is to go on the wall may not fit it: then another place must be found"
    return Unanswered("wall-fit", facts, asks, Check(
        "wall-fit", level, f"wall of the {subject}", says, SPACE_SOURCE, MANUAL))


def wall_sizes(subject: str) -> tuple[str, str]:
    """Return the paths of the width and the height of a wall."""
    return f"{subject}.wall_width_m", f"{subject}.wall_height_m"


def body_of(item: Item, clear: Clearance) -> Body | None:
    """Return the face of an item on the wall: its length by its height; None if not known."""
    if item.length_mm is None or item.height_mm is None:
        return None
    return Body(item.length_mm, item.height_mm, clear)


def _add(subject: str, reading: _Reading, together: bool) -> None:
    items, missing = reading.items, _missing(subject, reading)
    modules = converter = None
    if subject == "storage" and items.storage is not None:
        modules = _modules(items.storage, reading, missing)
    if (together or subject == "converter") and items.converter is not None:
        converter = _converter(items.converter, reading, missing)
    if missing:
        reading.asked.append(unmeasured(
            subject, tuple(missing), "How wide and high is the wall, and what goes on it?",
            reading.env))
        return
    reading.jobs.append((subject, WallJob(
        _wall(subject, reading), modules, converter, _module_bracket(items),
        _converter_bracket(items.converter))))


def _wall(subject: str, reading: _Reading) -> Wall:
    survey = reading.survey
    group: Storage | Converter = survey.storage if subject == "storage" else survey.converter
    width, height = (reading.known(path) for path in wall_sizes(subject))
    return wall_of(width, height, [
        (o.name, o.x_m, o.y_m, o.width_m, o.height_m) for o in group.obstructions])


def _missing(subject: str, reading: _Reading) -> list[str]:
    return [path for path in wall_sizes(subject) if reading.known(path) is None]


def _modules(item: Item, reading: _Reading, missing: list[str]) -> Modules | None:
    spec = item.spec
    assert isinstance(spec, StorageSpec)
    count, mount = reading.known("storage.modules"), reading.known("storage.mount")
    missing += [path for path, value in (("storage.modules", count), ("storage.mount", mount))
                if value is None]
    if count is None or mount is None:
        return None
    standing = mount == "floor"
    clear = clearance_of(spec, reading.practice, reading.on, standing)
    body = body_of(item, clear)
    if body is None:
        missing.append("kit.storage.code")
        return None
    # Hung modules keep the clear space of their sheet to each other; a stack stands close.
    base_mm = sum(each.height_mm or 0 for each in reading.items.under)
    return Modules(body, count, spec.max_per_stack, 0 if standing else clear.top_mm, standing,
                   base_mm if standing else 0)


def _converter(item: Item, reading: _Reading, missing: list[str]) -> Body | None:
    assert isinstance(item.spec, ConverterSpec)
    body = body_of(item, clearance_of(item.spec, reading.practice, reading.on))
    if body is None:
        missing.append("kit.converter.code")
    return body


def _module_bracket(items: WallItems) -> Bracket:
    holes = 4
    if items.storage is not None and isinstance(items.storage.spec, StorageSpec):
        holes = items.storage.spec.bracket_holes
    item = items.bracket
    if item is None or not isinstance(item.spec, MountingSpec):
        return Bracket(holes)
    return Bracket(item.spec.holes or holes, item.length_mm, item.height_mm,
                   _whole(item.spec.couple_mm))


def _converter_bracket(item: Item | None) -> Bracket:
    """Return the bracket in the converter's box: its holes are known, its size is not."""
    if item is None or not isinstance(item.spec, ConverterSpec):
        return Bracket(4)
    return Bracket(item.spec.wall_holes, couple_mm=_whole(item.spec.couple_mm))


def _whole(millimetres: Decimal | None) -> int | None:
    return None if millimetres is None else int(millimetres.to_integral_value())
