"""From the walls of a finished estimate to their JSON form; nothing is computed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Literal, cast

from estimator.design.siting.clearances import Clearance
from estimator.design.siting.shapes import Rect
from estimator.design.siting.wall_layout import Placed, WallLayout
from estimator.papers import contract_walls as c


def walls_json(walls: Mapping[str, WallLayout]) -> tuple[c.WallJson, ...]:
    """Return every wall that is set out, by its subject."""
    return tuple(_wall(subject, wall) for subject, wall in walls.items())


def _wall(subject: str, wall: WallLayout) -> c.WallJson:
    return c.WallJson(
        subject=cast(Literal["storage", "converter"], subject), origin=c.ORIGIN,
        width_mm=wall.wall.width_mm, height_mm=wall.wall.height_mm,
        obstacles=tuple(
            c.ObstacleJson(name=each.name, **_sides(each.rect)) for each in wall.wall.obstacles),
        placed=tuple(_placed(each) for each in wall.placed),
        clearances=tuple(_clearances(wall)), standing=wall.standing, base_mm=wall.base_mm,
        searched=wall.searched,
    )


def _placed(each: Placed) -> c.PlacedJson:
    return c.PlacedJson(
        **_sides(each.body), name=each.name, kind=each.kind, stack=each.stack, level=each.level,
        clear=c.RectJson(**_sides(each.clear)),
        bracket=None if each.bracket is None else c.RectJson(**_sides(each.bracket)),
        bracket_known=each.bracket_known,
        holes=tuple((hole.x_mm, hole.y_mm) for hole in each.holes),
    )


def _clearances(wall: WallLayout) -> Iterator[c.ClearanceJson]:
    kinds: tuple[tuple[Literal["module", "converter"], Clearance | None], ...] = (
        ("module", wall.module_clearance), ("converter", wall.converter_clearance))
    for kind, clear in kinds:
        if clear is not None:
            yield c.ClearanceJson(
                kind=kind, side_mm=clear.side_mm, side_source=clear.side_source,
                top_mm=clear.top_mm, top_source=clear.top_source, floor_mm=clear.floor_mm,
                floor_source=clear.floor_source, between_mm=clear.between_mm,
                between_source=clear.between_source)


def _sides(rect: Rect) -> dict[str, int]:
    return {"x_mm": rect.x_mm, "y_mm": rect.y_mm, "width_mm": rect.width_mm,
            "height_mm": rect.height_mm}
