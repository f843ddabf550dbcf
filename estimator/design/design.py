"""The design of a job: its kit and its planes, laid on the sheet as facts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from catalogue.price_book import PriceBook
from estimator.buying.swaps import Choosing
from estimator.design.facts import with_facts
from estimator.design.kit import Kit, choose_kit, kit_facts, with_stand_ins
from estimator.design.sheet import Detail, Environment, FactSheet

if TYPE_CHECKING:
    from estimator.design.plane_design import PlaneDesign

RAFTERS = "plane.rafter_spacing_m"
ON_RAFTERS = ("plane.fixings", "plane.fixing_step_m")  # what an assumed spacing makes assumed too


@dataclass(frozen=True)
class Design:
    """The chosen kit and each plane's design, in the order of the survey."""

    kit: Kit
    planes: tuple[PlaneDesign, ...]


def design_job(
    sheet: FactSheet, prices: PriceBook, choosing: Choosing | None = None
) -> tuple[Design, FactSheet]:
    """Return the design, and the sheet with the kit's and the planes' facts added.

    Args:
        choosing: which items stand in for others, and the prices to choose by then.

    Raises:
        ProblemsFound: K001 for a wished item that the catalogue does not hold.
    """
    kit = choose_kit(sheet, prices)
    if choosing is not None:
        kit = with_stand_ins(kit, choosing.swaps, prices)
    values, details = kit_facts(kit)
    envs = [{**env, **values} for env in sheet.scopes["plane"]]
    planes = _planes(envs, kit, choosing.prices if choosing else prices) if envs else ()
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
