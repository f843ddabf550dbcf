"""One sheet for each roof plane: panels in their strings, rails, fixings, edge, obstructions."""

from __future__ import annotations

from collections.abc import Sequence

from estimator.papers.contract_roofs import PanelJson, PlaneJson
from estimator.papers.digits import plain
from estimator.papers.drawings.dimensions import View, across, up
from estimator.papers.drawings.page import (
    DASHES,
    FIELD,
    MIDDLE,
    THICK,
    THIN,
    Page,
    Title,
    one_line,
    scale_for,
)
from estimator.papers.drawings.things import lettered, name_thing

ROOM_LEFT, ROOM_BELOW, ROOM_ABOVE, ROOM_RIGHT = 20.0, 24.0, 12.0, 6.0


def roof_page(plane: PlaneJson, title: Title) -> Page:
    """Return the sheet of a plane."""
    left, top, right, bottom = FIELD
    low_x, low_y, high_x, high_y = _outline(plane)
    scale = scale_for(high_x - low_x, high_y - low_y, (
        right - left - ROOM_LEFT - ROOM_RIGHT, bottom - top - ROOM_BELOW - ROOM_ABOVE))
    view = View(left + ROOM_LEFT - low_x / scale, bottom - ROOM_BELOW + low_y / scale, scale)
    page = Page(title, scale)
    _notes(page, plane)
    _plane(page, view, plane)
    _rafters(page, view, plane)
    for panel in plane.panels:
        _panel(page, view, panel)
    _strings(page, view, plane.panels)
    _rails(page, view, plane)
    _things(page, view, plane)
    _dimensions(page, view, plane)
    for letter, thing in lettered(plane.obstacles):
        name_thing(page, view, letter, thing)
    return page


def _outline(plane: PlaneJson) -> tuple[int, int, int, int]:
    """Return what the drawing must hold: the plane, or the panels where its size is not known."""
    if plane.width_mm is not None and plane.height_mm is not None:
        return 0, 0, plane.width_mm, plane.height_mm
    return _array(plane.panels)


def _array(panels: Sequence[PanelJson]) -> tuple[int, int, int, int]:
    return (min(p.x_mm for p in panels), min(p.y_mm for p in panels),
            max(p.x_mm + p.width_mm for p in panels), max(p.y_mm + p.height_mm for p in panels))


def _plane(page: Page, view: View, plane: PlaneJson) -> None:
    if plane.width_mm is None or plane.height_mm is None:
        return
    wide, high, edge = (n / view.scale for n in (plane.width_mm, plane.height_mm, plane.edge_mm))
    page.box(view.x(0), view.y(plane.height_mm), wide, high, line=THICK, what="plane")
    page.legend("thick box", "edge of the plane")
    if plane.edge_mm:
        page.box(view.x(plane.edge_mm), view.y(plane.height_mm - plane.edge_mm), wide - 2 * edge,
                 high - 2 * edge, line=THIN, dash=DASHES["chain"], what="edge zone")
        page.legend("chain", f"clear edge, {plane.edge_mm} mm: no panel beyond it")
    page.words(view.x(plane.width_mm / 2), view.y(plane.height_mm) - 1.4, _side(plane, top=True),
               2.4, "middle")
    page.words(view.x(plane.width_mm / 2), view.y(0) + 3.4, _side(plane, top=False), 2.4, "middle")


def _side(plane: PlaneJson, *, top: bool) -> str:
    if plane.kind in ("flat", "ground"):
        return "" if top else "side that is faced"
    return "ridge" if top else "eaves"


def _rafters(page: Page, view: View, plane: PlaneJson) -> None:
    if plane.height_mm is None or not plane.lines:
        return
    for mark in sorted({line.x_mm + x for line in plane.lines for x in line.fixings_mm}):
        page.line(view.x(mark), view.y(0), view.x(mark), view.y(plane.height_mm), dash="0.4 1.2",
                  what="rafter")
    page.legend("dotted", "rafter as reckoned: find it on the roof")


def _panel(page: Page, view: View, panel: PanelJson) -> None:
    wide, high = panel.width_mm / view.scale, panel.height_mm / view.scale
    page.box(view.x(panel.x_mm), view.y(panel.y_mm + panel.height_mm), wide, high, fill="white",
             what="panel")
    page.legend("thin box", "panel; 2.5 is the fifth of string 2")


