"""Whether modules and converter fit a wall, and their set-out in millimetres for the drawings.

The origin is the left end of the wall at the floor. The class of layouts that is searched and the
preferences stand in `columns`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Literal, NamedTuple

from estimator.design.check import Check
from estimator.design.siting.bodies import Body, Modules, Stack
from estimator.design.siting.brackets import (
    Bracket,
    BracketPlan,
    Point,
    bracket_behind,
    bracket_plan,
    holes_of,
)
from estimator.design.siting.clearances import COMMON, STANDING, Clearance
from estimator.design.siting.columns import Placing, search
from estimator.design.siting.shapes import Rect, Wall
from estimator.practice.pack import Practice

MANUAL = "maker's manual"
SPACE_SOURCE = "clear spaces of the data sheets, else common practice"
FOUR_HOLES = Bracket(4)
SEARCHED = (
    "modules the same way up, in stacks; no stack above another; the converter anywhere"
)
THINNED = SEARCHED + ", which was tried at some of its very many places only"


class WallJob(NamedTuple):
    """What is to go on one wall.

    Attributes:
        module_bracket, converter_bracket: what each hangs on; a standing stack has one bracket,
            against tipping, behind its uppermost module.
        near_mm: where the leads to a converter elsewhere leave the wall.
    """

    wall: Wall
    modules: Modules | None = None
    converter: Body | None = None
    module_bracket: Bracket = FOUR_HOLES
    converter_bracket: Bracket = FOUR_HOLES
    near_mm: int | None = None


class Placed(NamedTuple):
    """One unit on the wall.

    Attributes:
        body: its face; `clear` the face with the clear space left, right and above (in a stack up
            to the next module).
        stack, level: which stack from the left and which module of it from below, from 1; 0 for
            the converter.
        bracket: what it hangs on or is held by; None if it has none.
        holes: of the bracket, to be drilled by the maker's template.
        bracket_known: whether the catalogue holds the size of the bracket.
    """

    name: str
    kind: Literal["module", "converter"]
    body: Rect
    clear: Rect
    stack: int
    level: int
    bracket: Rect | None
    holes: tuple[Point, ...]
    bracket_known: bool = False


class WallLayout(NamedTuple):
    """Everything on one wall with its coordinates [mm] and where the clear spaces come from.

    Attributes:
        standing: whether the modules stand on the floor; `base_mm` under the lowest of a stack.
    """

    wall: Wall
    placed: tuple[Placed, ...]
    module_clearance: Clearance | None
    converter_clearance: Clearance | None
    searched: str = SEARCHED
    standing: bool = False
    base_mm: int = 0

    @property
    def modules(self) -> tuple[Placed, ...]:
        """Return the modules, stack by stack from below."""
        return tuple(each for each in self.placed if each.kind == "module")

    @property
    def converter(self) -> Placed | None:
        """Return the converter, if it is on this wall."""
        return next((each for each in self.placed if each.kind == "converter"), None)


class NoFit(NamedTuple):
    """Nothing of the class fits.

    Attributes:
        most: the most modules that would fit together with the converter; -1 if not even the
            converter does.
        searched: what was tried.
    """

    wanted: int
    most: int
    searched: str = SEARCHED


def set_out(job: WallJob, practice: Practice, on: date) -> WallLayout | NoFit:
    """Return the set-out of a wall, or how many modules would fit."""
    found = search(job.wall, job.modules, job.converter, job.near_mm)
    searched = SEARCHED if found.every_place else THINNED
    if found.placing is None:
        return NoFit(job.modules.count if job.modules else 0, found.most, searched)
    return _layout(job, found.placing, searched, bracket_plan(practice, on))


def _layout(job: WallJob, placing: Placing, searched: str, plan: BracketPlan) -> WallLayout:
    placed = list(_modules(job, job.modules, placing.stacks, plan)) if job.modules else []
    if placing.converter is not None and job.converter is not None:
        clear = job.converter.clear
        placed.append(_placed("converter", "converter", placing.converter, clear, clear.top_mm,
                              (0, 0), job.converter_bracket, plan))
    return WallLayout(
        job.wall, tuple(placed), job.modules.body.clear if job.modules else None,
        job.converter.clear if job.converter else None, searched,
        job.modules is not None and job.modules.standing,
        job.modules.foot_mm if job.modules else 0)


def _modules(
    job: WallJob, modules: Modules, stacks: Sequence[Stack], plan: BracketPlan
) -> Iterator[Placed]:
    number, rise = 0, modules.body.height_mm + modules.gap_mm
    for at, stack in enumerate(stacks, 1):
        for level in range(1, stack.modules + 1):
            number += 1
            body = Rect(stack.x_mm, stack.y_mm + (level - 1) * rise, modules.body.width_mm,
                        modules.body.height_mm)
            last = level == stack.modules
            held = not modules.standing or last
            yield _placed(
                f"module {number}", "module", body, modules.body.clear,
                modules.body.clear.top_mm if last else modules.gap_mm, (at, level),
                job.module_bracket if held else Bracket(0), plan)


def _placed(
    name: str, kind: Literal["module", "converter"], body: Rect, clear: Clearance, top_mm: int,
    where: tuple[int, int], bracket: Bracket, plan: BracketPlan,
) -> Placed:
    behind = bracket_behind(body, bracket, plan)
    holes = (holes_of(behind, bracket.holes, plan, bracket.couple_mm)
             if behind is not None else ())
    return Placed(name, kind, body, body.widened(clear.side_mm, top_mm), *where, behind, holes,
                  bracket.width_mm is not None and bracket.height_mm is not None)


def told(result: WallLayout | NoFit, subject: str) -> tuple[Check, ...]:
    """Return what the set-out says, ready to become findings."""
    wall = f"wall of the {subject}"
    if isinstance(result, NoFit):
        return (_no_fit(result, wall),)
    things = _things(len(result.modules), result.converter is not None)
    size = f"{result.wall.width_mm} mm wide and {result.wall.height_mm} mm high"
    found = [Check("wall-fit", "fine", wall,
                   f"room for {things} with their clear space; the wall is {size}",
                   SPACE_SOURCE, MANUAL)]
    for name, clear in (("storage module", result.module_clearance),
                        ("converter", result.converter_clearance)):
        if clear is not None:
            found.append(_space(name, clear))
    if not result.wall.obstacles:
        found.append(Check(
            "wall-nothing-noted", "caution", wall,
            "nothing is noted on the wall: look for sockets, pipes, meters and windows before "
            "drilling", "common practice, no source", "surveyor"))
    return tuple(found)


def _no_fit(result: NoFit, wall: str) -> Check:
    room = ("the converter has no room" if result.most < 0 and not result.wanted
            else "not even the converter has room" if result.most < 0
            else f"room for {result.most} of {_things(result.wanted, False)}")
    counted = result.wanted > 0
    return Check(
        "wall-fit", "stop", wall,
        f"not all fits with the clear space that it asks for: {room} ({result.searched})",
        SPACE_SOURCE, MANUAL, result.wanted if counted else "",
        max(result.most, 0) if counted else "", "modules" if counted else "")


def _things(modules: int, converter: bool) -> str:
    told = [f"{modules} module{'' if modules == 1 else 's'}"] if modules else []
    return " and ".join([*told, *(["the converter"] if converter else [])])


def _space(name: str, clear: Clearance) -> Check:
    """Return what clear space a unit is given and whose number each is."""
    parts = [(f"{clear.side_mm} mm left and right", clear.side_source),
             (f"{clear.top_mm} mm above", clear.top_source),
             (f"{clear.floor_mm} mm to the floor", clear.floor_source),
             ("as much below as above to what is on the wall", COMMON)]
    if clear.floor_source == STANDING:
        parts[2:] = [(STANDING, "")]
    if clear.between_mm != clear.side_mm:
        parts.append((f"{clear.between_mm} mm to the next one", clear.between_source))
    known = tuple(dict.fromkeys(source for _, source in parts if source))
    says = ", ".join(
        part if len(known) == 1 or not source else f"{part} ({source})" for part, source in parts)
    sources = "; ".join(known)
    if not clear.by_default:
        return Check("wall-clearance", "fine", name, f"clear space kept: {says}", sources, MANUAL)
    return Check(
        "wall-clearance-default", "caution", name,
        f"its data sheet leaves clear space blank, its manual must confirm what is kept: {says}",
        sources, MANUAL)
