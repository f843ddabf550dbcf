"""The worked roof block through the program's own rules: what it needs and what is done.

Two rows of six upright panels of 1.134 x 1.762 m on interlocking tile, rafters at 0.60 m, one
string of 12. Worked example, invented figures; the counts of rails and fixings are worked by hand
in tests/design. The price book is empty, so every need shows as a gap with what is asked of it.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal as D
from functools import cache
from typing import Any

import pytest

from catalogue.price_book import PriceBook
from estimator.design.sheet import FactSheet
from estimator.rules.engine import run_rules
from estimator.rules.results import RuleResults
from tests.rules.rule_cases import practice_values, rule_book

JOB: dict[str, Any] = {
    "job.panels": True, "job.converter": False, "job.storage": False, "job.backup": False,
    "kit.panel.code": "P-430", "kit.panel.mass_kg": D("21.5"), "kit.panel.width_mm": D(1134),
    "kit.panel.height_mm": D(1762), "kit.panel.frame_mm": D(35), "kit.panel.voc_v": D(41),
    "kit.panel.vmp_v": D(34), "kit.panel.isc_a": D(14), "kit.panel.imp_a": D(13),
    "kit.panel.plug_family": "family one", "kit.rail.code": "R-33", "kit.rail.max_span_m": D("1.2"),
    "converter.place": "inside", "wishes.mesh": False, "wishes.panel_electronics": False,
    "site.building": "semi", "site.build_year": 1995, "site.storeys": 2, "site.bats": False,
    "site.birds_nesting": False, "site.listed": False, "site.conservation_area": False,
    "site.asbestos_suspected": False, "site.coast_distance_km": D(60),
    "supply.lightning_protection": False, "supply.earthing": "TN-S",
    # Two carry a panel of 21.5 kg: for wind and size, common practice, no source.
    "lift.panel_people": 2, "lift.people": 2, "lift.aid": False,
}
PLANE: dict[str, Any] = {
    "plane.kind": "pitched", "plane.covering": "concrete interlocking", "plane.pitch_deg": D(35),
    "plane.rafter_spacing_m": D("0.6"), "plane.uplift_kpa": D("1.2"), "plane.roof_sound": True,
    "plane.spare_tiles": True, "plane.shade": "none", "plane.scaffold_ground": "clear",
    "plane.scaffold_sides": 1, "plane.array_bonded": True, "plane.fits": True,
    "plane.dc_loft_m": D(6), "plane.dc_outside_m": D(4),
    "plane.panels_placed": 12, "plane.block_rows": 2, "plane.block_columns": 6,
    "plane.block_width_m": D("6.904"), "plane.block_height_m": D("3.544"),
    "plane.array_perimeter_m": D("20.896"), "plane.rail_lines": 4, "plane.rail_sticks": 9,
    "plane.rail_other_sticks": 0, "plane.joiners": 8, "plane.fixings": 28,
    "plane.fixing_item": "HOOK-T", "plane.fixing_screws": 2, "plane.strings_used": 1,
    "plane.panels_per_string": 12, "plane.dc_mm2": D(4),
}
# Worked by hand. Cable 2 x (6 + 4 + 1) + 2; bond 6 + 4 + 1 + 2; screws 28 x 2 x 1.05 = 58.8;
# tiles 28 x 2 x 0.03 = 1.68; labels of the route 10 / 5 + 1.
NEEDS = {
    "pv-panel": 12, "pv-roof-fixing": 28, "pv-fixing-screw": 59, "pv-replacement-tile": 2,
    "pv-rail": 9, "pv-rail-joiner": 8, "pv-end-clamp": 8, "pv-middle-clamp": 20,
    "pv-rail-cap": 8, "pv-rail-earth-lug": 4, "pv-roof-entry": 1, "pv-dc-cable": 22,
    "pv-dc-row-jump": 2,
    # Outside, in conduit: 4 m x 1.05, held at every 0.4 m.
    "pv-dc-conduit": D("4.2"), "pv-dc-saddle": 10,
    "pv-plug-array": 2, "pv-dc-isolator": 1, "pv-dc-surge": 1, "pv-tie": 24, "pv-array-bond": 13,
    "pv-label-sign": 1, "pv-label-dc-isolator": 1, "pv-label-unplug": 1, "pv-label-route": 3,
    "pv-scaffold-side": 1,
}
# Two isolators' worth of time: the isolator and the surge set.
TASKS = {
    "scaffold-check": 1, "panels-to-scaffold": 12, "set-out": 1, "fixing-interlocking": 28,
    "rail": 4, "panel-clamp": 12, "roof-entry": 1, "dc-run-loft": 6, "dc-run-outside": 4,
    "isolator": 2, "string-test": 1,
}


@cache
def worked_block(**changes: Any) -> RuleResults:
    """Return the results of the block, with some facts of the plane changed (None = unknown)."""
    job = {**practice_values(), **JOB}
    plane = {**PLANE, **{f"plane.{name}": value for name, value in changes.items()}}
    known = {path: value for path, value in plane.items() if value is not None}
    sheet = FactSheet(
        frozenset({"panels"}), job, {"plane": ({**job, **known},), "leg": ()},
        {"plane": ("rear",), "leg": ()}, {},
    )
    return run_rules(rule_book(), sheet, PriceBook.of(date(2026, 7, 1), [], []))


def needs(results: RuleResults) -> dict[str, D]:
    return {each.rule: each.quantity for each in results.gaps if each.rule.startswith("pv-")}


def test_block_needs_what_was_worked_by_hand_and_no_more() -> None:
    assert needs(worked_block()) == {rule: D(n) for rule, n in NEEDS.items()}


def test_block_has_its_tasks_and_no_other() -> None:
    done: dict[str, D] = {}
    for task in worked_block().tasks:
        if task.reason.rule.startswith("pv-"):
            done[task.norm] = done.get(task.norm, D(0)) + task.units
    assert done == {norm: D(units) for norm, units in TASKS.items()}


def test_block_that_is_fully_surveyed_asks_nothing_of_the_roof() -> None:
    results = worked_block()
    assert [q.fact for q in results.questions if q.fact.startswith("plane")] == []
    assert [r.id for r in results.risks if r.id.startswith("pv-")] == []


def test_a_sound_block_over_interlocking_tile_is_flagged_for_nothing_by_the_rules() -> None:
    # Its weight and the wind are checked by the design, before the rules.
    assert [f.code for f in worked_block().findings if f.code.startswith("pv-")] == []


@pytest.mark.parametrize(
    ("covering", "norm", "flashings", "spares"),
    [
        ("clay pantile", "fixing-pantile", 0, 2),  # 28 x 2 x 0.03 = 1.68
        ("plain tile", "fixing-plain", 28, 6),  # 28 x 6 x 0.03 = 5.04
        ("natural slate", "fixing-slate", 28, 70),  # 28 x 2.5
        ("metal", "fixing-interlocking", 0, 0),
    ],
)
def test_covering_decides_flashings_spares_and_pace(
    covering: str, norm: str, flashings: int, spares: int
) -> None:
    results = worked_block(covering=covering)
    found = needs(results)
    assert found.get("pv-flashing", D(0)) == flashings
    spare = found.get("pv-replacement-tile", D(0)) + found.get("pv-replacement-slate", D(0))
    assert spare == spares
    assert [t.norm for t in results.tasks if t.norm.startswith("fixing-")] == [norm]


def test_unknown_covering_leaves_its_lines_out_and_asks() -> None:
    results = worked_block(covering=None, fixing_item=None)
    assert "pv-flashing" not in needs(results)
    assert "pv-replacement-tile" not in needs(results)
    assert "plane[0].covering" in [q.fact for q in results.questions]
    assert "pv-risk-covering" in [r.id for r in results.risks]


def test_thatch_stops_the_job() -> None:
    stops = [f.code for f in worked_block(covering="thatch").findings if f.level == "stop"]
    assert stops == ["pv-thatch"]
