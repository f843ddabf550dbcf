"""Where each unit, bracket and hole goes on the wall: for the electrician who marks out."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from estimator.papers.cautions import all_cautions
from estimator.papers.contract import EstimateJson
from estimator.papers.contract_walls import ClearanceJson, PlacedJson, RectJson, WallJson
from estimator.papers.workbook.pen import Cell, Column, Page

NAME = "Wall"
COLUMNS = (
    Column("What", 36, "wrap"), Column("Left edge", 10, "number"),
    Column("Lower edge", 11, "number"), Column("Right edge", 11, "number"),
    Column("Upper edge", 11, "number"), Column("Width", 8, "number"),
    Column("Height", 8, "number"), Column("Holes, from the left", 22, "wrap"),
    Column("Holes, up", 14, "wrap"), Column("Measured", 11, "tick"),
)
# Cautions that stand before the first hole, by their id.
BEFORE_DRILLING = ("drilling", "unknown-wall")
LETTERS = 160  # of a note, in a line of the sheet


def write_walls(page: Page, estimate: EstimateJson) -> None:
    """Write the coordinates of every wall, from its lower left, with what to look for first."""
    page.band("before drilling")
    for caution in all_cautions():
        if caution.id in BEFORE_DRILLING:
            _note(page, caution.says)
    _note(page, "Holes are spread evenly over the bracket. The maker's template decides where to "
          "drill.")
    page.band("how to read it")
    _note(page, "Millimetres, facing the wall: to the right from its left end, up from the floor "
          "or ground. Measure the wall and what is on it again before marking out.")
    page.header()
    for wall in estimate.walls:
        page.band(f"wall of the {wall.subject}: {wall.width_mm} wide, {wall.height_mm} high")
        for row in _rows(wall):
            page.row(row)
        for says in _notes(wall):
            _note(page, says)


def _note(page: Page, text: str) -> None:
    for line in textwrap.wrap(text, LETTERS):
        page.note(line)


def _rows(wall: WallJson) -> Iterator[list[Cell]]:
    for thing in wall.obstacles:
        yield [f"there already: {thing.name}", *_edges(thing), None, None, None]
    for each in wall.placed:
        yield [each.name, *_edges(each), None, None, None]
        if each.bracket is not None:
            yield _bracket(each, each.bracket, wall.standing)


def _bracket(each: PlacedJson, bracket: RectJson, standing: bool) -> list[Cell]:
    """Return the row of a bracket; one of unknown size is placed by its template alone."""
    what = "anti-tip bracket" if standing and each.kind == "module" else "bracket"
    name = f"    {what} of {each.name}"
    if not each.bracket_known:
        return [name, *[None] * 6, f"{len(each.holes)} by its template", None, None]
    return [name, *_edges(bracket), _apart(x for x, _ in each.holes),
            _apart(y for _, y in each.holes), None]


def _edges(rect: RectJson) -> list[Cell]:
    return [rect.x_mm, rect.y_mm, rect.x_mm + rect.width_mm, rect.y_mm + rect.height_mm,
            rect.width_mm, rect.height_mm]


def _apart(numbers: Iterator[int]) -> str:
    return ", ".join(str(each) for each in sorted(set(numbers)))


def _notes(wall: WallJson) -> Iterator[str]:
    if wall.base_mm:
        yield (f"Under each stack: {wall.base_mm} mm of base, stand and slab; without it all "
               "heights of the modules change.")
    for each in wall.clearances:
        stands = wall.standing and each.kind == "module"
        yield f"Clear space of a {each.kind}: {_space(each, stands)}."


def _space(each: ClearanceJson, standing: bool) -> str:
    floor = (each.floor_source if standing
             else f"{each.floor_mm} to the floor ({each.floor_source})")
    return (f"{each.side_mm} left and right ({each.side_source}), {each.top_mm} above "
            f"({each.top_source}), {floor}")
