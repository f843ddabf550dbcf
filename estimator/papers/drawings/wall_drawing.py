"""One sheet for each wall: units, brackets and holes at their places, clear space, lift path."""

from __future__ import annotations

from collections.abc import Sequence

from estimator.papers.contract import EstimateJson
from estimator.papers.contract_parts import WorkedJson
from estimator.papers.contract_walls import PlacedJson, RectJson, WallJson
from estimator.papers.drawings.dimensions import View, across, up
from estimator.papers.drawings.lettering import BOLD_WIDER
from estimator.papers.drawings.page import (
    DASHES,
    FIELD,
    MIDDLE,
    THICK,
    THIN,
    Fill,
    Page,
    Title,
    scale_for,
)
from estimator.papers.drawings.things import lettered, name_thing
from estimator.papers.pictures.svg import text_wide

ROOM_LEFT, ROOM_BELOW, ROOM_ABOVE, ROOM_RIGHT = 24.0, 26.0, 8.0, 18.0
LIFTS = {"module": "storage module", "converter": "converter"}


def wall_page(wall: WallJson, title: Title, lifts: Sequence[WorkedJson] = ()) -> Page:
    """Return the sheet of a wall.

    Args:
        wall: as set out.
        title: of the sheet.
        lifts: who lifts what, from the checks (code "lift-plan").
    """
    left, top, right, bottom = FIELD
    scale = scale_for(wall.width_mm, wall.height_mm, (
        right - left - ROOM_LEFT - ROOM_RIGHT, bottom - top - ROOM_BELOW - ROOM_ABOVE))
    view = View(left + ROOM_LEFT, bottom - ROOM_BELOW, scale)
    page = Page(title, scale)
    _notes(page, wall, lifts)
    _wall(page, view, wall)
    _clear(page, view, wall)
    for each in wall.obstacles:
        _box(page, view, each, fill="dense", what="obstacle")
        page.legend("dense", "there already; nothing may cover it (named in the notes)")
    _lift_path(page, view, wall)
    for unit in wall.placed:
        _unit(page, view, unit)
    for unit in wall.placed:
        _name(page, view, unit)
    _dimensions(page, view, wall)
    for letter, thing in lettered(wall.obstacles):
        name_thing(page, view, letter, thing)
    return page


def lift_plans(estimate: EstimateJson) -> tuple[WorkedJson, ...]:
    """Return who lifts what, as the checks say it."""
    return tuple(each for each in estimate.worked if each.code == "lift-plan")


def _wall(page: Page, view: View, wall: WallJson) -> None:
    x, wide = view.x(0), wall.width_mm / view.scale
    page.box(x, view.y(wall.height_mm), wide, wall.height_mm / view.scale, line=THICK, what="wall")
    page.legend("thick box", "the wall as one stands before it")
    page.box(x - 6, view.y(0), wide + 12, 1.8, line=THIN, fill="hatch", what="floor")
    page.words(x + wide / 2, view.y(0) + 5.2, "finished floor or ground", 2.3, "middle")


def _clear(page: Page, view: View, wall: WallJson) -> None:
    """Hatch the space that must stay clear round the units."""
    for unit in wall.placed:
        _box(page, view, unit.clear, fill="hatch", line=THIN, dash=DASHES["dashed"],
             what="clear space")
    if wall.placed:
        page.legend("hatch", "to be kept clear: nothing may stand or hang in it")


def _unit(page: Page, view: View, unit: PlacedJson) -> None:
    _box(page, view, unit, fill="white", line=THICK, what=unit.kind)
    if unit.bracket is not None:
        _box(page, view, unit.bracket, line=THIN, dash=DASHES["dashed"], what="bracket")
        page.legend("dashed box", "bracket behind the unit")
    for x, y in unit.holes:
        at = view.x(x), view.y(y)
        page.line(at[0] - 1.1, at[1], at[0] + 1.1, at[1])
        page.line(at[0], at[1] - 1.1, at[0], at[1] + 1.1)
        page.dot(*at, 0.5, filled=False, what="hole")
    if unit.holes:
        page.legend("cross", "fixing hole: the maker's template decides before drilling")


def _box(page: Page, view: View, rect: RectJson, *, fill: Fill = "none", line: float = MIDDLE,
         dash: str = "", what: str = "") -> None:
    page.box(view.x(rect.x_mm), view.y(rect.y_mm + rect.height_mm), rect.width_mm / view.scale,
             rect.height_mm / view.scale, fill=fill, line=line, dash=dash, what=what)


