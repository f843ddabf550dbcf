"""All drawings of an estimate as one pack, numbered through."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

from estimator.papers.contract import EstimateJson
from estimator.papers.drawings.page import Page, Title
from estimator.papers.drawings.roof_drawing import roof_page
from estimator.papers.drawings.wall_drawing import lift_plans, wall_page


@dataclass(frozen=True, slots=True)
class Drawing:
    """One drawing: the stem of its file, what it shows, and its SVG."""

    stem: str
    shows: str
    svg: str


def drawings_of(estimate: EstimateJson, firm: str) -> tuple[Drawing, ...]:
    """Return the drawings of an estimate: walls, roof planes, what is cut; none for nothing."""
    sheets = list(_sheets(estimate))
    made = []
    for number, (stem, shows, page) in enumerate(sheets, 1):
        title = Title(
            shows, firm, estimate.job.title, estimate.job.address,
            f"{estimate.job.id} / {estimate.revision}", estimate.on, number, len(sheets))
        made.append(Drawing(stem, shows, page(title).svg()))
    if estimate.cuts or estimate.cables:
        from estimator.papers.cut_drawing import cuts_svg

        made.append(Drawing("cuts", "What is cut from bars and drums", cuts_svg(estimate)))
    return tuple(made)


def _sheets(estimate: EstimateJson) -> Iterator[tuple[str, str, Callable[[Title], Page]]]:
    lifts = lift_plans(estimate)
    for wall in estimate.walls:
        yield (f"wall-{wall.subject}", f"Wall for the {wall.subject}",
               partial(wall_page, wall, lifts=lifts))
    for at, plane in enumerate(estimate.roofs, 1):
        yield f"roof-{at}", f"Roof plane {plane.name}", partial(roof_page, plane)
