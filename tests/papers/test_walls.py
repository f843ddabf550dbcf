"""Walls on the papers: the JSON form, the sheet for marking out, the summary's line."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from decimal import Decimal as D

import pytest

from estimator.design.judging import Judgement
from estimator.design.siting.bodies import Body, Modules
from estimator.design.siting.brackets import Bracket
from estimator.design.siting.clearances import STANDING, Clearance
from estimator.design.siting.shapes import wall_of
from estimator.design.siting.wall_layout import WallJob, WallLayout, set_out
from estimator.papers.contract import EstimateJson
from estimator.papers.terminal import summary
from estimator.papers.workbook import bill_workbook
from estimator.practice.pack import country_folder, read_practice
from tests.papers import sample
from tests.papers.reading import firm_json, formulas, row_of, values

GB = read_practice([country_folder("gb")])
ON = date(2026, 9, 14)
SPACE = Clearance(300, 300, 500, 300)
BLANK = Clearance(300, 300, 500, 300, *["common practice, no source"] * 4)
HOSTILE = "=1+1"


def laid(job: WallJob) -> WallLayout:
    found = set_out(job, GB, ON)
    assert isinstance(found, WallLayout)
    return found


def walls_json(**walls: WallLayout) -> EstimateJson:
    made = replace(sample.firm_estimate(), judgement=Judgement(walls=walls))
    return EstimateJson.of(made, 1)


@pytest.fixture(scope="module")
def estimate() -> EstimateJson:
    # Two modules hang from 300 and 1250; a socket called like a formula is at the wall's right end.
    storage = laid(WallJob(
        wall_of(D("3.0"), D("2.4"), [(HOSTILE, D("2.8"), D("1.2"), D("0.15"), D("0.09"))]),
        Modules(Body(650, 480, SPACE), 2, 4, 300), module_bracket=Bracket(4, 480, 60)))
    converter = laid(WallJob(wall_of(D("2.0"), D("2.4")), None, Body(390, 500, BLANK)))
    return walls_json(storage=storage, converter=converter)


def row(book: bytes, what: str) -> list[object]:
    at = row_of(book, "Wall", "A", what)
    held = values(book)
    return [held.get(("Wall", f"{column}{at}")) for column in "BCDEFGHI"]


def test_the_json_form_has_every_coordinate_and_reads_back(estimate: EstimateJson) -> None:
    storage, converter = json.loads(estimate.dumps())["walls"]
    assert (storage["subject"], storage["width_mm"], storage["height_mm"]) == (
        "storage", 3000, 2400)
    assert "lower left" in storage["origin"]
    assert storage["obstacles"] == [{
        "x_mm": 2800, "y_mm": 1200, "width_mm": 150, "height_mm": 90, "name": HOSTILE}]
    first = storage["placed"][0]
    assert (first["name"], first["x_mm"], first["y_mm"]) == ("module 1", 300, 500)
    assert first["clear"] == {"x_mm": 0, "y_mm": 500, "width_mm": 1250, "height_mm": 780}
    # On the middle line, 60 below the top: 300 + (650 - 480) / 2, 980 - 60 - 60.
    assert first["bracket"] == {"x_mm": 385, "y_mm": 860, "width_mm": 480, "height_mm": 60}
    assert first["holes"] == [[405, 875], [845, 875], [405, 905], [845, 905]]
    assert (converter["placed"][0]["kind"], converter["placed"][0]["bracket_known"]) == (
        "converter", False)
    assert converter["clearances"][0]["side_source"] == "common practice, no source"
    assert EstimateJson.loads(estimate.dumps()) == estimate


def test_the_sheet_has_edges_sizes_and_holes_from_the_lower_left(estimate: EstimateJson) -> None:
    book = bill_workbook(estimate)
    assert row(book, "module 1") == [300, 500, 950, 980, 650, 480, None, None]
    assert row(book, "    bracket of module 1") == [
        385, 860, 865, 920, 480, 60, "405, 845", "875, 905"]
    assert row(book, f"there already: {HOSTILE}") == [
        2800, 1200, 2950, 1290, 150, 90, None, None]


def test_a_bracket_of_unknown_size_is_placed_by_its_template(estimate: EstimateJson) -> None:
    book = bill_workbook(estimate)
    assert row(book, "    bracket of converter") == [*[None] * 6, "4 by its template", None]


def test_the_sheet_says_where_it_measures_from_and_what_to_look_for_before_drilling(
    estimate: EstimateJson
) -> None:
    said = " ".join(str(value) for (sheet, _), value in values(bill_workbook(estimate)).items()
                    if sheet == "Wall")
    assert "to the right from its left end, up from the floor" in said
    assert "Look for cables, pipes and gas first, and at the far side." in said
    assert "maker's template" in said
    assert "300 left and right (common practice, no source)" in said


def test_the_sheet_goes_to_site_without_money_and_without_a_formula(
    estimate: EstimateJson
) -> None:
    book = bill_workbook(estimate)
    cells = [value for (sheet, _), value in values(book).items() if sheet == "Wall"]
    assert not any("£" in str(value) for value in cells)
    written = [text for (sheet, _), text in formulas(book).items() if sheet == "Wall"]
    assert len(written) > 40
    assert not any(str(text).startswith("=") for text in written)


def test_a_stack_says_what_is_under_it() -> None:
    space = Clearance(200, 300, 0, 200, floor_source=STANDING)
    stack = laid(WallJob(wall_of(D("2.0"), D("2.4")),
                         Modules(Body(580, 160, space), 2, 6, 0, True, base_mm=90),
                         module_bracket=Bracket(2, 160, 40)))
    book = bill_workbook(walls_json(storage=stack))
    assert row(book, "module 1")[:4] == [200, 90, 780, 250]
    # The upper module reaches from 250 to 410; the bracket's top is 60 below: 310 to 350.
    assert row(book, "    anti-tip bracket of module 2")[:4] == [410, 310, 570, 350]
    said = " ".join(str(value) for (sheet, _), value in values(book).items() if sheet == "Wall")
    assert "90 mm of base" in said
    assert "stands on the floor" in said


def test_a_job_without_a_set_out_wall_has_no_such_sheet() -> None:
    assert not any(sheet == "Wall" for sheet, _ in values(bill_workbook(firm_json())))
    assert "ON THE WALL" not in summary(firm_json())


def test_the_summary_has_a_line_for_each_wall(estimate: EstimateJson) -> None:
    lines = summary(estimate).splitlines()
    at = lines.index("ON THE WALL")
    assert lines[at + 1:at + 3] == [
        "  wall of the storage, 3000 x 2400 mm: 2 modules set out, coordinates in the workbook",
        "  wall of the converter, 2000 x 2400 mm: converter set out, coordinates in the workbook"]
