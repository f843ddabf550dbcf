"""The worked storage job through the program's own rules: what it needs and what is done.

Three modules hung in a garage of dense brick, converter outside through the wall, 15 m to the
meter, board full. Worked example, invented figures. The price book is empty, so every need shows
as a gap with what is asked of the item.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from functools import cache
from typing import Any

import pytest

from catalogue.money import Money
from catalogue.price_book import PriceBook
from estimator.design.sheet import FactSheet
from estimator.rules.engine import run_rules
from estimator.rules.results import Gap, RuleResults
from tests.rules.rule_cases import practice_values, rule_book

KIT: dict[str, Any] = {
    "kit.storage.code": "S-5", "kit.storage.mass_kg": Decimal(60), "storage.columns": 1,
    "kit.storage.bracket_holes": 4, "kit.storage.breaker_inside": True,
    # What the checks of the walls answer for dense brick: bolts, none of them to be tested.
    "storage.fixing_code": "BOLT-M8", "storage.fixing_resin_ml": Decimal(0),
    "storage.proof_tests": 0, "converter.fixing_code": "BOLT-M10",
    "converter.fixing_resin_ml": Decimal(0), "converter.proof_tests": 0,
    "kit.storage.needs_terminator": True, "kit.converter.code": "C-36",
    "kit.converter.phases": 1, "kit.converter.ac_w": Decimal(3680),
    "kit.converter.ac_a": Decimal(16), "kit.converter.device_a": Decimal(20),
    "kit.converter.rcd_type": "none", "kit.converter.wall_holes": 4,
    "kit.converter.clamp_lead_m": Decimal(10), "kit.converter.clamp_extension": "none",
    "kit.converter.clamp_extension_max_m": Decimal(0),
}
SURVEY: dict[str, Any] = {
    "storage.modules": 3, "storage.mount": "wall", "storage.place": "garage",
    "storage.wall": "dense brick", "storage.combustible_wall": False,
    "storage.habitable_behind": False, "storage.vehicle_access": False,
    "storage.house_alarm": "interlinked radio", "storage.rated_crossings": 0,
    "converter.place": "outside", "converter.wall": "dense brick",
    "converter.to_storage_m": Decimal(3), "converter.wall_crossings": 2,
    "converter.wall_thickness_mm": Decimal(300), "metering.route_m": Decimal(15),
    "board.spare_ways": 0, "board.condition": "sound", "supply.phases": 1,
    "supply.earthing": "TN-C-S", "supply.fuse_a": Decimal(100), "supply.looped": False,
    "supply.existing_generation_w": Decimal(0), "site.travel_min": Decimal(40),
}
# Two hang a module of 60 kg with an aid, and the converter (worked example, invented figures).
# One converter of 3680 W on one phase is 16 A: it may be fitted first (ENA G98).
JUDGED: dict[str, Any] = {
    "lift.storage_people": 2, "lift.converter_people": 2, "lift.people": 2, "lift.aid": True,
    "network.route": "inform after", "network.over_limit": False, "network.limiter": False,
}
# What the checks of the design work out: 12 m of 4 mm² rise 11 x 16 x 12 / 1000 = 2.1 V of 2.3 V.
SIZED: dict[str, Any] = {
    "circuit.flat_mm2": Decimal(4), "circuit.flat_clipped_a": Decimal(20),
    "circuit.flat_lengths": 1, "circuit.armoured_lengths": 0,
    "circuit.over_to_armoured": False, "backup.over_to_armoured": False,
    "circuit.rating_a": Decimal(20),
}
LEG = {"leg.run": "converter circuit", "leg.method": "clipped", "leg.length_m": Decimal(12)}

TASKS = {
    "load-van": 1, "travel": 2 * 40 * 2, "arrive": 1, "first-tests": 1, "bracket-solid": 3,
    "hang-module": 3, "link": 4, "mount-converter": 1, "core-brick": 2, "storage-terminate": 1,
    "sub-board": 1, "cable-clipped": 12, "isolator": 2, "data-meter": 1, "data-cable": 15,
    "online": 1, "tests-sheets": 1, "commission": 1, "show-customer": 1, "clear-site": 1,
    "office-pack": 1,
}
NEEDS = {
    "storage-module": "3", "storage-bracket": "3", "storage-fixing": "12",
    "converter-fixing": "4", "storage-power-link": "2", "storage-data-link": "2",
    "storage-converter-data-lead": "1", "storage-power-lead-outside": "1",
    "storage-terminator": "1", "metering-meter": "1", "metering-data-cable": "18.5",
    "crossing-sleeve": "2", "crossing-gland": "4", "sub-board-service-block": "2",
    "label-storage-sign": "2", "lifting-aid": "1",
    "circuit-cable-flat": "14.1",  # 12 x 1.05 + 2 x 0.75
}


@cache
def worked_job() -> RuleResults:
    job = {**practice_values(), **KIT, **SURVEY, **JUDGED, **SIZED}
    sheet = FactSheet(
        frozenset({"storage", "converter"}), job, {"leg": ({**job, **LEG},), "plane": ()},
        {"leg": ("leg 1",), "plane": ()}, {},
    )
    return run_rules(rule_book(), sheet, PriceBook.of(date(2026, 7, 1), [], []))


def gap(rule: str) -> Gap:
    found = [each for each in worked_job().gaps if each.rule == rule]
    assert len(found) == 1, f"{rule}: {len(found)} lines"
    return found[0]


def test_worked_job_has_its_tasks_and_no_other() -> None:
    done: dict[str, Decimal] = {}
    for task in worked_job().tasks:
        done[task.norm] = done.get(task.norm, Decimal(0)) + task.units
    assert done == {norm: Decimal(units) for norm, units in TASKS.items()}


@pytest.mark.parametrize(("rule", "quantity"), sorted(NEEDS.items()))
def test_worked_job_needs_what_was_worked_by_hand(rule: str, quantity: str) -> None:
    assert gap(rule).quantity == Decimal(quantity)


def test_clamp_of_the_worked_job_gives_way_to_the_meter() -> None:
    rules = {each.rule for each in worked_job().gaps}
    assert "metering-clamp" not in rules
    assert "metering-clamp-lengthened" not in rules


def test_boxed_data_lead_of_3_m_is_refused_and_one_of_4_m_would_do() -> None:
    assert gap("storage-converter-data-lead").requirement.at_least == (("length_m", 4),)


def test_power_lead_outside_needs_the_sealed_end() -> None:
    demands = dict(gap("storage-power-lead-outside").requirement.at_least)
    assert demands == {"pair": True, "length_m": 4, "sealed_end": True, "outdoor": True}


def test_the_fixings_are_those_that_were_chosen_for_the_walls() -> None:
    assert gap("storage-fixing").requirement.code == "BOLT-M8"
    assert gap("converter-fixing").requirement.code == "BOLT-M10"


def test_open_risks_of_the_worked_job_come_to_87_pounds() -> None:
    # 0.25 x 140 + 0.15 x 180 + 0.20 x 70 + 0.10 x 110 = 35 + 27 + 14 + 11
    risks = {each.id: (each.chance, each.cost) for each in worked_job().risks}
    assert risks == {
        "risk-no-isolator": (Decimal("0.25"), Money.of("140.00")),
        "risk-main-bond": (Decimal("0.15"), Money.of("180.00")),
        "risk-hollow-wall": (Decimal("0.20"), Money.of("70.00")),
        "risk-offline-revisit": (Decimal("0.10"), Money.of("110.00")),
    }
    assert sum(each.chance * each.cost.minor for each in worked_job().risks) == 8700
