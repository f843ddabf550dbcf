"""The direct-current side from a survey to its bill, findings and kept answers."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal as D
from pathlib import Path
from typing import Any

import pytest

from estimator.estimate import Basis, Estimate, make_estimate
from estimator.papers.contract_of import estimate_json
from estimator.survey.fact import Evidence, Fact
from estimator.survey.model import Leg, Survey
from estimator.survey.toml import read_survey

JOBS = Path(__file__).parents[2] / "demo_jobs"


def surveyed(name: str, legs: tuple[Leg, ...] = (), **facts: object) -> Survey:
    """Return a survey with other facts of its first plane (None makes one unknown), more legs."""
    survey = read_survey(JOBS / name / "survey.toml")
    plane = survey.planes[0].model_copy(update=_facts(facts))
    return survey.model_copy(update={
        "planes": (plane, *survey.planes[1:]), "legs": (*survey.legs, *legs)})


def _facts(values: Mapping[str, object]) -> dict[str, Any]:
    return {
        name: Fact() if value is None else Fact[type(value)](  # type: ignore[misc]
            value=value, evidence=Evidence.MEASURED)
        for name, value in values.items()
    }


def need(estimate: Estimate, rule: str) -> D:
    return sum(
        (r.quantity for line in estimate.bill.lines for r in line.reasons if r.rule == rule), D(0))


def stops(estimate: Estimate) -> set[str]:
    return {each.code for each in estimate.findings if each.level == "stop"}


def cables(estimate: Estimate) -> list[D]:
    return [line.item.spec.size_mm2 for line in estimate.bill.lines  # type: ignore[attr-defined]
            if "pv-dc-cable" in {r.rule for r in line.reasons}]


def test_strings_the_converter_has_no_input_for_bar_a_firm_price(basis: Basis) -> None:
    sound = make_estimate(surveyed("panels-and-storage"), basis)
    assert sound.kind == "firm"
    found = make_estimate(surveyed("panels-and-storage", strings=3), basis)
    assert {"string-layout", "string-inputs"} <= stops(found)
    assert found.kind == "budget"
    says = next(each.says for each in found.findings if each.code == "string-layout")
    assert "lawful: rear: 12, or rear: 6 + 6" in says


def test_strings_nobody_has_counted_are_laid_out_and_priced(basis: Basis) -> None:
    found = make_estimate(surveyed("panels-and-storage", strings=None), basis)
    assert found.kind == "firm"
    # 1 x 2 x (9 + 0 + 1), as with the one string that the survey asks for; one jump of 2 m.
    assert (need(found, "pv-dc-cable"), need(found, "pv-dc-row-jump")) == (20, 2)


def test_a_converter_is_chosen_with_an_input_for_each_plane_of_uncounted_strings(
    basis: Basis,
) -> None:
    # South, east and west face three ways: a tracker each, though nobody has counted strings.
    survey = read_survey(JOBS / "slate-hip" / "survey.toml")
    planes = tuple(plane.model_copy(update=_facts({"strings": None})) for plane in survey.planes)
    found = make_estimate(survey.model_copy(update={"planes": planes}), basis)
    assert found.sheet.job["kit.converter.trackers"] == 3
    assert "string-layout" not in stops(found)
    assert [env["plane.strings_used"] for env in found.sheet.scopes["plane"]] == [1, 1, 1]


@pytest.mark.parametrize(
    ("loft_m", "size", "cable_m"),
    [
        # 12 x 34.1 V x 3 % = 12.276 V; 12.9 A; conductor at 90 degrees: 6.490259 ohm/km in 4 mm²,
        # so 73 m drop 12.224 V and 74 m drop 12.391 V. Cable: 2 x (loft + 1).
        ("72", "4", 146), ("73", "6", 148),
    ],
)
def test_a_long_route_is_billed_in_just_the_size_that_the_design_says(
    basis: Basis, loft_m: str, size: str, cable_m: int
) -> None:
    found = make_estimate(surveyed("panels-and-storage", dc_loft_m=D(loft_m)), basis)
    assert cables(found) == [D(size)]
    assert need(found, "pv-dc-cable") == cable_m
    drop = next(each for each in found.findings if each.code == "dc-volt-drop")
    assert (drop.level, drop.limit, drop.unit) == ("fine", "12.28", "V")


def test_a_route_nobody_has_measured_leaves_the_cable_open_and_is_asked(basis: Basis) -> None:
    found = make_estimate(surveyed("panels-and-storage", dc_loft_m=None), basis)
    assert need(found, "pv-dc-cable") == 0
    question = next(q for q in found.questions if q.fact == "plane[0].dc_loft_m")
    assert {"pv-dc-cable", "dc-volt-drop"} <= set(question.rules)


def test_panels_that_do_not_fit_the_plane_bar_a_firm_price(basis: Basis) -> None:
    found = make_estimate(surveyed("panels-and-storage", slope_length_m=D("4.0")), basis)
    assert "array-fit" in stops(found)
    assert found.kind == "budget"


def test_a_buried_leg_from_an_outhouse_roof_has_its_trench_and_a_ground_array_but_one(
    basis: Basis,
) -> None:
    trench = Leg(name="from the outhouse", **_facts({
        "run": "d.c.", "method": "buried soft", "length_m": D(20), "outdoors": True,
        "rated_crossings": 0, "insulation_contact": False}))
    found = make_estimate(
        surveyed("panels-and-storage", (trench,), dc_outside_m=D(24)), basis)
    assert need(found, "leg-duct") == D("21.00")  # 20 x 1.05
    assert need(found, "leg-trench-tape") == 20
    assert need(found, "pv-dc-conduit") == D("4.20")  # (24 - 20) x 1.05
    assert sum(task.units for task in found.tasks if task.task == "trench-soft") == 20
    assert "check-trench-services" in {each.code for each in found.findings}

    paddock = make_estimate(surveyed("ground-array"), basis)
    assert (need(paddock, "pv-trench-duct"), need(paddock, "leg-duct")) == (38, 0)
    assert sum(task.units for task in paddock.tasks if task.task == "trench-soft") == 38


def test_the_answers_stay_with_the_estimate_beside_the_way_they_were_reached(
    basis: Basis,
) -> None:
    # 12 x 41 V x (1 + 0.0026 x 35) = 536.772 V (worked example, invented figures): 44.731 V each.
    kept = {each.code: each for each in estimate_json(
        make_estimate(surveyed("panels-and-storage"), basis), 1).worked}
    assert {"string-window", "string-layouts", "dc-cable"} <= set(kept)
    window = kept["string-window"]
    assert (window.subject, window.method) == ("rear", "by coefficient")
    assert "44.73" in {each.value for each in window.sums}
    assert kept["dc-cable"].says == "4 mm²: the smallest on offer"
