"""What an estimate says of its roof planes agrees with what it counts, cuts and checks."""

from __future__ import annotations

from collections import Counter
from datetime import date
from itertools import combinations

import pytest

from estimator.papers.contract import EstimateJson
from estimator.papers.contract_roofs import PlaneJson
from estimator.papers.contract_walls import RectJson
from estimator.workflow.quote import QuoteRequest, quote
from tests.chain.roofs import DEMO

ROOFS = ("panels-and-storage", "slate-hip", "flat-roof", "in-roof", "ground-array")


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> dict[str, EstimateJson]:
    database = str(tmp_path_factory.mktemp("firm") / "estimator.db")
    return {
        name: quote(QuoteRequest(DEMO / name / "survey.toml", date(2026, 11, 2), database,
                                 write_papers=False)).estimate
        for name in ROOFS
    }


def planes(told: dict[str, EstimateJson]) -> list[PlaneJson]:
    return [plane for name in ROOFS for plane in told[name].roofs]


def apart(a: RectJson, b: RectJson) -> bool:
    return (a.x_mm + a.width_mm <= b.x_mm or b.x_mm + b.width_mm <= a.x_mm
            or a.y_mm + a.height_mm <= b.y_mm or b.y_mm + b.height_mm <= a.y_mm)


def test_every_panel_of_the_bill_lies_on_a_plane(told: dict[str, EstimateJson]) -> None:
    for name in ROOFS:
        bought = sum(line.need for line in told[name].lines if line.family == "panel")
        assert sum(len(plane.panels) for plane in told[name].roofs) == bought > 0, name


def test_panels_keep_clear_of_the_edge_of_each_other_and_of_what_is_there(
    told: dict[str, EstimateJson]
) -> None:
    for plane in planes(told):
        assert plane.width_mm is not None
        assert plane.height_mm is not None
        for panel in plane.panels:
            assert panel.x_mm >= plane.edge_mm
            assert panel.y_mm >= plane.edge_mm
            assert panel.x_mm + panel.width_mm <= plane.width_mm - plane.edge_mm
            assert panel.y_mm + panel.height_mm <= plane.height_mm - plane.edge_mm
            assert all(apart(panel, each) for each in plane.obstacles)
        assert all(apart(a, b) for a, b in combinations(plane.panels, 2))


def test_lines_of_rail_are_as_long_as_they_are_cut(told: dict[str, EstimateJson]) -> None:
    seen = 0
    for name in ROOFS:
        cut = Counter(sum(line.pieces_mm) for each in told[name].cuts if each.kind == "rail"
                      for line in each.lines)
        assert Counter(line.length_mm for plane in told[name].roofs
                       for line in plane.lines) == cut, name
        seen += cut.total()
    assert seen


def test_no_more_fixings_are_drawn_than_are_priced(told: dict[str, EstimateJson]) -> None:
    for plane in planes(told):
        drawn = sum(len(line.fixings_mm) for line in plane.lines)
        assert drawn <= plane.fixings
        assert bool(drawn) == bool(plane.fixings)
        for line in plane.lines:
            gaps = [b - a for a, b in zip(line.fixings_mm, line.fixings_mm[1:], strict=False)]
            assert all(gap <= plane.step_mm + 1 for gap in gaps)  # both ends are rounded


def test_strings_are_those_that_the_checks_found_lawful(told: dict[str, EstimateJson]) -> None:
    for name in ROOFS:
        (answer,) = (each for each in told[name].worked if each.code == "string-layouts")
        lawful = next(one.value for one in answer.sums if one.name == "lawful layout 1")
        numbers = Counter(panel.string for plane in told[name].roofs for panel in plane.panels)
        # "south: 8 + 8; east: 2 x 6" has strings of 8, 8, 6 and 6
        loads = [load for face in lawful.split("; ") for load in
                 face.rpartition(": ")[2].split(" + ")]
        lengths = [int(load.rpartition("x ")[2]) for load in loads
                   for _ in range(int(load.partition(" x ")[0]) if " x " in load else 1)]
        assert sorted(numbers.values()) == sorted(lengths), (name, lawful)
        assert 0 not in numbers
