"""Reads the walls of a survey and the chosen items into jobs for the set-out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from catalogue.items import Item
from catalogue.specs import ConverterSpec, MountingSpec, StorageSpec
from estimator.design.check import Check, Unanswered
from estimator.design.siting.brackets import Bracket
from estimator.design.siting.clearances import Clearance, clearance_of
from estimator.design.siting.columns import Body, Modules
from estimator.design.siting.shapes import Wall, wall_of
from estimator.design.siting.wall_layout import MANUAL, WallJob
from estimator.practice.pack import Practice
from estimator.survey.model import Converter, Storage, Survey


@dataclass(frozen=True, slots=True)
class WallItems:
    """The chosen items that go on a wall; None where nothing is chosen."""

    storage: Item | None = None
    converter: Item | None = None
    storage_bracket: Item | None = None


@dataclass(frozen=True, slots=True)
class WallJobs:
    """The walls of a job, by subject, and what is missing to set them out."""

    jobs: tuple[tuple[str, WallJob], ...]
    unanswered: tuple[Unanswered, ...]


def wall_jobs(survey: Survey, items: WallItems, practice: Practice, on: date) -> WallJobs:
    """Return what goes on which wall: one wall for both, or one each.

    A wall is asked for only where the job has something to put on it.
    """
    jobs: list[tuple[str, WallJob]] = []
    asked: list[Unanswered] = []
    both = items.storage is not None and items.converter is not None
    if both and survey.converter.same_wall.value is None:
        asked.append(_question("wall", ("converter.same_wall",),
                               "Does the converter hang on the same wall as the storage?"))
    together = both and survey.converter.same_wall.value is True
    if items.storage is not None:
        _add("storage", survey, items, together, practice, on, jobs, asked)
    if items.converter is not None and not together:
        _add("converter", survey, items, False, practice, on, jobs, asked)
    return WallJobs(tuple(jobs), tuple(asked))


def body_of(item: Item, clear: Clearance) -> Body | None:
    """Return the face of an item on the wall: its length by its height; None if not known."""
    if item.length_mm is None or item.height_mm is None:
        return None
    return Body(item.length_mm, item.height_mm, clear)


def _add(
    subject: str, survey: Survey, items: WallItems, together: bool, practice: Practice, on: date,
    jobs: list[tuple[str, WallJob]], asked: list[Unanswered],
) -> None:
    group: Storage | Converter = survey.storage if subject == "storage" else survey.converter
    wall, missing = _wall(group, subject), _missing(group, subject)
    modules = converter = None
    if subject == "storage" and items.storage is not None:
        modules = _modules(survey.storage, items.storage, practice, on, missing)
    if (together or subject == "converter") and items.converter is not None:
        converter = _converter(items.converter, practice, on, missing)
    if missing or wall is None:
        asked.append(_question(subject, tuple(missing),
                               "How wide and high is the wall, and what goes on it?"))
        return
    jobs.append((subject, WallJob(
        wall, modules, converter, _module_bracket(items),
        Bracket(_wall_holes(items.converter)))))


def _wall(group: Storage | Converter, subject: str) -> Wall | None:
    width, height = group.wall_width_m.value, group.wall_height_m.value
    if width is None or height is None:
        return None
    return wall_of(width, height, [
        (o.name, o.x_m, o.y_m, o.width_m, o.height_m) for o in group.obstructions])


def _missing(group: Storage | Converter, subject: str) -> list[str]:
    return [f"{subject}.{name}" for name in ("wall_width_m", "wall_height_m")
            if getattr(group, name).value is None]


def _modules(
    storage: Storage, item: Item, practice: Practice, on: date, missing: list[str]
) -> Modules | None:
    spec = item.spec
    assert isinstance(spec, StorageSpec)
    missing += [f"storage.{name}" for name in ("modules", "mount")
                if getattr(storage, name).value is None]
    if storage.modules.value is None or storage.mount.value is None:
        return None
    standing = storage.mount.value == "floor"
    clear = clearance_of(spec, practice, on, standing)
    body = body_of(item, clear)
    if body is None:
        missing.append("kit.storage.code")
        return None
    # Hung modules keep the clear space of their sheet to each other; a stack stands close.
    return Modules(body, storage.modules.value, spec.max_per_stack,
                   0 if standing else clear.top_mm, standing)


def _converter(
    item: Item, practice: Practice, on: date, missing: list[str]
) -> Body | None:
    assert isinstance(item.spec, ConverterSpec)
    body = body_of(item, clearance_of(item.spec, practice, on))
    if body is None:
        missing.append("kit.converter.code")
    return body


def _module_bracket(items: WallItems) -> Bracket:
    holes = 4
    if items.storage is not None and isinstance(items.storage.spec, StorageSpec):
        holes = items.storage.spec.bracket_holes
    item = items.storage_bracket
    if item is None or not isinstance(item.spec, MountingSpec):
        return Bracket(holes)
    return Bracket(item.spec.holes or holes, item.length_mm, item.height_mm)


def _wall_holes(item: Item | None) -> int:
    return item.spec.wall_holes if item and isinstance(item.spec, ConverterSpec) else 4


def _question(subject: str, facts: tuple[str, ...], asks: str) -> Unanswered:
    worst = Check("wall-fit", "stop", subject, "the wall may be too small for what goes on it",
                    "clear spaces of the data sheets, else common practice", MANUAL)
    return Unanswered("wall-fit", facts, asks, worst)
