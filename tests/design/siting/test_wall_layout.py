"""Set-outs worked by hand, brackets and holes, clear spaces, and what the findings say."""

from __future__ import annotations

from datetime import date
from decimal import Decimal as D

import pytest

from catalogue.specs import StorageSpec
from estimator.design.siting.bodies import Body, Modules
from estimator.design.siting.brackets import Bracket, BracketPlan, Point, bracket_behind, holes_of
from estimator.design.siting.clearances import STANDING, clearance_of
from estimator.design.siting.shapes import Rect, wall_of
from estimator.design.siting.wall_layout import (
    SEARCHED,
    THINNED,
    NoFit,
    WallJob,
    WallLayout,
    set_out,
    told,
)
from estimator.practice.pack import country_folder, read_practice
from tests.design.siting.walls import clear, wall
from tests.factories import spec_of

GB = read_practice([country_folder("gb")])
ON = date(2026, 11, 2)
USUAL = clear(300, 300, 500)
MODULE = Body(650, 480, USUAL)
CONVERTER = Body(390, 500, USUAL)


def hung(count: int, per_stack: int = 4) -> Modules:
    return Modules(MODULE, count, per_stack, 300)


def laid(job: WallJob) -> WallLayout:
    found = set_out(job, GB, ON)
    assert isinstance(found, WallLayout)
    return found


def corners(found: WallLayout) -> list[tuple[int, int]]:
    return [(each.body.x_mm, each.body.y_mm) for each in found.placed]


# --- by hand --------------------------------------------------------------------------------------


def test_two_modules_hang_side_by_side_300_apart_and_500_from_the_floor() -> None:
    # 300 + 650 + 300 + 650 + 300 = 2200 mm of wall; 500 + 480 + 300 = 1280 mm of height.
    assert corners(laid(WallJob(wall(2200, 1280), hung(2)))) == [(300, 500), (1250, 500)]


@pytest.mark.parametrize(("width", "height"), [(2199, 1280), (2200, 1279)])
def test_one_millimetre_less_and_two_side_by_side_do_not_fit(width: int, height: int) -> None:
    found = set_out(WallJob(wall(width, height), hung(2)), GB, ON)
    assert isinstance(found, NoFit)
    assert (found.wanted, found.most) == (2, 1 if height == 1280 else 0)


def test_where_the_wall_is_narrow_the_second_hangs_above_the_first() -> None:
    # 500 + 480 + 300 + 480 + 300 = 2060 mm of height, 1250 mm of width.
    assert corners(laid(WallJob(wall(1250, 2060), hung(2)))) == [(300, 500), (300, 1280)]
    assert isinstance(set_out(WallJob(wall(1250, 2059), hung(2)), GB, ON), NoFit)
    assert isinstance(set_out(WallJob(wall(1250, 2060), hung(2, 1)), GB, ON), NoFit)


def test_a_socket_between_is_kept_clear_by_300_mm() -> None:
    # Socket from 1000 to 1150: left of it a module ends at 700 at the latest and would begin at
    # 50, nearer than 300 to the wall's end; right of it the first begins at 1450, the next at
    # 2400, and 2400 + 650 + 300 = 3350.
    low = (1000, 600, 150, 100)
    assert corners(laid(WallJob(wall(3350, 2400, low), hung(2, 1)))) == [(1450, 500), (2400, 500)]


def test_a_module_hangs_above_a_low_obstacle_where_there_is_no_other_room() -> None:
    # A heater 700 high all along: the module begins 300 above its top and takes 480 + 300 more.
    heater = (0, 0, 1250, 700)
    assert corners(laid(WallJob(wall(1250, 1780, heater), hung(1)))) == [(300, 1000)]
    assert isinstance(set_out(WallJob(wall(1250, 1779, heater), hung(1)), GB, ON), NoFit)


def test_the_converter_hangs_beside_a_module_or_else_above_it() -> None:
    # 300 + 650 + 300 + 390 + 300 = 1940: beside, both at 500. In 1939 it goes above, at
    # 500 + 480 + 300 = 1280; either way 300 mm part the two.
    beside = laid(WallJob(wall(1940, 2400), hung(1), CONVERTER))
    assert [each.body.y_mm for each in beside.placed] == [500, 500]
    above = laid(WallJob(wall(1939, 2400), hung(1), CONVERTER))
    assert [each.body.y_mm for each in above.placed] == [500, 1280]


def test_the_converter_hangs_at_the_end_of_a_row_that_it_does_not_part() -> None:
    # From the first module to the last 1900 mm, and 300 to the converter. Between two of them it
    # would take 390 + 300 more; above one it is as near, and higher than it need be.
    found = laid(WallJob(wall(4000, 2400), hung(3), CONVERTER))
    assert corners(found) == [(990, 500), (1940, 500), (2890, 500), (300, 500)]


