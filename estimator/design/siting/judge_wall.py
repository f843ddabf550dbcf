"""Whether storage and converter fit their walls, where they go, and how many stacks that makes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, cast

from catalogue.items import Item
from catalogue.price_book import PriceBook
from catalogue.specs import MountingSpec, StorageSpec
from estimator.design.case import Case, Outcome
from estimator.design.check import Check, Unanswered
from estimator.design.sheet import Unknown
from estimator.design.siting.from_survey import (
    WallItems,
    unmeasured,
    wall_jobs,
    wall_sizes,
)
from estimator.design.siting.linking import linked_stacks
from estimator.design.siting.shapes import up_mm
from estimator.design.siting.wall_layout import WallLayout, set_out, told

COLUMNS = "storage.columns"
COUNT, MOST = "storage.modules", "kit.storage.max_per_stack"
ON_COLUMNS = (COUNT, "storage.mount", "storage.wall_width_m", "storage.wall_height_m")


def judge_wall(case: Case) -> Outcome:
    """Return what fits which wall and where it goes.

    Gives the rules `storage.columns`, stacks as set out.
    """
    env = case.sheet.job
    jobs = wall_jobs(case.survey, env, wall_items(case), case.practice, case.on)
    found: list[Check | Unanswered] = []
    walls: dict[str, WallLayout] = {}
    for subject, job in jobs.jobs:
        result = set_out(job, case.practice, case.on)
        found += told(result, subject)
        if isinstance(result, WallLayout):
            walls[subject] = result
    found += [*jobs.unanswered, *_unchosen(case)]
    if "storage" not in case.sheet.parts:
        return Outcome(told=tuple(found), walls=walls)
    stacks, because = _columns(case, walls.get("storage"))
    guessed = not set(ON_COLUMNS).isdisjoint(env.get("@assumed", ()))
    return Outcome(
        told=tuple(found), walls=walls, facts={COLUMNS: stacks}, because={COLUMNS: because},
        assumed=frozenset({COLUMNS} if guessed else ()))


def wall_items(case: Case) -> WallItems:
    """Return what goes on the walls: the kit, with brackets and bases as the rules will choose."""
    items = case.kit.items
    storage, converter = items.get("storage"), items.get("converter")
    if storage is None:
        return WallItems(None, converter)
    mount = case.sheet.job.get("storage.mount")
    if isinstance(mount, Unknown) or mount != "floor":
        bracket = _fitting(case.prices, storage, "storage wall bracket",
                           cast(StorageSpec, storage.spec).bracket_holes)
        return WallItems(storage, converter, bracket)
    under = (_fitting(case.prices, storage, role) for role in _roles_under(case.sheet.job))
    return WallItems(storage, converter, _fitting(case.prices, storage, "anti-tip bracket"),
                     tuple(item for item in under if item is not None))


def _roles_under(env: Mapping[str, Any]) -> Iterator[str]:
    """Yield what a stack stands on; what may have to be there counts, for it takes height."""
    yield "storage floor base"
    floor = env.get("storage.floor")
    unseen = not isinstance(floor, str)
    if unseen or floor == "soft ground" or env.get("storage.floor_level") is not True:
        yield "plinth slab"
    if unseen or floor == "suspended timber" or env.get("storage.flood_risk") is not False:
        yield "storage floor stand"


def _fitting(prices: PriceBook, storage: Item, role: str, holes: int | None = None) -> Item | None:
    """Return the part of a role from the module's box, else the cheapest on offer, or None.

    Args:
        holes: how many it must have; None = any.
    """
    serving = [
        item for item in prices.with_role("mounting", role)
        if holes is None or cast(MountingSpec, item.spec).holes == holes
    ]
    boxed = {part.item for part in prices.contents(storage.code)}
    priced = [
        (item.code not in boxed, offer.unit_price_minor if offer is not None else 0, item.code)
        for item in serving
        if (offer := prices.offer(item.code)) is not None or item.code in boxed
    ]
    return prices.items[min(priced)[2]] if priced else None


def _unchosen(case: Case) -> Iterator[Unanswered]:
    """Yield the question for what is asked for and cannot be chosen yet.

    What bars the choice is asked for by others; the wall is to be measured in any case.
    """
    env = case.sheet.job
    for subject in ("storage", "converter"):
        waits = case.kit.waits_for.get(subject, ())
        if subject in case.sheet.parts and case.kit.items.get(subject) is None and waits:
            sizes = tuple(path for path in wall_sizes(subject) if isinstance(env[path], Unknown))
            yield unmeasured(subject, sizes or waits, "What goes on the wall?", env)


def _columns(case: Case, layout: WallLayout | None) -> tuple[int | Unknown, str]:
    """Return the stacks of modules and how the number came about."""
    env = case.sheet.job
    count, most = env.get(COUNT, Unknown(COUNT)), env.get(MOST, Unknown(MOST))
    if isinstance(count, Unknown):
        return count.join(most), "modules over the most that a stack takes"
    if isinstance(most, Unknown):
        return most, "modules over the most that a stack takes"
    if layout is None:
        return -(-count // most), (
            f"{count} modules, {most} at most in a stack; no wall is set out")
    reach = case.practice.at("siting_link_reach_mm", case.on)
    reach_mm = up_mm(case.practice.number(reach.name, case.on)) if reach is not None else 0
    return linked_stacks(layout, most, reach_mm), (
        "stacks as set out on the floor" if layout.standing else
        f"modules as set out on the wall; those within {reach_mm} mm of each other are linked "
        f"like a stack, {most} at most")
