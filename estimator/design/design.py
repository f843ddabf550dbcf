"""The design of a job: its kit and its planes, laid on the sheet as facts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from catalogue.price_book import PriceBook
from estimator.buying.swaps import for_design
from estimator.design.facts import with_facts
from estimator.design.kit import Kit, choose_kit, kit_facts, with_stand_ins
from estimator.design.sheet import Detail, Environment, FactSheet

if TYPE_CHECKING:
    from estimator.design.plane_design import PlaneDesign

NO_SWAPS: Mapping[str, str] = MappingProxyType({})
RAFTERS = "plane.rafter_spacing_m"
ON_RAFTERS = ("plane.fixings", "plane.fixing_step_m")  # what an assumed spacing makes assumed too


@dataclass(frozen=True)
class Design:
    """The chosen kit and each plane's design, in the order of the survey."""

    kit: Kit
    planes: tuple[PlaneDesign, ...]


def design_job(
    sheet: FactSheet, prices: PriceBook, swaps: Mapping[str, str] = NO_SWAPS
) -> tuple[Design, FactSheet]:
    """Return the design, and the sheet with the kit's and the planes' facts added.

    Args:
        swaps: code of an item -> code of the one that stands in for it.

    Raises:
        ProblemsFound: K001 for a wished item that the catalogue does not hold.
    """
    kit = with_stand_ins(choose_kit(sheet, prices), swaps, prices)
    values, details = kit_facts(kit)
    envs = [{**env, **values} for env in sheet.scopes["plane"]]
    planes = _planes(envs, kit, for_design(prices, swaps)) if envs else ()
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


def _planes(
    envs: Sequence[Environment], kit: Kit, prices: PriceBook
) -> tuple[PlaneDesign, ...]:
    # The roof's arithmetic loads with the first roof: many a job is storage alone.
    from estimator.design.plane_design import design_plane

    return tuple(design_plane(env, kit, prices) for env in envs)
