"""From the cuts of a finished estimate to their JSON form; nothing is computed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from estimator.bill import BillLine
from estimator.buying.cutting.lines import LinePlan
from estimator.papers import contract_cuts as c

if TYPE_CHECKING:
    from estimator.design.rail_cut import RailCut  # the arithmetic of roofs loads with the first


def cuts_json(cuts: Sequence[RailCut | BillLine]) -> tuple[c.CutJson, ...]:
    """Return every cut; the bars of the job are numbered from 1 in the order of the cuts."""
    found: list[c.CutJson] = []
    for cut in cuts:
        found.append(_cut(cut, 1 + sum(len(each.bars) for each in found)))
    return tuple(found)


def _cut(cut: RailCut | BillLine, first: int) -> c.CutJson:
    if not isinstance(cut, BillLine):
        names = {item.code: item.name for item in (cut.rail, cut.other) if item is not None}
        return c.CutJson(subject="rails", kind="rail", kerf_mm=cut.kerf_mm,
                         joints_clear=cut.lawful, **_plan(cut.plan, names, first))
    if cut.cut is None:
        raise ValueError(f"line {cut.line} of the bill is not cut from bars")
    return c.CutJson(subject=cut.item.name, kind="run", kerf_mm=cut.cut.cut.kerf_mm,
                     joints_clear=True, **_plan(cut.cut, {cut.item.code: cut.item.name}, first))


def _plan(plan: LinePlan, names: Mapping[str, str], first: int) -> dict[str, Any]:
    return {
        "bars": tuple(
            c.CutBarJson(
                number=number, code=bar.code, name=names[bar.code], length_mm=bar.length_mm,
                pieces=tuple(c.CutPieceJson(label=each.label, length_mm=each.length_mm,
                                            ends_at_mm=each.ends_at_mm) for each in bar.cuts),
                offcut_mm=bar.offcut_mm, kept=bar.kept)
            for number, bar in enumerate(plan.cut.bars, start=first)),
        "lines": tuple(c.JoinedLineJson(label=line.label, pieces_mm=line.pieces_mm)
                       for line in plan.lines),
        "joiners": plan.joiners, "scrap_mm": plan.cut.scrap_mm, "kept_mm": plan.cut.kept_mm,
        "cost": int(plan.cost_minor), "bound": int(plan.bound_minor),
        "method": f"{plan.method}; {plan.cut.method}",
    }