def _middle(view: View, rect: RectJson) -> tuple[float, float]:
    return view.x(rect.x_mm + rect.width_mm / 2), view.y(rect.y_mm + rect.height_mm / 2) + 0.9


def _name(page: Page, view: View, unit: PlacedJson) -> None:
    """Write the unit's name on it, shortened where it is too small for that."""
    room = unit.width_mm / view.scale - 1
    short = "".join(part[0].upper() if part.isalpha() else part for part in unit.name.split())
    words = unit.name if text_wide(unit.name, 2.5) * BOLD_WIDER <= room else short
    if words == short:
        page.legend("words " + short, unit.name)
    page.words(*_middle(view, unit), words, 2.5, "middle", bold=True, clear=True)


def _lift_path(page: Page, view: View, wall: WallJson) -> None:
    """Draw the way from the floor up to each unit; what hangs before it covers it."""
    if wall.standing:
        return
    for unit in wall.placed:
        x = view.x(unit.x_mm + unit.width_mm) - 2.5
        page.line(x, view.y(0), x, view.y(unit.y_mm), line=MIDDLE, dash=DASHES["chain"],
                  what="lift path")
        page.arrow(x, view.y(unit.y_mm), 0, -1)
        page.legend("chain", "lifted from the floor to here: people and aid in the notes")


def _dimensions(page: Page, view: View, wall: WallJson) -> None:
    wide, high = wall.width_mm, wall.height_mm
    rows = _rows(wall.placed)
    at = since = view.y(0) + 7.0
    for units in rows:
        marks = [0, *(m for u in units for m in (u.x_mm, u.x_mm + u.width_mm)), wide]
        since, at = at, across(page, view, sorted(set(marks)), at + 3.0, to=since) - 0.6
    across(page, view, [0, wide], at + 3.0, to=since)
    levels = sorted({0, high, *(m for u in wall.placed for m in (u.y_mm, u.y_mm + u.height_mm))})
    out = up(page, view, levels, view.x(0) - 7.5, to=view.x(0) - 6.5)
    up(page, view, [0, high], out - 2.4, to=view.x(0) - 6.5)


def _rows(units: Sequence[PlacedJson]) -> list[list[PlacedJson]]:
    """Return the units in groups that do not lie above one another, each measured on one line."""
    rows: list[list[PlacedJson]] = []
    for unit in sorted(units, key=lambda each: (each.y_mm, each.x_mm)):
        for row in rows:
            if all(unit.x_mm >= o.x_mm + o.width_mm or o.x_mm >= unit.x_mm + unit.width_mm
                   or (unit.x_mm, unit.width_mm) == (o.x_mm, o.width_mm) for o in row):
                row.append(unit)
                break
        else:
            rows.append([unit])
    return [sorted(row, key=lambda each: each.x_mm) for row in rows]


def _notes(page: Page, wall: WallJson, lifts: Sequence[WorkedJson]) -> None:
    page.note(f"Wall for the {wall.subject}", 3.2, bold=True)
    page.note("Lengths in mm from the left end of the wall and from the finished floor or ground. "
              "Look for hidden cables and pipes before any hole is drilled.")
    for lift in lifts:
        if lift.subject in (LIFTS[unit.kind] for unit in wall.placed):
            mass = next((one.value for one in lift.sums if one.name == "mass"), "")
            page.note(f"{lift.subject}, {mass} kg: {lift.says}", 2.3, bold=True, gap=0.4)
    if wall.standing:
        page.note(f"Modules stand on the floor; base, stand and slab: {wall.base_mm} mm")
    for clear in wall.clearances:
        page.note(f"Clear of each {clear.kind}: {clear.side_mm} beside ({clear.side_source}), "
                  f"{clear.top_mm} above ({clear.top_source}), {clear.between_mm} between two; "
                  f"from {clear.floor_mm} above the floor ({clear.floor_source})", 2.1, gap=0.6)
    _holes(page, wall)
    for letter, each in lettered(wall.obstacles):
        page.note(f"{letter}: {each.name}, {each.width_mm} x {each.height_mm} at "
                  f"{each.x_mm}/{each.y_mm}", 2.2, gap=0.2)


def _holes(page: Page, wall: WallJson) -> None:
    """List the holes of each unit."""
    page.note("Holes, from the left/above the floor:", 2.2, bold=True, gap=0.2)
    for unit in wall.placed:
        if not unit.holes:
            continue
        known = "" if unit.bracket_known else " (bracket assumed: measure it)"
        words = f"{unit.name}{known}: " + "; ".join(f"{x}/{y}" for x, y in unit.holes)
        page.note(words, 2.1, gap=0.3)
