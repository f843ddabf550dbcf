"""The design of a job: its kit and its planes, laid on the sheet as facts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from catalogue.price_book import PriceBook
from estimator.design.facts import with_facts
from estimator.design.kit import Kit, choose_kit, kit_facts
from estimator.design.plane_design import PlaneDesign, design_plane
from estimator.design.sheet import Detail, FactSheet

RAFTERS = "plane.rafter_spacing_m"
ON_RAFTERS = ("plane.fixings", "plane.fixing_step_m")  # what an assumed spacing makes assumed too


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
    facts: list[dict[str, Any]] = []
    for i, (plane, env) in enumerate(zip(planes, sheet.scopes["plane"], strict=True)):
        guessed = RAFTERS in env.get("@assumed", ())
        for path in plane.facts:
            evidence = "assumed" if guessed and path in ON_RAFTERS else ""
            more[f"plane[{i}].{path.removeprefix('plane.')}"] = Detail(
                "computed", evidence, "roof arithmetic")
        marks = {*env.get("@assumed", ()), *(ON_RAFTERS if guessed else ())}
        facts.append({**plane.facts, "@assumed": marks})
    return Design(kit, planes), with_facts(sheet, values, tuple(facts), more)
