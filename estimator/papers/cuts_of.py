"""From the cut of a finished estimate to its JSON form; nothing is computed."""

from __future__ import annotations

from estimator.design.rail_cut import RailCut
from estimator.papers import contract_cuts as c


def cuts_json(cut: RailCut) -> tuple[c.CutJson, ...]:
    """Return the cut of the rails, bars numbered from 1 in the order in which they are cut."""
    names = {item.code: item.name for item in (cut.rail, cut.other) if item is not None}
    plan = cut.plan
    bars = tuple(
        c.CutBarJson(
            number=number, code=bar.code, name=names[bar.code], length_mm=bar.length_mm,
            pieces=tuple(c.CutPieceJson(label=each.label, length_mm=each.length_mm,
                                        ends_at_mm=each.ends_at_mm) for each in bar.cuts),
            offcut_mm=bar.offcut_mm, kept=bar.kept)
        for number, bar in enumerate(plan.cut.bars, start=1))
    lines = tuple(c.JoinedLineJson(label=line.label, pieces_mm=line.pieces_mm)
                  for line in plan.lines)
    return (c.CutJson(
        subject="rails", kerf_mm=cut.kerf_mm, bars=bars, lines=lines, joiners=plan.joiners,
        scrap_mm=plan.cut.scrap_mm, kept_mm=plan.cut.kept_mm, cost=int(plan.cost_minor),
        bound=int(plan.bound_minor), method=f"{plan.method}; {plan.cut.method}",
        joints_clear=cut.lawful),)
