"""Walls through the whole chain: what is built as set out, and what bars a firm price."""

from __future__ import annotations

from decimal import Decimal as D
from pathlib import Path
from typing import Any

import pytest

from estimator.bill import BillLine
from estimator.estimate import Basis, Estimate, make_estimate
from estimator.survey.fact import Evidence, Fact
from estimator.survey.model import Survey
from estimator.survey.toml import read_survey

JOBS = Path(__file__).parents[2] / "demo_jobs"
WALL = ("wall_width_m", "wall_height_m")


@pytest.fixture(scope="module")
def hung() -> Survey:
    return read_survey(JOBS / "storage-outside" / "survey.toml")


@pytest.fixture(scope="module")
def stacked() -> Survey:
    return read_survey(JOBS / "three-phase-stack" / "survey.toml")


def with_storage(survey: Survey, **facts: Any) -> Survey:
    changed = {
        name: value if name == "obstructions" else Fact(
            value=value, evidence=Evidence.UNKNOWN if value is None else Evidence.MEASURED)
        for name, value in facts.items()}
    return survey.model_copy(update={"storage": survey.storage.model_copy(update=changed)})


def need(estimate: Estimate, rule: str) -> D:
    lines: list[BillLine] = [each for each in estimate.bill.lines
                             if rule in {reason.rule for reason in each.reasons}]
    return sum((each.need for each in lines), D(0))


def test_a_wall_that_nobody_measured_leaves_the_price_firm_and_is_asked_for(
    hung: Survey, basis: Basis
) -> None:
    measured = make_estimate(hung, basis)
    found = make_estimate(
        with_storage(hung, wall_width_m=None, wall_height_m=None, obstructions=()), basis)
    assert (found.kind, found.price) == ("firm", measured.price)
    asked = {each.fact: each for each in found.questions}
    assert {f"storage.{name}" for name in WALL} <= asked.keys()
    assert asked["storage.wall_width_m"].at_worst == "caution"
    assert "storage" not in found.judgement.walls
    assert "storage" in measured.judgement.walls


def test_a_wall_that_is_too_small_bars_a_firm_price_and_says_what_would_fit(
    hung: Survey, basis: Basis
) -> None:
    # 300 + 650 + 300 = 1250 holds one beside another no more; 500 + 2 x (480 + 300) = 2060 of
    # 2350 mm holds two one above the other. The third has no room.
    found = make_estimate(
        with_storage(hung, wall_width_m=D("1.3"), obstructions=()), basis)
    assert found.kind == "budget"
    stop = next(each for each in found.findings if each.level == "stop")
    assert (stop.code, stop.value, stop.limit, stop.unit) == ("wall-fit", "3", "2", "modules")
    assert any("room for 2 of 3 modules" in because for because in found.kind_because)


def test_stacks_as_set_out_have_bases_brackets_links_and_isolators(
    stacked: Survey, basis: Basis
) -> None:
    # One stack of six is 90 + 120 + 6 x 160 + 300 = 1470 mm high. A shelf at 1.3 m leaves two
    # stacks: 4 links within them and one long pair from one to the other.
    assert need(make_estimate(stacked, basis), "storage-floor-base") == 1
    low = with_storage(stacked, wall_height_m=D("1.3"), wall_width_m=D("3.0"), obstructions=())
    found = make_estimate(low, basis)
    wanted = {"storage-floor-base": 2, "storage-anti-tip-bracket": 2, "storage-floor-stand": 2,
              "storage-power-link": 4, "storage-stack-link": 1, "storage-data-link": 5,
              "storage-isolator": 2}
    assert {rule: need(found, rule) for rule in wanted} == wanted


def test_the_converter_keeps_off_the_modules_on_one_wall(basis: Basis) -> None:
    found = make_estimate(read_survey(JOBS / "panels-and-storage" / "survey.toml"), basis)
    assert set(found.judgement.walls) == {"storage"}
    layout = found.judgement.walls["storage"]
    assert (len(layout.modules), layout.converter is not None) == (2, True)
    faces = [each.body for each in layout.placed]
    assert not any(each.clear.meets(face) for each in layout.placed for face in faces
                   if face is not each.body)
    assert not any(each.clear.meets(thing) for each in layout.placed for thing in layout.wall.rects)