def test_the_converter_hangs_above_a_row_that_leaves_no_room_beside_it() -> None:
    # 3 x 650 + 4 x 300 = 3150 is the whole wall; above a module 500 + 480 + 300 = 1280.
    found = laid(WallJob(wall(3150, 2400), hung(3), CONVERTER))
    assert [each.body.x_mm for each in found.modules] == [300, 1250, 2200]
    assert found.converter is not None
    assert found.converter.body.y_mm == 1280


def test_modules_keep_near_the_leads_to_a_converter_elsewhere() -> None:
    # Leads leave at 4000 of a wall of 5000: the module is put over them.
    near = laid(WallJob(wall(5000, 2400), hung(1), near_mm=4000))
    assert near.modules[0].body.x_mm <= 4000 <= near.modules[0].body.right_mm
    assert laid(WallJob(wall(5000, 2400), hung(1))).modules[0].body.x_mm == 300


def test_standing_modules_make_the_fewest_stacks_and_touch() -> None:
    # Six of at most four: two stacks; the bodies of one stack stand on each other from the floor.
    standing = Modules(Body(580, 160, clear(200, 300, 0)), 6, 4, 0, standing=True, base_mm=90)
    found = laid(WallJob(wall(4000, 2400), standing))
    assert len({each.stack for each in found.modules}) == 2
    for each in found.modules:
        assert each.body.y_mm == 90 + (each.level - 1) * 160


def test_a_standing_stack_is_held_by_one_bracket_behind_its_uppermost_module() -> None:
    standing = Modules(Body(580, 160, clear(200, 300, 0)), 3, 4, 0, standing=True)
    found = laid(WallJob(wall(4000, 2400), standing, module_bracket=Bracket(2, 160, 60)))
    assert [bool(each.holes) for each in found.modules] == [False, False, True]
    assert found.modules[-1].bracket is not None


def test_a_converter_alone_hangs_lowest_and_leftmost() -> None:
    found = laid(WallJob(wall(3000, 2400, (0, 0, 700, 900)), converter=CONVERTER))
    assert corners(found) == [(1000, 500)]


def test_the_coordinates_carry_clear_spaces_and_their_source() -> None:
    found = laid(WallJob(wall(2200, 1280), hung(2)))
    assert found.modules[0].clear == Rect(0, 500, 1250, 780)
    assert found.module_clearance is not None
    assert found.module_clearance.side_source == "data sheet"
    assert found.searched == SEARCHED


def test_a_wall_with_very_many_places_says_that_not_all_were_tried() -> None:
    # Small things 0.6 m up, one in every 1000 mm: no module (650 and 300 each side) has room
    # between two of them, but one hangs above them.
    things = [(1000 * n + 7 * (n % 9), 600, 7, 7) for n in range(100)]
    full = laid(WallJob(wall(100_000, 2600, *things), hung(60), CONVERTER))
    assert full.searched == THINNED
    assert len(full.modules) == 60
    none = set_out(WallJob(wall(100_000, 1380, *things), hung(60), CONVERTER), GB, ON)
    assert isinstance(none, NoFit)
    assert none.searched == THINNED
    assert THINNED in told(none, "storage")[0].says


# --- the wall from the survey's metres ------------------------------------------------------------


def test_fractions_of_a_millimetre_never_make_room() -> None:
    found = wall_of(D("2.1999"), D("2.4005"), [
        ("pipe", D("0.1005"), D("0.0004"), D("0.1"), D("0.0002"))])
    assert (found.width_mm, found.height_mm) == (2199, 2400)
    assert found.rects == (Rect(100, 0, 101, 1),)


# --- brackets -------------------------------------------------------------------------------------


def test_four_holes_are_two_rows_of_two_and_six_two_rows_of_three() -> None:
    plan = BracketPlan(drop_mm=60, inset_mm=20, height_mm=60)
    bracket = Rect(100, 1000, 480, 60)
    # Inset 20 across, but no more than a quarter of the height, 15, up.
    assert holes_of(bracket, 4, plan) == (
        Point(120, 1015), Point(560, 1015), Point(120, 1045), Point(560, 1045))
    assert [hole.x_mm for hole in holes_of(bracket, 6, plan)] == [120, 340, 560] * 2
    assert holes_of(bracket, 2, plan) == (Point(120, 1030), Point(560, 1030))
    assert holes_of(bracket, 1, plan) == (Point(340, 1030),)


def test_a_bracket_sits_on_the_middle_line_below_the_top_and_behind_its_unit() -> None:
    plan = BracketPlan(drop_mm=60, inset_mm=20, height_mm=60)
    unit = Rect(300, 500, 650, 480)
    assert bracket_behind(unit, Bracket(4, 480, 60), plan) == Rect(385, 860, 480, 60)
    assert bracket_behind(unit, Bracket(4), plan) == Rect(300, 860, 650, 60)
    assert bracket_behind(unit, Bracket(0), plan) is None


