"""From the planes of a finished estimate to their JSON form; nothing is computed."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Any

from catalogue.money import round_half_up
from estimator.design.roof import Box
from estimator.design.roof_set_out import PlaneSetOut
from estimator.papers import contract_roofs as c
from estimator.papers.contract_walls import ObstacleJson


def roofs_json(planes: Iterable[PlaneSetOut]) -> tuple[c.PlaneJson, ...]:
    """Return every plane that has panels on it."""
    return tuple(_plane(plane) for plane in planes)


def _plane(plane: PlaneSetOut) -> c.PlaneJson:
    facts, field = plane.facts, plane.field
    spacing = facts["rafter_spacing_m"]
    return c.PlaneJson(
        plane=plane.plane, name=plane.name, kind=facts["kind"] or "",
        covering=facts["covering"] or "", pitch_deg=facts["pitch_deg"],
        azimuth_deg=facts["azimuth_deg"], origin=c.ORIGIN,
        width_mm=None if field is None else mm(field.eaves_m),
        height_mm=None if field is None else mm(field.slope_m),
        edge_mm=0 if field is None else mm(field.edge_m), portrait=plane.portrait,
        obstacles=tuple(
            ObstacleJson(name=each.name, **_sides(Box(
                Fraction(each.x_m), Fraction(each.y_m), Fraction(each.width_m),
                Fraction(each.height_m))))
            for each in plane.obstructions),
        panels=tuple(
            c.PanelJson(string=each.string, place=each.place, **_sides(each.box))
            for each in plane.panels),
        lines=tuple(
            c.RailLineJson(
                x_mm=mm(line.x_m), y_mm=mm(line.y_m), length_mm=mm(line.length_m),
                fixings_mm=tuple(mm(x) for x in line.fixings_m))
            for line in plane.lines),
        rafter_spacing_mm=None if spacing is None else mm(spacing),
        rafters_assumed=plane.rafters_assumed, fixings=plane.fixings, step_mm=mm(plane.step_m),
    )


def mm(metres: Any) -> int:
    """Return whole millimetres, halves away from zero."""
    return round_half_up(Fraction(metres) * 1000)


def _sides(box: Box) -> dict[str, int]:
    return {"x_mm": mm(box.x_m), "y_mm": mm(box.y_m), "width_mm": mm(box.width_m),
            "height_mm": mm(box.height_m)}
