"""The planes of a judged job as they are drawn: size, edge, what is on them, panels, rails."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, cast

from catalogue.items import Item
from catalogue.specs import MountingSpec
from estimator.design.plane_design import PlaneDesign, field_of, rail_rule
from estimator.design.roof import Field
from estimator.design.set_out import LineAt, PanelAt, in_strings, lines_at, panel_order
from estimator.design.sheet import Environment, FactSheet, Unknown
from estimator.survey.group import Obstruction

RAFTERS = "plane.rafter_spacing_m"


@dataclass(frozen=True)
class PlaneSetOut:
    """One plane with everything that goes on it.

    Attributes:
        plane: its number within the survey, from 0.
        field: size, clear edge and gap; None where the size is not known.
        facts: those that the drawing names, None where one is not known.
        fixings: how many are counted and priced.
        step_m: most distance between two of them; 0 without rails.
        rafters_assumed: whether nobody has seen the rafter spacing.
    """

    plane: int
    name: str
    field: Field | None
    portrait: bool
    obstructions: tuple[Obstruction, ...]
    panels: tuple[PanelAt, ...]
    lines: tuple[LineAt, ...]
    facts: Mapping[str, Any]
    fixings: int
    step_m: Fraction
    rafters_assumed: bool


def roofs_set_out(
    planes: Sequence[PlaneDesign], sheet: FactSheet, rail: Item | None,
    strings: Iterable[Mapping[int, tuple[int, ...]]],
) -> tuple[PlaneSetOut, ...]:
    """Return every plane that has panels laid out, in the order of the survey.

    Args:
        planes: the planes' designs.
        sheet: all facts, those that the checks worked out among them.
        rail: the kit's rail.
        strings: of the planes that face alike, as `Outcome.strings`.
    """
    laid = {i: plane.layout for i, plane in enumerate(planes)
            if plane.layout is not None and plane.layout.panels}
    told = in_strings(
        {i: layout.panels for i, layout in laid.items()},
        [{i: lengths for i, lengths in group.items() if i in laid} for group in strings])
    return tuple(
        _plane(i, planes[i], sheet, rail,
               tuple(PanelAt(box, *at)
                     for box, at in zip(panel_order(layout), told[i], strict=True)))
        for i, layout in laid.items())


def _plane(
    at: int, plane: PlaneDesign, sheet: FactSheet, rail: Item | None, panels: tuple[PanelAt, ...]
) -> PlaneSetOut:
    env, layout = sheet.scopes["plane"][at], plane.layout
    assert layout is not None
    field = field_of(env)
    fixings, step = _known(env, "plane.fixings"), _known(env, "plane.fixing_step_m")
    lines: tuple[LineAt, ...] = ()
    if plane.rails is not None and rail is not None and fixings is not None:
        rule = rail_rule(env, cast(MountingSpec, rail.spec))
        lines = lines_at(layout, rule, fixings, Fraction(step or 0))
    return PlaneSetOut(
        at, sheet.names["plane"][at], None if isinstance(field, Unknown) else field,
        layout.portrait, tuple(env.get("@obstructions", ())), panels, lines,
        {name: _known(env, f"plane.{name}")
         for name in ("kind", "covering", "pitch_deg", "azimuth_deg", "rafter_spacing_m")},
        fixings or 0, Fraction(step or 0), RAFTERS in env.get("@assumed", ()))


def _known(env: Environment, path: str) -> Any:
    value = env[path]
    return None if isinstance(value, Unknown) else value