def test_the_rows_of_holes_are_as_far_apart_as_the_catalogue_says() -> None:
    # 440 high with rows 400 apart: 20 from its edges; 460 in 520: 30.
    plan = BracketPlan(drop_mm=60, inset_mm=25, height_mm=60)
    rows = {hole.y_mm for hole in holes_of(Rect(0, 1000, 480, 440), 4, plan, 400)}
    assert rows == {1020, 1420}
    assert {hole.y_mm for hole in holes_of(Rect(0, 0, 640, 520), 6, plan, 460)} == {30, 490}
    # A bracket that is cut short by what hangs on it has its rows inset as if nothing were known.
    assert {hole.y_mm for hole in holes_of(Rect(0, 0, 480, 300), 4, plan, 400)} == {25, 275}


def test_every_hole_lies_behind_its_unit() -> None:
    found = laid(WallJob(wall(4000, 2400), hung(3), CONVERTER))
    assert len(found.placed) == 4  # three modules and the converter
    for each in found.placed:
        assert len(each.holes) == 4
        assert all(each.body.x_mm < hole.x_mm < each.body.right_mm
                   and each.body.y_mm < hole.y_mm < each.body.top_mm for hole in each.holes)


# --- clear spaces ---------------------------------------------------------------------------------


def sheet(**fields: object) -> StorageSpec:
    spec = spec_of("storage", **fields)
    assert isinstance(spec, StorageSpec)
    return spec


def test_the_data_sheet_comes_before_the_default_and_each_number_has_its_source() -> None:
    found = clearance_of(sheet(clear_side_mm=150, clear_top_mm=None, clear_floor_mm=None), GB, ON)
    assert (found.side_mm, found.top_mm, found.floor_mm) == (150, 300, 500)
    assert (found.side_source, found.top_source) == ("data sheet", "common practice, no source")
    assert found.by_default


def test_half_a_millimetre_is_rounded_up() -> None:
    assert clearance_of(sheet(clear_side_mm=D("150.5")), GB, ON).side_mm == 151


def test_what_stands_on_the_floor_keeps_no_distance_from_it() -> None:
    found = clearance_of(sheet(), GB, ON, standing=True)
    assert (found.floor_mm, found.floor_source) == (0, STANDING)
    assert not found.by_default


# --- findings -------------------------------------------------------------------------------------


def test_no_fit_is_a_stop_that_says_how_many_would_fit() -> None:
    found = set_out(WallJob(wall(2199, 1280, (0, 0, 10, 10)), hung(2)), GB, ON)
    (finding,) = told(found, "storage")
    assert (finding.level, finding.value, finding.limit) == ("stop", 2, 1)
    assert "room for 1 of 2 modules" in finding.says
    none = set_out(WallJob(wall(500, 500), hung(2), CONVERTER), GB, ON)
    assert "not even the converter" in told(none, "storage")[0].says
    (alone,) = told(set_out(WallJob(wall(500, 500), converter=CONVERTER), GB, ON), "converter")
    assert "the converter has no room" in alone.says
    assert (alone.value, alone.limit) == ("", "")


def test_a_fit_warns_of_defaults_and_of_a_wall_without_a_note() -> None:
    blank = clearance_of(sheet(clear_side_mm=None), GB, ON)
    job = WallJob(wall(4000, 2400), Modules(Body(650, 480, blank), 1, 4, 300))
    assert [each.code for each in told(set_out(job, GB, ON), "storage")] == [
        "wall-fit", "wall-clearance-default", "wall-nothing-noted"]
    noted = WallJob(wall(4000, 2400, (3900, 0, 50, 50)), hung(1))
    assert [each.code for each in told(set_out(noted, GB, ON), "storage")] == [
        "wall-fit", "wall-clearance"]


def test_a_clear_space_is_told_with_the_source_of_each_number() -> None:
    # Blank on the sheet: 300 mm above, 500 mm to the floor, common practice, no source.
    space = clearance_of(sheet(clear_side_mm=150, clear_top_mm=None, clear_floor_mm=None), GB, ON)
    found = set_out(WallJob(wall(4000, 2400), Modules(Body(650, 480, space), 1, 4, 300)), GB, ON)
    kept = next(each for each in told(found, "storage") if each.code == "wall-clearance-default")
    assert ("150 mm left and right (data sheet), 300 mm above (common practice, no source), "
            "500 mm to the floor (common practice, no source)") in kept.says
    assert kept.source == "data sheet; common practice, no source"


def test_the_clear_space_of_a_module_in_a_stack_ends_at_the_next_one() -> None:
    standing = Modules(Body(580, 160, clear(200, 300, 0)), 2, 4, 0, standing=True, base_mm=90)
    lower, upper = laid(WallJob(wall(4000, 2400), standing)).modules
    assert lower.clear == Rect(0, 90, 980, 160)
    assert upper.clear == Rect(0, 250, 980, 460)