def _strings(page: Page, view: View, panels: Sequence[PanelJson]) -> None:
    """Write each panel's string and place, and join the panels of a string in their order."""
    for number in sorted({panel.string for panel in panels} - {0}):
        points = [_centre(view, panel) for panel in sorted(
            (each for each in panels if each.string == number), key=lambda each: each.place)]
        page.path(points, line=THIN, dash=DASHES["dashed"], what=f"string {number}")
        if len(points) > 1:
            page.dot(*points[0], 0.7, filled=False)
            page.dot(*points[-1], 0.7)
        page.legend("dashed", "panels of a string in order, from ring to dot; how they are wired "
                    "is the fitter's")
    for panel in panels:
        x, y = _centre(view, panel)
        words = f"{panel.string}.{panel.place}" if panel.string else "?"
        page.words(x, y - 1.3, words, 2.2, "middle", clear=True)


def _centre(view: View, panel: PanelJson) -> tuple[float, float]:
    return (view.x(panel.x_mm + panel.width_mm / 2), view.y(panel.y_mm + panel.height_mm / 2))


def _rails(page: Page, view: View, plane: PlaneJson) -> None:
    for line in plane.lines:
        y = view.y(line.y_mm)
        page.line(view.x(line.x_mm), y, view.x(line.x_mm + line.length_mm), y, line=MIDDLE,
                  what="rail")
        for at in line.fixings_mm:
            page.dot(view.x(line.x_mm + at), y, 0.55, what="fixing")
    if plane.lines:
        page.legend("line", "rail, drawn a quarter of a panel in: the panel maker's clamp zone "
                    "decides")
        page.legend("dot", "roof fixing on a rafter")


def _things(page: Page, view: View, plane: PlaneJson) -> None:
    for each in plane.obstacles:
        x, y = view.x(each.x_mm), view.y(each.y_mm + each.height_mm)
        wide, high = each.width_mm / view.scale, each.height_mm / view.scale
        page.box(x, y, wide, high, fill="hatch", what="obstruction")
        page.legend("hatch", "obstruction; its letter stands in the notes")


def _dimensions(page: Page, view: View, plane: PlaneJson) -> None:
    left, low, right, high = _array(plane.panels)
    x_marks, y_marks = [left, right], [low, high]
    if plane.width_mm is not None and plane.height_mm is not None:
        x_marks = [0, *x_marks, plane.width_mm]
        y_marks = [0, *y_marks, plane.height_mm]
    bottom = view.y(min(0, low) if plane.height_mm is not None else low)
    edge = view.x(min(0, left) if plane.width_mm is not None else left)
    end = across(page, view, x_marks, bottom + 8, to=bottom + 4.2)
    if plane.width_mm is not None:
        across(page, view, [0, plane.width_mm], end + 3.5, to=bottom + 4.2)
    out = up(page, view, y_marks, edge - 6, to=edge - 1)
    if plane.height_mm is not None:
        up(page, view, [0, plane.height_mm], out - 3.5, to=edge - 1)


def _notes(page: Page, plane: PlaneJson) -> None:
    page.note(f"Plane {plane.name}", 3.2, bold=True)
    page.note(one_line((
        plane.kind, plane.covering,
        f"pitch {plain(plane.pitch_deg)}°" if plane.pitch_deg is not None else "pitch not known",
        f"faces {plain(plane.azimuth_deg)}° from north" if plane.azimuth_deg is not None else "")))
    if plane.width_mm is None or plane.height_mm is None:
        page.note("The plane has not been measured: the panels are drawn, not where they lie on "
                  "it, nor whether they fit.", bold=True)
    first = plane.panels[0]
    page.note(f"{len(plane.panels)} panels of {first.width_mm} x {first.height_mm} mm as they lie")
    for number in sorted({panel.string for panel in plane.panels}):
        count = sum(panel.string == number for panel in plane.panels)
        page.note(f"String {number}: {count} panels here" if number
                  else f"{count} panels in no string yet: the checks say why", gap=0.2)
    _fixing_notes(page, plane)
    page.note("Lengths in mm on the slope, not on plan. Panels are live whenever light falls on "
              "them: never part a plug under load. Work on the roof only from a tagged scaffold.")
    for letter, each in lettered(plane.obstacles):
        page.note(f"{letter}: {each.name}, {each.width_mm} x {each.height_mm} mm at "
                  f"{each.x_mm}/{each.y_mm}", 2.2, gap=0.2)


def _fixing_notes(page: Page, plane: PlaneJson) -> None:
    if not plane.lines:
        return
    drawn = sum(len(line.fixings_mm) for line in plane.lines)
    spacing = "not known" if plane.rafter_spacing_mm is None else (
        f"{plane.rafter_spacing_mm} mm" + (", assumed" if plane.rafters_assumed else ""))
    page.note(f"{plane.fixings} roof fixings, at most {plane.step_mm} mm apart; rafters {spacing}")
    if drawn < plane.fixings:
        page.note(f"{drawn} are drawn: the others are for rafters that begin elsewhere, since the "
                  "first rafter is where it is.", 2.2)
