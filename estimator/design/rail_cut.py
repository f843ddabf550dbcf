"""The rails of a whole job cut from sticks: one cut over all planes, with the joints of each line.

Rounding up to whole sticks is done once, on the job's total, so that an end left over on one plane
serves on another. A stick is counted with the plane that the first piece cut from it goes to.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil
from typing import Any, cast

from catalogue.items import Item
from catalogue.money import round_half_up
from catalogue.price_book import PriceBook
from catalogue.specs import MountingSpec
from estimator.buying.cutting.lines import LinePlan, cut_lines, line_of
from estimator.buying.cutting.model import Bar, Offcuts, Task
from estimator.buying.cutting.splits import Line
from estimator.design.plane_design import PlaneDesign
from estimator.design.rails import LINES_PER_SEGMENT
from estimator.design.sheet import Environment, Unknown

_SIDES = ("lower rail", "upper rail")
RAIL_FACTS = ("rail_sticks", "rail_other_code", "rail_other_sticks", "joiners")


@dataclass(frozen=True)
class RailCut:
    """The cut of a job's rails.

    Attributes:
        rail: the rail of the kit; other: a second length of its profile, where that costs less.
        plan: lines with their pieces, and the bars, called by item code.
        lawful: whether every joint keeps clear of the overhangs wherever the rafters lie.
        shares: by plane, sticks of the rail, sticks of the other length, and joiners.
    """

    rail: Item
    other: Item | None
    plan: LinePlan
    kerf_mm: int
    lawful: bool
    shares: tuple[tuple[int, int, int], ...]


def cut_rails(
    planes: Sequence[PlaneDesign], names: Sequence[str], rail: Item | None, prices: PriceBook,
    job: Environment,
) -> RailCut | None:
    """Return the cheapest cut of the rails of all planes whose rails are known.

    The kit's rail is cut alone, or together with one other length of its profile.

    Args:
        planes: the planes' designs.
        names: of the planes.
        rail: the kit's rail.
        prices: the price book, for the rails and the joiner.
        job: facts of the job, for the practice values.
    """
    bar = _bar(rail, prices) if rail is not None else None
    if rail is None or bar is None or all(plane.rails is None for plane in planes):
        return None
    lines, plane_of = _lines(planes, names)
    joiner = _joiner_minor(prices)
    task = Task((), (bar,), kerf_mm=_mm(job["practice.saw_cut_m"]),
                offcuts=Offcuts(_mm(job["practice.rail_offcut_m"])))
    others = [(other, _bar(other, prices)) for other in _of_the_profile(rail, prices)]
    pairs = [(other, second) for other, second in others if second is not None]
    found = [(_cut(lines, replace(task, bars=(bar, second)), joiner), other)
             for other, second in pairs] or [(_cut(lines, task, joiner), rail)]
    (plan, lawful), other = min(found, key=lambda each: each[0][0].cost_minor)
    used = plan.cut.bought()
    return RailCut(rail, other if other.code != rail.code and other.code in used else None, plan,
                   task.kerf_mm, lawful, _shares(plan, plane_of, len(planes), rail))


def rail_facts(
    planes: Sequence[PlaneDesign], cut: RailCut | None, rail: Item | None
) -> list[dict[str, Any]]:
    """Return the sticks and joiners of each plane as facts."""
    found = []
    for i, plane in enumerate(planes):
        lines = plane.facts["plane.rail_lines"]
        values: tuple[Any, ...]
        if isinstance(lines, Unknown):
            values = (lines,) * len(RAIL_FACTS)
        elif lines == 0:
            values = (0, "", 0, 0)
        elif cut is None:
            blank = Unknown("kit.rail.code" if rail is None else "kit.rail.stick_m")
            values = (blank,) * len(RAIL_FACTS)
        else:
            sticks, others, joiners = cut.shares[i]
            values = (sticks, cut.other.code if cut.other else "", others, joiners)
        found.append({f"plane.{name}": value
                      for name, value in zip(RAIL_FACTS, values, strict=True)})
    return found


def _mm(metres: Any) -> int:
    """Return whole millimetres, rounded up so that no piece is cut too short."""
    return ceil(Fraction(metres) * 1000)


def _bar(item: Item, prices: PriceBook) -> Bar | None:
    """Return a rail as it is on offer; None without an offer or a length."""
    stick, offer = cast(MountingSpec, item.spec).stick_m, prices.offer(item.code)
    if stick is None or offer is None:
        return None
    return Bar(int(stick * 1000), round_half_up(offer.unit_price_minor), item.code)


def _of_the_profile(rail: Item, prices: PriceBook) -> list[Item]:
    """Return rails of other lengths that are joined to a rail and span as far as it does."""
    spec = cast(MountingSpec, rail.spec)
    alike = (spec.profile, spec.max_span_m, spec.max_overhang_m)
    found = []
    for item in prices.with_role("mounting", "rail"):
        other = cast(MountingSpec, item.spec)
        if spec.profile and item.sold_apart and other.stick_m != spec.stick_m and (
                alike == (other.profile, other.max_span_m, other.max_overhang_m)):
            found.append(item)
    return found


def _joiner_minor(prices: PriceBook) -> int:
    offers = [offer.unit_price_minor for item in prices.with_role("mounting", "rail joiner")
              if (offer := prices.offer(item.code)) is not None]
    return round_half_up(min(offers)) if offers else 0


def _lines(
    planes: Sequence[PlaneDesign], names: Sequence[str]
) -> tuple[list[Line], dict[str, int]]:
    """Return the lines, those that are alike together, longest first, and the plane of each."""
    groups: dict[tuple[int, int, int], list[str]] = {}
    plane_of: dict[str, int] = {}
    for at, (plane, name) in enumerate(zip(planes, names, strict=True)):
        if plane.rails is None:
            continue
        held = plane.rails
        for i, length in enumerate(held.lengths_m):
            key = (_mm(length), _mm(held.overhang_m), _mm(held.apart_m))
            row, side = divmod(i, LINES_PER_SEGMENT)
            line = f"{name}, row {row + 1}, {_SIDES[side]}"
            groups.setdefault(key, []).append(line)
            plane_of[line] = at
    return [Line(length, len(lines), "", overhang, step, tuple(lines))
            for (length, overhang, step), lines in sorted(groups.items(), reverse=True)], plane_of


def _cut(lines: Sequence[Line], task: Task, joiner: int) -> tuple[LinePlan, bool]:
    """Return the plan; where no joint is lawful anywhere, one with joints where bars end."""
    try:
        return cut_lines(lines, task, joiner), True
    except ValueError:
        free = [replace(line, overhang_mm=0, step_mm=0) for line in lines]
        return cut_lines(free, task, joiner), False


def _shares(
    plan: LinePlan, plane_of: Mapping[str, int], planes: int, rail: Item
) -> tuple[tuple[int, int, int], ...]:
    counts = [[0, 0, 0] for _ in range(planes)]
    for bar in plan.cut.bars:
        line = line_of(bar.cuts[0].label)
        counts[plane_of[line]][0 if bar.code == rail.code else 1] += 1
    for each in plan.lines:
        counts[plane_of[each.label]][2] += each.joiners
    return tuple((sticks, others, joiners) for sticks, others, joiners in counts)
