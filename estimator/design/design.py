"""The design of a job: its kit and its planes, laid on the sheet as facts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from catalogue.price_book import PriceBook
from estimator.design.facts import with_facts
from estimator.design.kit import Kit, choose_kit, kit_facts
from estimator.design.plane_design import PlaneDesign, design_plane
from estimator.design.sheet import Detail, FactSheet


@dataclass(frozen=True)
class Design:
    """The chosen kit and each plane's design, in the order of the survey."""

    kit: Kit
    planes: tuple[PlaneDesign, ...]


def design_job(sheet: FactSheet, prices: PriceBook) -> tuple[Design, FactSheet]:
    """Return the design, and the sheet with the kit's and the planes' facts added.

    Raises:
        ProblemsFound: K001 for a wished item that the catalogue does not hold.
    """
    kit = choose_kit(sheet, prices)
    values, details = kit_facts(kit)
    planes = tuple(
        design_plane({**env, **values}, kit, prices) for env in sheet.scopes["plane"]
    )
    more: dict[str, Detail] = dict(details)
    for i, plane in enumerate(planes):
        for path in plane.facts:
            key = f"plane[{i}].{path.removeprefix('plane.')}"
            more[key] = Detail("computed", "", "roof arithmetic")
    facts: tuple[dict[str, Any], ...] = tuple(dict(plane.facts) for plane in planes)
    return Design(kit, planes), with_facts(sheet, values, facts, more)
