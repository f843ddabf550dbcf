"""Whether modules and converter fit a wall, and their set-out in millimetres for the drawings.

The origin is the left end of the wall at the floor. The class of layouts that is searched and the
preferences stand in `columns`.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from estimator.design.check import Check
from estimator.design.siting.brackets import (
    Bracket,
    BracketPlan,
    Point,
    bracket_behind,
    bracket_plan,
    holes_of,
)
from estimator.design.siting.clearances import Clearance
from estimator.design.siting.columns import Body, Modules, Placing, most_modules, place
from estimator.design.siting.shapes import Rect, Wall
from estimator.practice.pack import Practice

MANUAL = "maker's manual"
FOUR_HOLES = Bracket(4)
SEARCHED = (
    "modules the same way up, in stacks; no stack above another; the converter anywhere"
)
THINNED = SEARCHED + ", which was tried at some of its very many places only"


@dataclass(frozen=True, slots=True)
class WallJob:
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


@dataclass(frozen=True, slots=True)
class Placed:
    """One unit on the wall.

    Attributes:
        body: its face; `clear` the face with the clear space left, right and above.
        stack, level: which stack from the left and which module of it from below, from 1; 0 for
            the converter.
        bracket: what it hangs on or is held by; None if it has none.
        holes: of the bracket, to be drilled by the maker's template.
    """

    name: str
    kind: Literal["module", "converter"]
    body: Rect
    clear: Rect
    stack: int
    level: int
    bracket: Rect | None
    holes: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class WallLayout:
    """Everything on one wall with its coordinates [mm] and where the clear spaces come from."""

    wall: Wall
    placed: tuple[Placed, ...]
    module_clearance: Clearance | None
    converter_clearance: Clearance | None
    searched: str = SEARCHED

    @property
    def modules(self) -> tuple[Placed, ...]:
        """Return the modules, stack by stack from below."""
        return tuple(each for each in self.placed if each.kind == "module")

    @property
    def converter(self) -> Placed | None:
        """Return the converter, if it is on this wall."""
        return next((each for each in self.placed if each.kind == "converter"), None)


@dataclass(frozen=True, slots=True)
class NoFit:
    """Nothing of the class fits.

    Attributes:
        most: the most modules that would fit together with the converter; -1 if not even the
            converter does.
    """

    wanted: int
    most: int


def set_out(job: WallJob, practice: Practice, on: date) -> WallLayout | NoFit:
    """Return the set-out of a wall, or how many modules would fit."""
    found = place(job.wall, job.modules, job.converter, job.near_mm)
    if found is not None:
        return _layout(job, found, bracket_plan(practice, on))
    if job.modules is None:
        return NoFit(0, -1)
    return NoFit(job.modules.count,
                 most_modules(job.wall, job.modules, job.converter, job.near_mm))


def _layout(job: WallJob, found: Placing, plan: BracketPlan) -> WallLayout:
    placed: list[Placed] = []
    modules = job.modules
    if modules is not None:
        number = 0
        for at, stack in enumerate(found.stacks, 1):
            for level in range(1, stack.modules + 1):
                number += 1
                body = Rect(stack.x_mm,
                            stack.y_mm + (level - 1) * (modules.body.height_mm + modules.gap_mm),
                            modules.body.width_mm, modules.body.height_mm)
                held = not modules.standing or level == stack.modules
                placed.append(_placed(f"module {number}", "module", body, modules.body.clear,
                                      (at, level), job.module_bracket if held else Bracket(0),
                                      plan))
    if found.converter is not None and job.converter is not None:
        placed.append(_placed("converter", "converter", found.converter, job.converter.clear,
                              (0, 0), job.converter_bracket, plan))
    return WallLayout(job.wall, tuple(placed), modules.body.clear if modules else None,
                      job.converter.clear if job.converter else None,
                      SEARCHED if found.every_place else THINNED)


def _placed(
    name: str, kind: Literal["module", "converter"], body: Rect, clear: Clearance,
    where: tuple[int, int], bracket: Bracket, plan: BracketPlan,
) -> Placed:
    behind = bracket_behind(body, bracket, plan)
    holes = holes_of(behind, bracket.holes, plan) if behind is not None else ()
    return Placed(name, kind, body, body.widened(clear.side_mm, clear.top_mm), *where, behind,
                  holes)


def told(result: WallLayout | NoFit, subject: str) -> tuple[Check, ...]:
    """Return what the set-out says, ready to become findings."""
    if isinstance(result, NoFit):
        room = ("not even the converter has room" if result.most < 0
                else f"room for {result.most} of {result.wanted} modules")
        return (Check(
            "wall-fit", "stop", subject,
            f"they do not fit the wall with the space they ask for: {room} ({SEARCHED})",
            "clear spaces of the data sheets, else common practice", MANUAL,
            str(result.wanted), str(max(result.most, 0)), "modules"),)
    found = [Check(
        "wall-fit", "fine", subject, "they fit the wall with the space they ask for",
        "clear spaces of the data sheets, else common practice", MANUAL)]
    defaults = [clear for clear in (result.module_clearance, result.converter_clearance)
                if clear is not None and clear.by_default]
    if defaults:
        found.append(Check(
            "wall-clearance-default", "caution", subject,
            "a data sheet does not state its clear space: the usual one is kept, the manual must "
            "confirm it", defaults[0].side_source, MANUAL))
    if not result.wall.obstacles:
        found.append(Check(
            "wall-nothing-noted", "caution", subject,
            "nothing is noted on the wall: look for sockets, pipes, meters and windows before "
            "drilling", "common practice, no source", "surveyor"))
    return tuple(found)
