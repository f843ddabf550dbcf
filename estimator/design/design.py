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
    from estimator.design.rail_cut import RailCut

RAFTERS = "plane.rafter_spacing_m"
ON_RAFTERS = ("plane.fixings", "plane.fixing_step_m")  # what an assumed spacing makes assumed too


@dataclass(frozen=True)
class Design:
    """The chosen kit, each plane's design in the order of the survey, and the cut of the rails."""

    kit: Kit
    planes: tuple[PlaneDesign, ...]
    rails: RailCut | None = None


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
    on_offer = choosing.on_offer if choosing else prices
    rails, shares = _rails(planes, sheet, kit, on_offer) if envs else (None, [])
    more: dict[str, Detail] = dict(details)
    facts: list[dict[str, Any]] = []
    for i, (plane, env) in enumerate(zip(planes, sheet.scopes["plane"], strict=True)):
        guessed = RAFTERS in env.get("@assumed", ())
        told = {**plane.facts, **shares[i]}
        for path in told:
            evidence = "assumed" if guessed and path in ON_RAFTERS else ""
            more[f"plane[{i}].{path.removeprefix('plane.')}"] = Detail(
                "computed", evidence, "roof arithmetic")
        marks = {*env.get("@assumed", ()), *(ON_RAFTERS if guessed else ())}
        facts.append({**told, "@assumed": marks})
    return Design(kit, planes, rails), with_facts(sheet, values, tuple(facts), more)


def _planes(
    envs: Sequence[Environment], kit: Kit, prices: PriceBook
) -> tuple[PlaneDesign, ...]:
    # The roof's arithmetic loads with the first roof: many a job is storage alone.
    from estimator.design.plane_design import design_plane

    return tuple(design_plane(env, kit, prices) for env in envs)


def _rails(
    planes: Sequence[PlaneDesign], sheet: FactSheet, kit: Kit, prices: PriceBook
) -> tuple[RailCut | None, list[dict[str, Any]]]:
    """Return the cut of the job's rails, and what falls to each plane as facts."""
    from estimator.design.rail_cut import cut_rails, rail_facts

    rail = kit.items["rail"]
    cut = cut_rails(planes, sheet.names["plane"], rail, prices, sheet.job)
    return cut, rail_facts(planes, cut, rail)
